import type { MicRow, Report } from '../../judge/report.ts';
import { type Entry, worstFirst } from '../order.ts';
import { type Cell, table } from '../table.ts';
import { figure } from '../words.ts';
import { wrap } from '../wrap.ts';
import { heading, type InUnits, type ReportLayout } from './layout.ts';
import { details, INDENT } from './mic-details.ts';
import { type Extra, lineRow, micColumns, micRow, uncut } from './mic-row.ts';

type Block = { readonly rows: readonly (readonly Cell[])[]; readonly details: readonly string[] };

/** Signal to bleed of every microphone, worst first; in full, each with what spills into it and what helps. */
export function bleed(report: Report, layout: ReportLayout & InUnits): string[] {
  const withMost = layout.brief ? laidOut(report, layout, true) : null;
  const { head, body } = withMost && withMost.cut === 0 ? withMost : laidOut(report, layout, false);
  if (body.length === 0) return [];
  const { others } = inSight(report, layout);
  return [
    heading('Signal to bleed, worst first', layout, 'bleed'),
    layout.paint.faint(head),
    ...body,
    ...othersLine(others, layout),
  ];
}

/** Clear ones that a brief page shows, and how many more are told of in one line. */
const CLEAR = 3;
const TOGETHER = 3;

function inSight(
  report: Report,
  { brief }: ReportLayout,
): { entries: readonly Entry[]; others: readonly Entry[] } {
  const entries = worstFirst(report);
  const clear = entries.filter(isClear);
  const others = brief && clear.length >= CLEAR + TOGETHER ? clear.slice(CLEAR) : [];
  return { entries: entries.filter((entry) => !others.includes(entry)), others };
}

const isClear = ({ row, capsules }: Entry): boolean =>
  [row, ...capsules].every(({ verdict }) => verdict === 'clear');

function othersLine(others: readonly Entry[], { width }: ReportLayout): string[] {
  const [first] = others;
  if (!first) return [];
  const least = first.row.margin === null ? 'clear' : `clear by ${figure(first.row.margin, 1)} dB or more`;
  const names = others.map(({ row }) => row.name).join(', ');
  return wrap(`${others.length} others ${least}: ${names}`, width, '  ', '    ');
}

/** `cut` counts the rows whose names the columns had no room for. */
function laidOut(report: Report, layout: ReportLayout & InUnits, most: boolean) {
  const extra = { most, basis: report.levelBasis !== null };
  const { entries, others } = inSight(report, layout);
  const blocks = [
    ...entries.map((entry) => micBlock(entry, layout, extra)),
    ...(others.length > 0 ? [] : report.lines).map((line) => ({
      rows: [lineRow(line, layout)],
      details: [],
    })),
  ];
  const cells = blocks.flatMap((block) => block.rows);
  const [head = '', ...lines] = table(micColumns(layout, extra), cells, layout.width);
  const whole = lines.map((line, i) => uncut(cells[i] ?? [], line));
  const rows = lines.map((line, i) => [line, ...inFull(whole[i] ?? null, layout)]);
  const body = blocks.flatMap((block) => [...rows.splice(0, block.rows.length).flat(), ...block.details]);
  return { head, body, cut: whole.filter((one) => one !== null).length };
}

const inFull = (text: string | null, layout: ReportLayout): string[] =>
  text === null ? [] : wrap(text, layout.width, INDENT, `${INDENT}  `);

function micBlock({ row, capsules }: Entry, layout: ReportLayout & InUnits, extra: Extra): Block {
  const shown = layout.brief ? capsules.filter(({ verdict }) => verdict !== row.verdict) : capsules;
  const rows = [
    micRow(row, row.name, layout, extra),
    ...(row.purpose === 'parts' ? shown : []).map((one) => micRow(one, `  ${side(one)}`, layout, extra)),
  ];
  if (layout.brief) return { rows, details: [] };
  const each = layout.all ? capsules.flatMap((capsule) => details(capsule, layout, capsule.name)) : [];
  return { rows, details: [...details(row, layout), ...each] };
}

/** "left" of "overheads.left". */
const side = (capsule: MicRow): string => capsule.name.slice((capsule.pair?.length ?? -1) + 1);
