import type { MicRow, Report } from '../../judge/report.ts';
import { type Entry, worstFirst } from '../order.ts';
import { type Cell, table } from '../table.ts';
import { counted } from '../words.ts';
import { wrap } from '../wrap.ts';
import type { Layout } from './layout.ts';
import { details, INDENT } from './mic-details.ts';
import { lineRow, micColumns, micRow, uncut } from './mic-row.ts';

/** Without `all`, so many of the worst are spelled out, and up to so many where they are not clear. */
const ALWAYS_SPELLED = 3;
const MOST_SPELLED = 8;

type Block = { readonly rows: readonly (readonly Cell[])[]; readonly details: readonly string[] };

/** Signal to bleed of every microphone, worst first, each of the worst with what spills into it and what helps. */
export function bleed(report: Report, layout: Layout): string[] {
  const entries = worstFirst(report);
  const blocks = [
    ...entries.map((entry, i) => micBlock(entry, isSpelled(entry, i, layout), layout)),
    ...report.lines.map((line) => ({ rows: [lineRow(line, layout)], details: [] })),
  ];
  if (blocks.length === 0) return [];
  const cells = blocks.flatMap((block) => block.rows);
  const [head = '', ...lines] = table(micColumns(layout), cells, layout.width);
  const rows = lines.map((line, i) => [line, ...inFull(uncut(cells[i] ?? [], line), layout)]);
  const body = blocks.flatMap((block) => [...rows.splice(0, block.rows.length).flat(), ...block.details]);
  const short = entries.filter((entry, i) => isDetailed(entry) && !isSpelled(entry, i, layout)).length;
  const more = short > 0 ? [`  What spills into ${counted(short, 'more', 'more')}: --all`] : [];
  return [layout.paint.strong('Signal to bleed, worst first'), layout.paint.faint(head), ...body, ...more];
}

const inFull = (text: string | null, layout: Layout): string[] =>
  text === null ? [] : wrap(text, layout.width, INDENT, `${INDENT}  `);

function isSpelled({ row, capsules }: Entry, place: number, { all }: Layout): boolean {
  if (all || place < ALWAYS_SPELLED) return true;
  return (
    place < MOST_SPELLED &&
    [row, ...capsules].some((mic) => mic.verdict === 'short' || mic.verdict === 'marginal')
  );
}

const isDetailed = ({ row }: Entry): boolean => row.purpose === 'parts' && row.bleedShares !== null;

function micBlock({ row, capsules }: Entry, spelled: boolean, layout: Layout): Block {
  const rows = [
    micRow(row, row.name, layout),
    ...(row.purpose === 'parts' ? capsules : []).map((one) => micRow(one, `  ${side(one)}`, layout)),
  ];
  if (!spelled) return { rows, details: [] };
  const each = layout.all ? capsules.flatMap((capsule) => details(capsule, layout, capsule.name)) : [];
  return { rows, details: [...details(row, layout), ...each] };
}

/** "left" of "overheads.left". */
const side = (capsule: MicRow): string => capsule.name.slice((capsule.pair?.length ?? -1) + 1);
