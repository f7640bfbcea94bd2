/** Text in terminal columns: tables, wrapping, character widths, colour. */
import { Chalk } from 'chalk';

export type Cell = { readonly text: string; readonly paint: (text: string) => string };
export const plain = (text: string): Cell => ({ text, paint: (shown) => shown });

const GAP = '  ';

export type Column = {
  readonly head: string;
  readonly align: 'left' | 'right';
  /** May be truncated to eight columns if the line would be too long. */
  readonly flexible?: boolean;
  readonly least?: number;
};

const NARROWEST = 8;

/** One line per row, heads first. `width` includes the indent. */
export function table(
  columns: readonly Column[],
  rows: readonly (readonly Cell[])[],
  width: number,
  indent = '  ',
): string[] {
  const cells = [columns.map(({ head }) => plain(head)), ...rows];
  const wanted = columns.map(({ least = 0 }, i) =>
    Math.max(least, ...cells.map((row) => displayWidth(row[i]?.text ?? ''))),
  );
  const narrowest = columns.map(({ flexible }, i) => (flexible ? NARROWEST : (wanted[i] ?? 0)));
  const widths = fitted(wanted, narrowest, width - indent.length);
  const sides = columns.map(({ align }) => align);
  return cells.flatMap((row) => {
    const shown = row.map(({ text, paint }, i) => [{ text: cut(text, widths[i] ?? 0), paint }]);
    return rowLines(shown, { widths, sides, indent });
  });
}

const NARROWEST_LIST = 6;

/** Cells wrapped over several lines: one block of lines per row, heads first. */
export function laidOutList(rows: readonly (readonly string[])[], width: number, indent: string): string[][] {
  const columns = (rows[0] ?? []).map((_, i) => rows.map((row) => row[i] ?? ''));
  const wanted = columns.map((cells) => Math.max(...cells.map(displayWidth)));
  const narrowest = columns.map(() => NARROWEST_LIST);
  const widths = fitted(wanted, narrowest, width - indent.length);
  return rows.map((row) => {
    const cells = row.map((cell, i) => wrap(cell, widths[i] ?? 0).map(plain));
    return rowLines(cells, { widths, sides: [], indent });
  });
}

/** A cell of texts one below the other; `names` wrap after hyphens too. */
export type Tall = {
  readonly parts: readonly Cell[];
  readonly align: Column['align'];
  readonly breaks: 'names' | 'words' | 'not';
};

/** Indent of continuation lines. */
const GOES_ON = '  ';
/** Names are not wrapped more narrowly, so that most take at most two lines. */
const LEAST_NAME = 18;

/** Heads are the first row. Null if not even single words fit side by side. */
export function wrappedTable(rows: readonly (readonly Tall[])[], width: number): string[] | null {
  const columns = (rows[0] ?? []).map((_, i) => rows.flatMap((row) => row[i]?.parts ?? []));
  const wanted = columns.map((parts) => Math.max(...parts.map(({ text }) => displayWidth(text))));
  const narrowest = columns.map((parts, i) =>
    Math.max(...parts.map(({ text }) => leastWidth(text, rows.at(-1)?.[i]?.breaks ?? 'not'))),
  );
  const widths = fitted(wanted, narrowest, width - GAP.length);
  if (total(widths) > width - GAP.length) return null;
  return rows.flatMap((row) => {
    const cells = row.map(({ parts }, i) =>
      parts
        .filter(({ text }) => text !== '')
        .flatMap(({ text, paint }) =>
          broken(text, widths[i] ?? 0, GOES_ON).map((line): Cell => ({ text: line, paint })),
        ),
    );
    return rowLines(cells, { widths, sides: row.map(({ align }) => align), indent: GAP });
  });
}

function leastWidth(text: string, breaks: Tall['breaks']): number {
  if (breaks === 'not') return displayWidth(text);
  if (breaks === 'names') return Math.min(LEAST_NAME, displayWidth(text));
  return Math.max(...text.split(' ').map((word, i) => displayWidth(word) + (i > 0 ? GOES_ON.length : 0)));
}

const total = (widths: readonly number[]): number =>
  widths.reduce((sum, one) => sum + one, GAP.length * (widths.length - 1));

/** Shrinks the widest columns first, none below its narrowest, until they fit or cannot shrink further. */
function fitted(wanted: readonly number[], narrowest: readonly number[], room: number): number[] {
  const widths = [...wanted];
  while (total(widths) > room) {
    const loose = widths.map((one, i) => (one > (narrowest[i] ?? 0) ? one : 0));
    const widest = Math.max(...loose);
    if (widest === 0) break;
    widths[loose.indexOf(widest)] = widest - 1;
  }
  return widths;
}

type RowLayout = {
  readonly widths: readonly number[];
  /** Left by default. */
  readonly sides: readonly Column['align'][];
  readonly indent: string;
};

