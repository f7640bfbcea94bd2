import type { MicRow, Report } from '../../judge/report.ts';
import { type Entry, worstFirst } from '../order.ts';
import { type Cell, table } from '../table.ts';
import { wrap } from '../wrap.ts';
import { heading, type ReportLayout } from './layout.ts';
import { details, INDENT } from './mic-details.ts';
import { lineRow, micColumns, micRow, uncut } from './mic-row.ts';

type Block = { readonly rows: readonly (readonly Cell[])[]; readonly details: readonly string[] };

/** Signal to bleed of every microphone, worst first; in full, each with what spills into it and what helps. */
export function bleed(report: Report, layout: ReportLayout): string[] {
  const blocks = [
    ...worstFirst(report).map((entry) => micBlock(entry, layout)),
    ...report.lines.map((line) => ({ rows: [lineRow(line, layout)], details: [] })),
  ];
  if (blocks.length === 0) return [];
  const cells = blocks.flatMap((block) => block.rows);
  const [head = '', ...lines] = table(micColumns(layout), cells, layout.width);
  const rows = lines.map((line, i) => [line, ...inFull(uncut(cells[i] ?? [], line), layout)]);
  const body = blocks.flatMap((block) => [...rows.splice(0, block.rows.length).flat(), ...block.details]);
  return [heading('Signal to bleed, worst first', layout, 'bleed'), layout.paint.faint(head), ...body];
}

const inFull = (text: string | null, layout: ReportLayout): string[] =>
  text === null ? [] : wrap(text, layout.width, INDENT, `${INDENT}  `);

function micBlock({ row, capsules }: Entry, layout: ReportLayout): Block {
  const shown = layout.brief ? capsules.filter(({ verdict }) => verdict !== row.verdict) : capsules;
  const rows = [
    micRow(row, row.name, layout),
    ...(row.purpose === 'parts' ? shown : []).map((one) => micRow(one, `  ${side(one)}`, layout)),
  ];
  if (layout.brief) return { rows, details: [] };
  const each = layout.all ? capsules.flatMap((capsule) => details(capsule, layout, capsule.name)) : [];
  return { rows, details: [...details(row, layout), ...each] };
}

/** "left" of "overheads.left". */
const side = (capsule: MicRow): string => capsule.name.slice((capsule.pair?.length ?? -1) + 1);
