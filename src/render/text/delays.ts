import { RIPPLE } from '../../judge/pitfalls/pitfall-timing.ts';
import type { Report } from '../../judge/report.ts';
import type { OverheadRow } from '../../judge/timing/overheads.ts';
import type { SpotDelay } from '../../judge/timing/spot-delays.ts';
import type { TimingRow } from '../../judge/timing/timing.ts';
import { type Column, plain, table } from '../table.ts';
import { counted, figure, hertzName } from '../words.ts';
import { wrap } from '../wrap.ts';
import { heading, type InUnits, isWide, type ReportLayout } from './layout.ts';

/** Combs shown without `all`. */
const SHOWN = 12;

/** Combs that matter, deepest first, and the delays that bring spots to pairs. */
export function delays(
  { timing, mainPairs }: Pick<Report, 'timing' | 'mainPairs'>,
  layout: ReportLayout & InUnits,
): string[] {
  const pairs = [
    ...mainPairs.filter(({ purpose }) => purpose === 'all').map(({ name, spots }) => ({ name, spots })),
    ...timing.overheads.map(({ pair, spots }) => ({ name: pair, spots })),
  ];
  const body = [
    ...combs(timing.rows, layout),
    ...pairs.flatMap((pair) => spotTable({ ...pair, sampleRate: timing.sampleRate }, layout)),
    ...timing.overheads.flatMap((row) => snareLine(row, layout)),
  ];
  return body.length === 0 ? [] : [heading('Delays', layout, 'delays'), ...body];
}

function combColumns(layout: ReportLayout): Column[] {
  return [
    { head: 'on', align: 'left', flexible: true },
    { head: 'own', align: 'left', flexible: true },
    { head: 'other', align: 'left', flexible: true },
    { head: 'later', align: 'right' },
    { head: 'ripple', align: 'right' },
    { head: 'first dip', align: 'right' },
    ...(isWide(layout) ? [{ head: 'together with', align: 'left', flexible: true } as const] : []),
  ];
}

function combs(rows: readonly TimingRow[], layout: ReportLayout): string[] {
  const deep = layout.all ? rows : rows.filter(({ ripple, notches }) => ripple >= RIPPLE && notches !== null);
  const shown = layout.all ? deep : deep.slice(0, SHOWN);
  if (shown.length === 0) return wrap('No two microphones comb by 6 dB or more.', layout.width, '  ');
  const [head = '', ...lines] = table(
    combColumns(layout),
    shown.map((row) => combCells(row, layout).map(plain)),
    layout.width,
  );
  const rest = deep.length - shown.length;
  return [
    layout.paint.faint(head),
    ...lines,
    ...(rest > 0 ? [`  and ${counted(rest, 'shallower comb')}: --all`] : []),
  ];
}

function combCells(row: TimingRow, layout: ReportLayout): string[] {
  const { part, own, other, late, over, ripple, notches, align } = row;
  const dip = notches ? (notches[0] > 0 ? notches[0] : notches[1]) : null;
  const mend = align === null ? 'they are' : `${align.mic} delayed by ${figure(1000 * align.by, 2)} ms`;
  return [
    part,
    own,
    other,
    `${figure(1000 * late, 2)} ms`,
    over ? `over ${figure(ripple, 0)} dB` : `${figure(ripple, 1)} dB`,
    dip === null ? 'none' : hertzName(Math.round(dip)),
    ...(isWide(layout) ? [mend] : []),
  ];
}

const spotColumns = (sampleRate: number): Column[] => [
  { head: 'spot', align: 'left', flexible: true },
  { head: 'by its', align: 'left', flexible: true },
  { head: 'delay', align: 'right' },
  { head: `at ${hertzName(sampleRate)}`, align: 'right' },
];

type Spots = { readonly name: string; readonly spots: readonly SpotDelay[]; readonly sampleRate: number };

function spotTable({ name, spots, sampleRate }: Spots, layout: ReportLayout): string[] {
  if (spots.length === 0) return [];
  const rows = spots.map(({ spot, source, late, samples }) => [
    spot,
    source,
    `${figure(1000 * late, 2)} ms`,
    counted(Math.round(samples), 'sample'),
  ]);
  const [head = '', ...lines] = table(
    spotColumns(sampleRate),
    rows.map((row) => row.map(plain)),
    layout.width,
  );
  return [...wrap(`Spots brought to ${name}:`, layout.width, '  '), layout.paint.faint(head), ...lines];
}

function snareLine({ pair, snare }: OverheadRow, { width, lengths }: ReportLayout & InUnits): string[] {
  if (!snare) return [];
  const { source, nearer, apart, late } = snare;
  const how =
    nearer === null
      ? 'as far from both capsules: it stands in the middle'
      : `${lengths.tape(apart)} nearer to ${nearer}, ${figure(1000 * late, 2)} ms early there`;
  return wrap(`${source} under ${pair}: ${how}`, width, '  ', '    ');
}
