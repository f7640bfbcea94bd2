/** A table by angle in comma-separated values: `angle_deg,125,250,…`, then a line for each angle; a line after # is a remark. */
import { type Line, linesOf, shapeFaults } from './csv-lines.ts';
import { angleTable, TABLE_KEY } from './schema-bands.ts';
import { type Fault, readWith } from './schema-frame.ts';
import type { Entry, ListNode, MapNode, Mark, Scalar } from './tree.ts';

/** Far above a table of every tenth of a degree in eight bands. */
const LONGEST_TEXT = 200_000;
/** Faults told of one file; who has mistaken the file has one in every cell. */
const MOST_FAULTS = 10;

export type ReadTable = { readonly node: MapNode; readonly faults: readonly Fault[] };

/** The table as a plan would write it, every value at `mark`; with faults, one that says nothing in its place. */
export function tableOf(text: string, file: string, mark: Mark): ReadTable {
  const broken = (faults: readonly Fault[]): ReadTable => ({
    node: flatTable(mark),
    faults: fewest(faults).map((fault) => ({ ...fault, message: `names ${file}, ${fault.message}` })),
  });
  if (text.length > LONGEST_TEXT) {
    const message = `which holds ${text.length} characters: at most ${LONGEST_TEXT} are read`;
    return broken([{ code: 'FILE_UNREADABLE', message, mend: 'take fewer angles' }]);
  }
  const [header, ...rows] = linesOf(text);
  const misshapen = shapeFaults(header, rows);
  if (!header || misshapen.length > 0) return broken(misshapen);
  const node = nodeOf(header, rows, mark);
  const { faults } = readWith(angleTable, node);
  return faults.length > 0 ? broken(faults.map((fault) => inFile(fault, header, rows))) : { node, faults };
}

/** A table that says nothing: 0 dB everywhere. */
export const flatTable = (mark: Mark): MapNode =>
  nodeOf(
    { number: 1, cells: [TABLE_KEY, '1000'] },
    [
      { number: 2, cells: ['0', '0'] },
      { number: 3, cells: ['180', '0'] },
    ],
    mark,
  );

function nodeOf(header: Line, rows: readonly Line[], mark: Mark): MapNode {
  const entries = header.cells.map((key, column): [string, Entry] => {
    const items = rows.map(({ cells }) => scalarOf(cells[column] ?? '', mark));
    const node: ListNode = { kind: 'list', items, unevenCommas: false, mark };
    return [key, { key: mark, node }];
  });
  return { kind: 'map', entries: new Map(entries), mark };
}

const scalarOf = (text: string, mark: Mark): Scalar => ({
  kind: 'scalar',
  value: text,
  text,
  units: 'm',
  mark,
  foreign: null,
});

/** A fault of the table told by line and cell of its file. */
function inFile(fault: Fault, header: Line, rows: readonly Line[]): Fault {
  const [key, row = key === TABLE_KEY ? disorder(rows) : undefined] = fault.path ?? [];
  const column = header.cells.indexOf(String(key));
  const line = typeof row === 'number' ? (rows[row] ?? header) : header;
  const place =
    column < 0
      ? `line ${line.number}`
      : `cell ${column + 1}${line === header ? '' : ` (${key})`} in line ${line.number}`;
  const { code, message, mend } = fault;
  return { code, message: `whose ${place} ${message}`, ...(mend !== undefined && { mend }) };
}

/** The row at which the angles leave their order: the first that does not rise, else one of the ends. */
function disorder(rows: readonly Line[]): number {
  const angles = rows.map(({ cells }) => Number(cells[0]));
  const fall = angles.findIndex((angle, i) => i > 0 && angle <= (angles[i - 1] ?? 0));
  return fall >= 0 ? fall : angles[0] === 0 ? rows.length - 1 : 0;
}

function fewest(faults: readonly Fault[]): readonly Fault[] {
  const more = faults.length - MOST_FAULTS;
  if (more <= 0) return faults;
  const rest: Fault = {
    code: 'WRONG_SHAPE',
    message: `which has ${more} more faults`,
    mend: 'see that it is the right file',
  };
  return [...faults.slice(0, MOST_FAULTS), rest];
}
