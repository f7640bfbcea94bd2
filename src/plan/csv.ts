/**
 * Separated values to cells, each with its place in the text: commas, semicolons or tabs, quoted cells with doubled quotes
 * as in RFC 4180, any line ends, a byte order mark, and lines of remarks that begin with #.
 */

/** `offset` counts UTF-16 units of the text; `text` is trimmed. */
export type CsvCell = { readonly text: string; readonly offset: number };

export type CsvLine = {
  /** Counted from 1, with remarks, empty lines and line ends within quotes. */
  readonly number: number;
  readonly cells: readonly CsvCell[];
};

export type Csv = {
  /** Lines that are neither empty nor a remark. */
  readonly lines: readonly CsvLine[];
  /** Where reading stopped, and why: a quote that is never closed, or more than `MOST_CELLS`. */
  readonly stop: { readonly why: 'open quote' | 'too many cells'; readonly offset: number } | null;
};

/** Of a table: far above a session, far below what would fill the memory. */
export const MOST_CELLS = 100_000;

export function readCsv(text: string): Csv {
  const lines: CsvLine[] = [];
  const remark = /[^\S\r\n]*(?:#[^\r\n]*)?(?:\r\n?|\n|$)/y;
  let cell: RegExp | null = null;
  let at = text.startsWith('\ufeff') ? 1 : 0;
  let [number, count] = [1, 0];
  while (at < text.length) {
    const [skipped] = matchAt(remark, text, at) ?? [];
    if (skipped !== undefined) {
      at += skipped.length;
      number++;
      continue;
    }
    cell ??= cellPattern(separatorOf(text.slice(at)));
    const line = { number, cells: [] as CsvCell[] };
    const start = at;
    for (let more = true; more; ) {
      const match = matchAt(cell, text, at);
      if (!match) return { lines, stop: { why: 'open quote', offset: text.indexOf('"', at) } };
      const [whole, quoted, bare = '', separator] = match;
      const offset = at + (quoted === undefined ? bare.search(/\S|$/) : whole.indexOf('"'));
      const plain = quoted === undefined ? bare : quoted.replaceAll('""', '"');
      line.cells.push({ text: plain.trim().normalize('NFC'), offset });
      at += whole.length;
      number += whole.match(/\r\n?|\n/g)?.length ?? 0;
      more = separator !== undefined;
    }
    count += line.cells.length;
    if (count > MOST_CELLS) return { lines, stop: { why: 'too many cells', offset: start } };
    if (line.cells.some((one) => one.text !== '')) lines.push(line);
  }
  return { lines, stop: null };
}

function matchAt(sticky: RegExp, text: string, at: number): RegExpExecArray | null {
  sticky.lastIndex = at;
  return sticky.exec(text);
}

/** A cell in quotes or without, up to its end; nothing where a quote is never closed. What is behind a closed quote is dropped. */
const cellPattern = (separator: string): RegExp =>
  new RegExp(
    `(?:[^\\S\\r\\n\\t]*"([^"]*(?:""[^"]*)*)"(?!")|(?![^\\S\\r\\n\\t]*"))` +
      `([^${separator}\\r\\n]*)(?:(${separator})|\\r\\n?|\\n|$)`,
    'y',
  );

/** The mark that the first line holds most of, quoted cells aside. */
function separatorOf(text: string): string {
  const [head = ''] = /^[^\r\n]*/.exec(text) ?? [];
  const count = (mark: string) => head.replace(/"[^"]*"/g, '').split(mark).length;
  return [',', ';', '\t'].reduce((best, mark) => (count(mark) > count(best) ? mark : best));
}
