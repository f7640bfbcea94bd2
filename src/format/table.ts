/** Text in columns of a terminal: tables, lines broken at a width, the width of characters, colour. */
import { Chalk } from 'chalk';

// Rows under heads, in which what is too long goes on below instead of being cut: nothing on a sheet may be lost.
const NARROWEST_LIST = 6;

/** One block of lines per row, the heads first. */
export function laidOutList(
  heads: readonly string[],
  rows: readonly (readonly string[])[],
  width: number,
): string[][] {
  const widths = fittedList([heads, ...rows], width);
  return [heads, ...rows].map((row) => {
    const cells = row.map((cell, i) => wrap(cell, widths[i] ?? 0));
    const height = Math.max(1, ...cells.map((lines) => lines.length));
    return Array.from({ length: height }, (_, line) =>
      cells
        .map((lines, i) => padEnd(lines[line] ?? '', widths[i] ?? 0))
        .join(GAP)
        .trimEnd(),
    );
  });
}

/** The widest columns give way first. */
function fittedList(rows: readonly (readonly string[])[], width: number): number[] {
  const widths = (rows[0] ?? []).map((_, i) => Math.max(...rows.map((row) => displayWidth(row[i] ?? ''))));
  const tooMuch = () => widths.reduce((sum, one) => sum + one, GAP.length * (widths.length - 1)) > width;
  while (tooMuch()) {
    const widest = Math.max(...widths);
    if (widest <= NARROWEST_LIST) break;
    widths[widths.indexOf(widest)] = widest - 1;
  }
  return widths;
}

// Rows under heads whose cells go over several lines, so that nothing is cut where many columns stand side by side.

export type Tall = {
  /** One below the other. */
  readonly parts: readonly Cell[];
  readonly align: 'left' | 'right';
  /** `names` are broken after hyphens, too. */
  readonly breaks: 'names' | 'words' | 'not';
};

const WRAPPED_GAP = 2;

const INDENT = 2;

/** What a line begins with that goes on with the one above. */
const GOES_ON = '  ';

/** Narrower than this no names are made, so that most take no more than two lines. */
const LEAST_NAME = 18;

/** The heads are the first row. Null where not even single words fit beside each other. */
export function wrappedTable(rows: readonly (readonly Tall[])[], width: number): string[] | null {
  const widths = wrappedTableFitted(rows, width - INDENT);
  return widths && rows.flatMap((row) => laidOutRows(row, widths));
}

function wrappedTableFitted(rows: readonly (readonly Tall[])[], width: number): number[] | null {
  const columns = (rows[0] ?? []).map((_, i) => rows.flatMap((row) => row[i]?.parts ?? []));
  const least = columns.map((parts, i) =>
    Math.max(...parts.map(({ text }) => leastWidth(text, rows.at(-1)?.[i]?.breaks ?? 'not'))),
  );
  const widths = columns.map((parts) => Math.max(...parts.map(({ text }) => displayWidth(text))));
  const tooMuch = () => widths.reduce((sum, one) => sum + one + WRAPPED_GAP, -WRAPPED_GAP) - width;
  while (tooMuch() > 0) {
    const loose = widths.map((one, i) => (one > (least[i] ?? 0) ? one : 0));
    const widest = Math.max(...loose);
    if (widest === 0) return null;
    widths[loose.indexOf(widest)] = widest - 1;
  }
  return widths;
}

function leastWidth(text: string, breaks: Tall['breaks']): number {
  if (breaks === 'not') return displayWidth(text);
  if (breaks === 'names') return Math.min(LEAST_NAME, displayWidth(text));
  return Math.max(...text.split(' ').map((word, i) => displayWidth(word) + (i > 0 ? GOES_ON.length : 0)));
}

function laidOutRows(row: readonly Tall[], widths: readonly number[]): string[] {
  const cells = row.map(({ parts, align }, i) =>
    parts
      .filter(({ text }) => text !== '')
      .flatMap(({ text, paint }) =>
        broken(text, widths[i] ?? 0, GOES_ON).map((line) => {
          const space = ' '.repeat((widths[i] ?? 0) - displayWidth(line));
          return align === 'right' ? space + paint(line) : paint(line) + space;
        }),
      ),
  );
  const height = Math.max(0, ...cells.map((lines) => lines.length));
  return Array.from({ length: height }, (_, at) => {
    const line = cells.map((lines, i) => lines[at] ?? ' '.repeat(widths[i] ?? 0));
    return (' '.repeat(INDENT) + line.join(' '.repeat(WRAPPED_GAP))).trimEnd();
  });
}

// Names over several lines: broken where one would break them by hand.

