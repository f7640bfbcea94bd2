import type { PartRow } from '../../judge/parts/parts.ts';
import type { Report } from '../../judge/report.ts';
import { basisWords } from '../readings-words.ts';
import { type Column, plain, table } from '../table.ts';
import { figure, figureOr, round, verdictWords } from '../words.ts';
import { wrap } from '../wrap.ts';
import { heading, type ReportLayout } from './layout.ts';

/** What the plan wants replaced or tuned and cannot be; in full, what can be done with every part. */
export function later({ parts }: Pick<Report, 'parts'>, layout: ReportLayout): string[] {
  if (parts.length === 0) return [];
  const misses = parts.flatMap((part) => [...ghostMiss(part), ...editMiss(part)]);
  const said = misses.length > 0 ? misses : [allWell(parts)];
  const lines = said.flatMap((one) => wrap(one, layout.width, '  ', '    '));
  const body = misses.length > 0 ? lines.map(layout.paint.short) : lines;
  return [
    heading('Cannot be fixed later', layout, 'later'),
    ...body,
    ...(layout.brief ? [] : everyPart(parts, layout)),
  ];
}

function ghostMiss({
  name,
  committed,
  ghost,
  limit,
  margin,
  verdict,
  mostIn,
  remark,
  basis,
}: PartRow): string[] {
  if (verdict !== 'short') return [];
  if (committed) return [`${name}, replace: committed, ${committed.because} is for others too`];
  if (ghost === null || limit === null) return [`${name}, replace: ${remark ?? 'short'}`];
  const where = mostIn === null ? '' : `; most of it in ${mostIn}`;
  const told = `${name}, replace: ghost ${figure(ghost, 1)} dB, ${verdictWords(verdict, margin)}${where}`;
  return [told + from(basis)];
}

const from = (basis: PartRow['basis']): string => (basis === null ? '' : `; ${basisWords(basis)}`);

function editMiss({ name, editable, basis }: PartRow): string[] {
  const { verdict, signalToBleed, margin, mic, remark } = editable;
  if (verdict !== 'short') return [];
  const at = mic === null ? '' : ` at ${mic}`;
  if (signalToBleed === null) return [`${name}, tune alone: ${remark ?? 'short'}${at}`];
  const told = `${name}, tune alone: ${figure(signalToBleed, 1)} dB${at}, ${verdictWords(verdict, margin)}`;
  return [told + from(basis)];
}

function allWell(parts: readonly PartRow[]): string {
  const isAsked = parts.some(({ limit, editable }) => limit !== null || editable.limit !== null);
  return isAsked
    ? 'Nothing: all that the plan wants replaced or tuned can be.'
    : 'Nothing asked for: the plan wants no part replaced or tuned.';
}

const columns = (basis: boolean): Column[] => [
  { head: 'part', align: 'left', flexible: true },
  { head: 'later', align: 'left' },
  { head: 'ghost dB', align: 'right' },
  { head: 'limit', align: 'right' },
  { head: 'most in', align: 'left', flexible: true },
  { head: 'alone dB', align: 'right' },
  { head: 'limit', align: 'right' },
  { head: 'at', align: 'left', flexible: true },
  ...(basis ? [{ head: 'basis', align: 'left' } as const] : []),
];

const LEGEND =
  'Ghost: what stays of a part when its own microphones are muted. Alone: signal to bleed at the worst microphone for it.';

function everyPart(parts: readonly PartRow[], layout: ReportLayout): string[] {
  const rows = parts.map((part) => [
    part.name,
    part.later,
    part.committed ? 'committed' : figureOr(part.ghost, 1, 'none'),
    part.limit === null ? '' : round(part.limit),
    part.committed?.because ?? part.mostIn ?? '',
    figureOr(part.editable.signalToBleed, 1, 'none'),
    part.editable.limit === null ? '' : round(part.editable.limit),
    part.editable.mic ?? '',
    ...(part.basis === null ? [] : [basisWords(part.basis)]),
  ]);
  const [head = '', ...lines] = table(
    columns(parts.some(({ basis }) => basis !== null)),
    rows.map((row) => row.map(plain)),
    layout.width,
  );
  const remarks = parts.flatMap(({ name, remark }) => (remark === null ? [] : [`${name}: ${remark}`]));
  return [
    layout.paint.faint(head),
    ...lines,
    ...[...remarks, LEGEND].flatMap((line) => wrap(line, layout.width, '  ', '    ')),
  ];
}
