import type { MicRow, Report, Verdict } from '../../judge/report.ts';
import type { Answer } from '../answer.ts';
import { urgency } from '../order.ts';
import { basisWords, readingsLines } from '../readings-words.ts';
import { counted, micVerdict } from '../words.ts';
import { wrap } from '../wrap.ts';
import { type Layout, verdictPaint } from './layout.ts';

/** The answer in two lines: how many microphones stand how, what else is missed, and the worst microphone. */
export function headline(report: Answer, layout: Layout): string[] {
  const { title, passage } = report;
  const named = title === '' ? [] : wrap(title, layout.width).map(layout.paint.strong);
  const [judgedBy = '', ...measured] = readAs(report);
  const only = passage === null ? [] : wrap(`Only the passage ${passage}`, layout.width);
  const inLines = (lines: readonly string[]) =>
    lines.flatMap((line) => (line === '' ? [] : wrap(line, layout.width)));
  return [
    ...named,
    ...inLines([judgedBy]),
    ...only,
    ...wrap(count(report), layout.width),
    ...worst(report.mics, layout),
    ...inLines(measured),
  ];
}

/** What it was judged by, what of that was measured, and what its other figures rest on; none without readings. */
function readAs({ readings, mics, pairs, parts, levelBasis }: Answer): string[] {
  if (levelBasis === null) return [];
  const bases = [...mics, ...pairs, ...parts].map(({ basis }) => basis);
  return [
    ...readingsLines(readings, [...bases, levelBasis]),
    `Who hears whom, ears and inputs: ${basisWords(levelBasis)}. Places, timing and what moves change: predicted.`,
  ];
}

/** Limits that are missed and are no S/B of a microphone: of parts and of people. */
function missedBesides({ parts, hearing, sight, exposure }: Report): string {
  const others = [
    ...parts,
    ...parts.map(({ editable }) => editable),
    ...hearing.limits,
    ...sight.limits,
    ...exposure,
  ];
  const missed = others.filter(({ verdict }) => verdict === 'short').length;
  return missed > 0 ? `; ${counted(missed, 'other limit')} missed` : '';
}

function count(report: Report): string {
  const { mics, lines } = report;
  const judged = mics.filter((mic) => mic.verdict !== null);
  const rest = mics.length - judged.length;
  const parts = [
    ...tally(judged),
    ...(rest > 0 ? [`${rest} not judged`] : []),
    ...(lines.length > 0 ? [counted(lines.length, 'line')] : []),
  ];
  if (mics.length === 0) return lines.length > 0 ? `${parts.join()}, no microphones` : 'No microphones';
  return `${counted(mics.length, 'microphone')}: ${parts.join(', ')}${missedBesides(report)}`;
}

function tally(judged: readonly MicRow[]): string[] {
  const order: readonly Verdict[] = ['short', 'marginal', 'clear'];
  const counts = order.map((verdict) => ({ verdict, n: judged.filter((m) => m.verdict === verdict).length }));
  return counts.filter(({ n }) => n > 0).map(({ verdict, n }) => `${n} ${verdict}`);
}

function worst(mics: readonly MicRow[], layout: Layout): string[] {
  const [first] = mics.filter(hasPlace).sort((a, b) => urgency(a) - urgency(b));
  if (!first) return [];
  const basis = first.basis === null ? '' : `; ${basisWords(first.basis)}`;
  const label = first.verdict === 'short' ? 'Worst' : 'Closest to its limit';
  const lines = wrap(
    `${label}: ${first.name} (for ${first.for.join(', ')}), ${micVerdict(first)}${basis}`,
    layout.width,
  );
  return lines.map(verdictPaint(first.verdict, layout.paint));
}

/** A microphone without a margin, since nothing spills into it, is no nearer to its limit than any other. */
const hasPlace = ({ verdict, margin }: MicRow): boolean => verdict === 'short' || margin !== null;