/** At blanks; a word longer than a line after its hyphens and strokes, or else where the line ends. `goesOn` starts lines but the first. */
export function broken(text: string, width: number, goesOn = ''): string[] {
  const lines: string[] = [];
  const room = () => width - (lines.length === 0 ? 0 : displayWidth(goesOn));
  const put = (piece: string, between: string) => {
    const longer = `${lines.at(-1) ?? ''}${between}${piece}`;
    if (lines.length > 0 && displayWidth(longer) <= width) lines[lines.length - 1] = longer;
    else
      for (const part of split(piece, width - displayWidth(goesOn), room()))
        lines.push((lines.length === 0 ? '' : goesOn) + part);
  };
  for (const word of text.split(' ')) {
    const pieces = displayWidth(word) > room() ? word.split(/(?<=[-/])/) : [word];
    for (const [i, piece] of pieces.entries()) put(piece, i === 0 ? ' ' : '');
  }
  return lines;
}

/** By the lines that go on; the first has `room`. */
function split(piece: string, width: number, room = width): string[] {
  if (displayWidth(piece) <= room) return [piece];
  const start = head(piece, room);
  return start === '' ? [piece] : [start, ...split(piece.slice(start.length), width)];
}

// Rows under heads, numbers to the right, laid out to a width.

export type Column = {
  readonly head: string;
  readonly align: 'left' | 'right';
  /** May be cut short where the line would be too long, down to eight columns. */
  readonly flexible?: boolean;
  readonly least?: number;
};

export type Cell = { readonly text: string; readonly paint: (text: string) => string };

const GAP = '  ';

const NARROWEST = 8;

/** One line per row, the heads first. `width` counts the indent too. */
export function table(
  columns: readonly Column[],
  rows: readonly (readonly Cell[])[],
  width: number,
  indent = '  ',
): string[] {
  const heads = columns.map((column) => plain(column.head));
  const widths = fitted(columns, [heads, ...rows], width - indent.length);
  return [heads, ...rows].map((row) => {
    const cells = row.map((cell, i) => laidOut(cell, columns[i]?.align ?? 'left', widths[i] ?? 0));
    return (indent + cells.join(GAP)).trimEnd();
  });
}

export const plain = (text: string): Cell => ({ text, paint: (shown) => shown });

function laidOut(cell: Cell, align: Column['align'], width: number): string {
  const text = cut(cell.text, width);
  const space = ' '.repeat(width - displayWidth(text));
  return align === 'right' ? space + cell.paint(text) : cell.paint(text) + space;
}

function fitted(columns: readonly Column[], rows: readonly (readonly Cell[])[], width: number): number[] {
  const widths = columns.map(({ least = 0 }, i) =>
    Math.max(least, ...rows.map((row) => displayWidth(row[i]?.text ?? ''))),
  );
  const tooMuch = () => widths.reduce((sum, w) => sum + w, GAP.length * (widths.length - 1)) - width;
  while (tooMuch() > 0) {
    const widest = Math.max(...widths.filter((_, i) => columns[i]?.flexible));
    if (widest <= NARROWEST) break;
    widths[widths.findIndex((w, i) => w === widest && columns[i]?.flexible)] = widest - 1;
  }
  return widths;
}

/** Ways to set off text. Never the only sign of anything: every verdict is also a word. */
export type Paint = {
  readonly strong: (text: string) => string;
  readonly faint: (text: string) => string;
  readonly clear: (text: string) => string;
  readonly marginal: (text: string) => string;
  readonly short: (text: string) => string;
};

export function paint(colour: boolean): Paint {
  const chalk = new Chalk({ level: colour ? 1 : 0 });
  return {
    strong: (text) => chalk.bold(text),
    faint: (text) => chalk.dim(text),
    clear: (text) => chalk.green(text),
    marginal: (text) => chalk.yellow(text),
    short: (text) => chalk.red.bold(text),
  };
}

/** Breaks a text into lines at spaces; `first` starts the first line, `rest` the others. Overlong words are split. */
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

/** A word in pieces of at most that width. */
export function pieces(word: string, width: number): string[] {
  if (displayWidth(word) <= width) return [word];
  const start = head(word, width);
  return start === '' ? [word] : [start, ...pieces(word.slice(start.length), width)];
}

// Columns that text takes on a terminal: wide scripts and emoji take two, marks none.

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

/** Cut to a width, the loss marked with an ellipsis. */
export function cut(text: string, width: number): string {
  if (displayWidth(text) <= width) return text;
  return `${head(text, width - 1)}…`;
}

/** As much of the text's start as fits, never half a character. */
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
