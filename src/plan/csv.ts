/** One CSV reader with cell offsets (today two: `;` and quoted commas work in readings, not in angle tables). */
import {
  type Entry,
  type Fault,
  type ListNode,
  type MapNode,
  type Mark,
  type Scalar,
  shown,
} from './document.ts';
import { angleTable, readWith, TABLE_KEY } from './schema.ts';

// Text of separated values to cells: commas, semicolons or tabs, quotes as in RFC 4180, lines of `#` passed over.
export type TextCell = { readonly text: string; readonly offset: number; readonly quoted: boolean };

type Separated = {
  readonly separator: string;
  readonly lines: readonly (readonly TextCell[])[];
  /** Where a quote was opened and never closed, or null. */
  readonly open: number | null;
  /** Where reading stopped since there were too many cells, or null. */
  readonly beyond: number | null;
};

/** Of a table: far above a session, far below what would fill the memory. */
export const MOST_CELLS = 100_000;

/** Cells trimmed of blanks; empty lines are left out. */
export function separated(text: string): Separated {
  const start = text.startsWith('\ufeff') ? 1 : 0;
  const separator = separatorOf(text, start);
  const lines: TextCell[][] = [];
  let cells = 0;
  let at = start;
  while (at < text.length) {
    if (text[at] === '#') {
      at = lineEnd(text, at) + 1;
      continue;
    }
    const line = readLine(text, at, separator);
    if (line.open !== null) return { separator, lines, open: line.open, beyond: null };
    cells += line.cells.length;
    if (cells > MOST_CELLS) return { separator, lines, open: null, beyond: at };
    if (line.cells.some((cell) => cell.text !== '')) lines.push(line.cells);
    at = line.next;
  }
  return { separator, lines, open: null, beyond: null };
}

/** The one of which the first line that is no remark holds most. */
function separatorOf(text: string, start: number): string {
  let at = start;
  while (text[at] === '#' || text[at] === '\n' || text[at] === '\r') at = lineEnd(text, at) + 1;
  const head = text.slice(at, lineEnd(text, at));
  const count = (mark: string) => head.split(mark).length;
  return [',', ';', '\t'].reduce((best, mark) => (count(mark) > count(best) ? mark : best));
}

function lineEnd(text: string, from: number): number {
  const end = text.indexOf('\n', from);
  return end < 0 ? text.length : end;
}

type CellLine = { readonly cells: TextCell[]; readonly next: number; readonly open: number | null };

function readLine(text: string, from: number, separator: string): CellLine {
  const cells: TextCell[] = [];
  for (let at = from; ; ) {
    const quote = /[^\S\r\n\t]*"/y;
    quote.lastIndex = at;
    const opening = quote.test(text) ? quote.lastIndex - 1 : -1;
    const cell = opening < 0 ? bareCell(text, at, separator) : quotedCell(text, opening);
    if (cell === null) return { cells, next: text.length, open: opening };
    cells.push(cell.cell);
    const end = nextMark(text, cell.end, separator);
    if (text[end] !== separator) return { cells, next: end + 1, open: null };
    at = end + 1;
  }
}

type Read = { readonly cell: TextCell; readonly end: number };

function bareCell(text: string, from: number, separator: string): Read {
  const end = nextMark(text, from, separator);
  const raw = text.slice(from, end);
  const offset = from + (raw.length - raw.trimStart().length);
  return { cell: { text: raw.trim().normalize('NFC'), offset, quoted: false }, end };
}

function quotedCell(text: string, opening: number): Read | null {
  const body = /"((?:[^"]|"")*)"/y;
  body.lastIndex = opening;
  const inside = body.exec(text)?.[1];
  if (inside === undefined) return null;
  const plain = inside.replaceAll('""', '"').trim().normalize('NFC');
  return { cell: { text: plain, offset: opening, quoted: true }, end: body.lastIndex };
}

/** The next separator or end of line. */
function nextMark(text: string, from: number, separator: string): number {
  let at = from;
  while (at < text.length && text[at] !== separator && text[at] !== '\n') at++;
  return at;
}

// A table by angle in comma-separated values: `angle_deg,125,250,…`, then a line for each angle; a line after # is a remark.

/** Far above a table of every tenth of a degree in eight bands. */
const LONGEST_TEXT = 200_000;

/** Faults told of one file; who has mistaken the file has one in every cell. */
const MOST_FAULTS = 10;

type ReadTable = { readonly node: MapNode; readonly faults: readonly Fault[] };

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

// Comma-separated values as lines of cells, and whether they make a table by angle.

/** Far above a table of every tenth of a degree. */
const MOST_ROWS = 2000;

/** Numbers count from 1, remarks and empty lines too. */
type Line = { readonly number: number; readonly cells: readonly string[] };

/** Every line that is neither empty nor a remark, which begins with #. */
function linesOf(text: string): Line[] {
  const lines = text.replace(/^\ufeff/, '').split(/\r\n|\n|\r/);
  const written = lines.map((line, i) => ({ line: line.trim(), number: i + 1 }));
  return written
    .filter(({ line }) => line !== '' && !line.startsWith('#'))
    .map(({ line, number }) => ({ number, cells: line.split(',').map(cellOf) }));
}

const cellOf = (cell: string): string =>
  cell
    .trim()
    .replace(/^"(.*)"$/, '$1')
    .normalize('NFC');

/** What keeps lines from being a table; messages go on from the name of the file. */
function shapeFaults(header: Line | undefined, rows: readonly Line[]): Fault[] {
  const wanted = `write a line such as ${TABLE_KEY},125,1000`;
  if (!header) return [fault('which holds no line', wanted)];
  const [first = ''] = header.cells;
  if (first !== TABLE_KEY) {
    const message = `whose cell 1 in line ${header.number} must be ${TABLE_KEY}, got ${shown(first)}`;
    return [fault(message, `${wanted}: cells are parted by commas`)];
  }
  if (header.cells.length < 2) return [fault(`whose line ${header.number} names no band`, wanted)];
  if (rows.length < 2) return [fault('whose lines must give at least two angles, 0 and 180', 'add them')];
  if (rows.length > MOST_ROWS)
    return [fault(`whose ${rows.length} angles are more than ${MOST_ROWS}`, 'take fewer angles')];
  return [...repeats(header), ...uneven(header, rows)];
}

function repeats({ number, cells }: Line): Fault[] {
  const twice = cells.flatMap((cell, i) => (cells.indexOf(cell) < i ? [i] : []));
  return twice.map((i) =>
    fault(`whose cell ${i + 1} in line ${number} repeats ${shown(cells[i] ?? '')}`, 'take one out'),
  );
}

function uneven(header: Line, rows: readonly Line[]): Fault[] {
  const wanted = header.cells.length;
  return rows
    .filter(({ cells }) => cells.length !== wanted)
    .map(({ number, cells }) => {
      const found = cells.length === 1 ? '1 cell' : `${cells.length} cells`;
      const message = `whose line ${number} has ${found}, where the header has ${wanted}`;
      return fault(message, 'write an angle and one number for each band; decimals take a point');
    });
}

const fault = (message: string, mend: string): Fault => ({ code: 'WRONG_SHAPE', message, mend });
