/** Plans side by side as a page for people: what changed first, then why. */
import type { Comparison } from '../../advise/compare.ts';
import type { ComparedRow } from '../../advise/compared-row.ts';
import type { Worse } from '../../advise/worse.ts';
import type { ToldReadings } from '../../judge/told-readings.ts';
import { broken } from '../broken.ts';
import { letter, pathWords, worseWords } from '../compare-words.ts';
import { escapeAll } from '../escape.ts';
import { paint } from '../paint.ts';
import { basisMark, readingsLines } from '../readings-words.ts';
import { counted } from '../words.ts';
import { wrap } from '../wrap.ts';
import { comparedTable } from './compare-table.ts';
import type { Layout } from './layout.ts';

export type CompareOptions = {
  readonly width: number;
  readonly colour: boolean;
  /** What does not change is shown, too. */
  readonly all: boolean;
  readonly readings?: ToldReadings | null;
};

/** `worse` is null where nobody asked whether anything got worse. */
export function compareText(
  comparison: Comparison,
  worse: readonly Worse[] | null,
  { width, colour, all, readings = null }: CompareOptions,
): string {
  const safe = escapeAll(comparison);
  const layout = { width, all, paint: paint(colour) };
  const sections = [
    [...legend(safe, layout), ...judgedBy(safe, escapeAll(readings), layout)],
    ...(worse === null ? [] : [losses(escapeAll(worse), layout)]),
    section('Signal to bleed, dB', 'microphone', safe.mics, layout),
    section('What stays of a part when its own microphones are muted, dB', 'part', ghosts(safe), layout),
    section('Parts edited alone, dB', 'part', ofKind(safe.parts, 'editable'), layout),
    section(
      'Who hears whom, dB against everything else there',
      'player',
      ofKind(safe.people, 'hears'),
      layout,
    ),
    section('Who sees whom', 'players', ofKind(safe.people, 'sees'), layout),
    section('Minutes that ears bear', 'player', ofKind(safe.people, 'session'), layout),
    entries(safe, layout),
  ];
  return `${sections
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join('\n'))
    .join('\n\n')}\n`;
}

const ofKind = (rows: readonly ComparedRow[], kind: ComparedRow['kind']): ComparedRow[] =>
  rows.filter((row) => row.kind === kind);
const ghosts = ({ parts }: Comparison): ComparedRow[] => ofKind(parts, 'ghost');

function legend({ plans }: Comparison, { width }: Layout): string[] {
  return plans.flatMap(({ name, title }, i) => {
    const start = `${letter(i)}  `;
    const lines = broken(title === '' ? name : `${name} (${title})`, width - start.length);
    return lines.map((line, at) => (at === 0 ? start : ' '.repeat(start.length)) + line);
  });
}

/** Marks that the figures have, beside what was read. */
function judgedBy(
  { mics, parts, people }: Comparison,
  readings: ToldReadings | null,
  { width }: Layout,
): string[] {
  const rows = [...mics, ...parts, ...people];
  const bases = rows.flatMap(({ reached }) => reached.map((one) => one?.basis ?? null));
  return readingsLines(readings, bases, basisMark).flatMap((line) => wrap(line, width));
}

function losses(worse: readonly Worse[], layout: Layout): string[] {
  if (worse.length === 0) return [layout.paint.clear('Nothing got worse')];
  const lines = worse.flatMap((one) => {
    const start = `  ${letter(one.plan)}  `;
    return wrap(worseWords(one), layout.width, start, ' '.repeat(start.length));
  });
  return [layout.paint.short(`${counted(worse.length, 'thing')} got worse`), ...lines];
}

/** Smaller than this a change is none, dB. */
const SEEN = 0.05;

function section(head: string, about: string, rows: readonly ComparedRow[], layout: Layout): string[] {
  const shown = layout.all ? rows : rows.filter(hasChanged);
  const rest = rows.length - shown.length;
  if (rows.length === 0) return [];
  const same = rest === 0 ? [] : [`  ${counted(rest, 'row')} the same: --all`];
  if (shown.length === 0) return [layout.paint.strong(head), ...same];
  return [layout.paint.strong(head), ...comparedTable(about, shown, layout), ...same];
}

function hasChanged({ kind, reached, changes }: ComparedRow): boolean {
  const [first = null] = reached;
  return reached.some((one, i) => {
    if ((one === null) !== (first === null)) return true;
    if (one?.verdict !== first?.verdict) return true;
    const change = changes[i] ?? null;
    if (kind === 'hears' || kind === 'sees' || change === null) return one?.words !== first?.words;
    return Math.abs(change) >= SEEN;
  });
}

function entries({ entries: rows }: Comparison, layout: Layout): string[] {
  if (rows.length === 0) return [layout.paint.strong('The plans are written alike')];
  const lines = rows.flatMap(({ path, values }) => [
    ...wrap(pathWords(path), layout.width, '  '),
    ...grouped(values).flatMap(({ who, value }) =>
      wrap(value, layout.width, `    ${who}  `, ' '.repeat(who.length + 6)),
    ),
  ]);
  return [layout.paint.strong('Entries that differ'), ...lines];
}

/** Plans that write it alike on one line: "A, C". */
function grouped(values: readonly (string | null)[]): { readonly who: string; readonly value: string }[] {
  const different = [...new Set(values)];
  return different.map((one) => ({
    who: values.flatMap((value, i) => (value === one ? [letter(i)] : [])).join(', '),
    value: one ?? 'not there',
  }));
}