/** Cells of one or more lines side by side. */
function rowLines(cells: readonly (readonly Cell[])[], { widths, sides, indent }: RowLayout): string[] {
  const height = Math.max(0, ...cells.map((lines) => lines.length));
  return Array.from({ length: height }, (_, at) => {
    const line = cells.map((lines, i) => {
      const { text, paint } = lines[at] ?? plain('');
      const space = gap(text, widths[i] ?? 0);
      return sides[i] === 'right' ? space + paint(text) : paint(text) + space;
    });
    return (indent + line.join(GAP)).trimEnd();
  });
}

/** Text styles. Never the only sign: every verdict is also a word. */
export type Paint = Readonly<Record<'strong' | 'faint' | 'clear' | 'marginal' | 'short', Cell['paint']>>;

export function paint(colour: boolean): Paint {
  const { bold, dim, green, yellow, red } = new Chalk({ level: colour ? 1 : 0 });
  return {
    strong: (text) => bold(text),
    faint: (text) => dim(text),
    clear: (text) => green(text),
    marginal: (text) => yellow(text),
    short: (text) => red.bold(text),
  };
}

/** Wraps at spaces; `first` starts the first line, `rest` the others. Overlong words are split. */
export function wrap(text: string, width: number, first = '', rest = first): string[] {
  const lines: string[] = [];
  let line = '';
  const indent = () => (lines.length === 0 ? first : rest);
  const room = () => width - displayWidth(indent());
  for (const word of text.split(' ').flatMap((part) => pieces(part, width - displayWidth(rest)))) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line !== '' && displayWidth(longer) > room()) {
      lines.push(indent() + line);
      line = word;
    } else line = longer;
  }
  return [...lines, indent() + line];
}

/** Wraps at spaces, overlong words after hyphens and slashes or at the line's end. `goesOn` starts every line but the first. */
export function broken(text: string, width: number, goesOn = ''): string[] {
  const lines: string[] = [];
  const room = () => width - (lines.length === 0 ? 0 : displayWidth(goesOn));
  const put = (piece: string, between: string) => {
    const longer = `${lines.at(-1) ?? ''}${between}${piece}`;
    if (lines.length > 0 && displayWidth(longer) <= width) lines[lines.length - 1] = longer;
    else
      for (const start of pieces(piece, width - displayWidth(goesOn), room()))
        lines.push((lines.length === 0 ? '' : goesOn) + start);
  };
  for (const word of text.split(' ')) {
    const parts = displayWidth(word) > room() ? word.split(/(?<=[-/])/) : [word];
    for (const [i, piece] of parts.entries()) put(piece, i === 0 ? ' ' : '');
  }
  return lines;
}

/** A word in pieces of at most that width; the first may take `room`. */
export function pieces(word: string, width: number, room = width): string[] {
  if (displayWidth(word) <= room) return [word];
  const start = head(word, room);
  return start === '' ? [word] : [start, ...pieces(word.slice(start.length), width)];
}

// Terminal columns of text: wide scripts and emoji take two, combining marks none.

/** A flag, or a character with the marks, skin tones and joined characters that belong to it. */
const CLUSTER = /(?:\p{RI}\p{RI}|.)(?:\p{M}|\p{EMod}|\u200c|\u200d.?)*/gsu;
/** East Asian Wide and Fullwidth (Unicode Annex 11) by script and block, and what shows as a picture by itself. */
const WIDE =
  /^[\p{scx=Han}\p{scx=Hira}\p{scx=Kana}\p{sc=Hangul}\p{sc=Bopo}\p{sc=Yi}\u3000-\u303e\uff01-\uff60\uffe0-\uffe6\p{EPres}\p{RI}]/u;

const HALF_WIDTH = /^[\uff61-\uffdc\uffe8-\uffee\u00b7]/u;
const PICTURE = /^\p{ExtPict}\ufe0f/u;
const MARK_ONLY = /^[\p{M}\u200c\u200d]/u;
const ASCII = /^[\x20-\x7e]*$/;

export function displayWidth(text: string): number {
  if (ASCII.test(text)) return text.length;
  return clusters(text).reduce((sum, cluster) => sum + clusterWidth(cluster), 0);
}

/** Truncated to a width, with an ellipsis. */
export const cut = (text: string, width: number): string =>
  displayWidth(text) <= width ? text : `${head(text, width - 1)}…`;

/** As much of the start as fits, in whole characters. */
export function head(text: string, width: number): string {
  let kept = '';
  let left = width;
  for (const cluster of clusters(text)) {
    left -= clusterWidth(cluster);
    if (left < 0) break;
    kept += cluster;
  }
  return kept;
}

export const padEnd = (text: string, width: number): string => text + gap(text, width);
const gap = (text: string, width: number): string => ' '.repeat(Math.max(0, width - displayWidth(text)));
const clusters = (text: string): readonly string[] => text.match(CLUSTER) ?? [];

function clusterWidth(cluster: string): number {
  if (MARK_ONLY.test(cluster)) return 0;
  if (HALF_WIDTH.test(cluster)) return 1;
  return WIDE.test(cluster) || PICTURE.test(cluster) ? 2 : 1;
}
