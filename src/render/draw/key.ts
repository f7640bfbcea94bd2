/** The key: only what the drawing shows, in the drawing's own marks. */
import { line, mark, plain } from './mark.ts';
import { KEY_WIDTH } from './page.ts';
import type { Point } from './plane.ts';
import { fitText, setInLines } from './text-width.ts';

export type Entry = {
  /** Marks about the middle of its field, which is `FIELD` mm wide. */
  readonly symbol: (at: Point) => string;
  readonly text: string;
  /** Least height, mm. */
  readonly height?: number;
};

export type Block = {
  readonly heading: string;
  readonly entries: readonly Entry[];
};

const SIZE = 2.5;
/** What a heading's heavier, spaced letters come to, mm. */
const BOLD = 2.85;
const PITCH = 3.2;
export const FIELD = 14;
const HEADING = 5;
const AFTER = 3.4;
const LEAST = 5.2;

const linesOf = ({ text }: Entry): string[] =>
  text === '' ? [] : setInLines(text, SIZE, KEY_WIDTH - FIELD - 1.5);
const heightOf = (entry: Entry): number =>
  Math.max(entry.height ?? LEAST, linesOf(entry).length * PITCH + 1.6);
const blockHeight = ({ entries }: Block): number =>
  HEADING + entries.reduce((sum, entry) => sum + heightOf(entry), 0) + AFTER;

/** Which column each block stands in, and how high the highest is. A block is never broken. */
function flow(blocks: readonly Block[], columns: number): { readonly of: number[]; readonly height: number } {
  const total = blocks.reduce((sum, block) => sum + blockHeight(block), 0);
  const tallest = Math.max(...blocks.map(blockHeight));
  for (let room = Math.max(total / columns, tallest); ; room += 4) {
    const heights = [0];
    const of = blocks.map((block) => {
      const last = heights.length - 1;
      if ((heights[last] as number) + blockHeight(block) > room) heights.push(0);
      heights[heights.length - 1] = (heights.at(-1) as number) + blockHeight(block);
      return heights.length - 1;
    });
    if (heights.length <= columns) return { of, height: Math.max(...heights) };
  }
}

export const keyHeight = (blocks: readonly Block[], columns: number): number => flow(blocks, columns).height;

export function keySvg(blocks: readonly Block[], columns: readonly Point[]): string {
  const { of } = flow(blocks, columns.length);
  const used = columns.map(() => 0);
  const drawn = blocks.map((block, i) => {
    const column = of[i] as number;
    const [x, y] = columns[column] as Point;
    const top = y + (used[column] as number);
    used[column] = (used[column] as number) + blockHeight(block);
    return blockSvg(block, [x, top]);
  });
  return mark('g', { class: 'key' }, drawn.join('\n'));
}

function blockSvg({ heading, entries }: Block, [x, y]: Point): string {
  let top = y + HEADING;
  const rows = entries.map((entry) => {
    const height = heightOf(entry);
    const middle = top + height / 2;
    top += height;
    const lines = linesOf(entry);
    const first = middle - ((lines.length - 1) * PITCH) / 2 + 0.35 * SIZE;
    const texts = lines.map((text, i) =>
      mark('text', { class: 'entry', x: x + FIELD + 1.5, y: first + i * PITCH }, plain(text)),
    );
    return entry.symbol([x + FIELD / 2, middle]) + texts.join('');
  });
  const head = mark('text', { class: 'heading', x, y: y + 2.2 }, plain(fitText(heading, BOLD, KEY_WIDTH)));
  const rule = line('rule', [
    [x, y + 3.4],
    [x + KEY_WIDTH, y + 3.4],
  ]);
  return head + rule + rows.join('');
}
