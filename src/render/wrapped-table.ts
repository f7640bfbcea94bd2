/** Rows under heads whose cells go over several lines, so that nothing is cut where many columns stand side by side. */
import { broken } from './broken.ts';
import type { Cell } from './table.ts';
import { displayWidth } from './width.ts';

export type Tall = {
  /** One below the other. */
  readonly parts: readonly Cell[];
  readonly align: 'left' | 'right';
  /** `names` are broken after hyphens, too. */
  readonly breaks: 'names' | 'words' | 'not';
};

const GAP = 2;
const INDENT = 2;
/** What a line begins with that goes on with the one above. */
const GOES_ON = '  ';
/** Narrower than this no names are made, so that most take no more than two lines. */
const LEAST_NAME = 18;

/** The heads are the first row. Null where not even single words fit beside each other. */
export function wrappedTable(rows: readonly (readonly Tall[])[], width: number): string[] | null {
  const widths = fitted(rows, width - INDENT);
  return widths && rows.flatMap((row) => laidOut(row, widths));
}

function fitted(rows: readonly (readonly Tall[])[], width: number): number[] | null {
  const columns = (rows[0] ?? []).map((_, i) => rows.flatMap((row) => row[i]?.parts ?? []));
  const least = columns.map((parts, i) =>
    Math.max(...parts.map(({ text }) => leastWidth(text, rows.at(-1)?.[i]?.breaks ?? 'not'))),
  );
  const widths = columns.map((parts) => Math.max(...parts.map(({ text }) => displayWidth(text))));
  const tooMuch = () => widths.reduce((sum, one) => sum + one + GAP, -GAP) - width;
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

function laidOut(row: readonly Tall[], widths: readonly number[]): string[] {
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
    return (' '.repeat(INDENT) + line.join(' '.repeat(GAP))).trimEnd();
  });
}
