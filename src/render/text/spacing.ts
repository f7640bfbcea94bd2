import type { Report, SpacingRow } from '../../judge/report.ts';
import { type Cell, type Column, plain, table } from '../table.ts';
import { counted, figure, verdictWords } from '../words.ts';
import { wrap } from '../wrap.ts';
import { heading, type InUnits, type ReportLayout, verdictPaint } from './layout.ts';

/** Pairs of microphones shown without `all`. */
const SHOWN = 6;

const COLUMNS: readonly Column[] = [
  { head: 'microphone', align: 'left', flexible: true },
  { head: 'and', align: 'left', flexible: true },
  { head: 'ratio', align: 'right' },
  { head: 'apart', align: 'right' },
  { head: 'to source', align: 'right' },
  { head: 'dB', align: 'right' },
  { head: 'verdict', align: 'left' },
];

/** The 3:1 rule, closest pairs first: a reason behind the bleed more than a goal. */
export function spacing({ threeToOne }: Report, layout: ReportLayout & InUnits): string[] {
  if (threeToOne.length === 0) return [];
  const closest = [...threeToOne].sort((a, b) => a.ratio - b.ratio);
  const shown = layout.all ? closest : closest.slice(0, SHOWN);
  const [head = '', ...rows] = table(
    COLUMNS,
    shown.map((row) => cells(row, layout)),
    layout.width,
  );
  const left = closest.length - shown.length;
  return [
    heading('3:1 rule', layout, 'three-to-one'),
    ...wrap(LEGEND, layout.width, '  '),
    layout.paint.faint(head),
    ...rows,
    ...(left > 0 ? [`  and ${counted(left, 'pair')} further apart: --all`] : []),
  ];
}

const LEGEND =
  'A reason for bleed, no measure of it: how far two microphones are apart over the larger of their distances ' +
  'to their own sources. Levels, patterns and the room are not in it.';

function cells(row: SpacingRow, { paint, lengths }: ReportLayout & InUnits): Cell[] {
  const [first, second] = row.mics;
  const verdict = row.verdict === null ? 'not judged' : verdictWords(row.verdict, row.margin);
  return [
    plain(first),
    plain(second),
    plain(`${figure(row.ratio, 1)}:1`),
    plain(lengths.away(row.micToMic)),
    plain(lengths.away(row.micToSource)),
    plain(figure(row.margin, 1)),
    { text: verdict, paint: verdictPaint(row.verdict, paint) },
  ];
}
