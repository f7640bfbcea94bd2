/** Text of separated values to cells: commas, semicolons or tabs, quotes as in RFC 4180, lines of `#` passed over. */

export type TextCell = { readonly text: string; readonly offset: number; readonly quoted: boolean };

export type Separated = {
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

type Line = { readonly cells: TextCell[]; readonly next: number; readonly open: number | null };

function readLine(text: string, from: number, separator: string): Line {
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
