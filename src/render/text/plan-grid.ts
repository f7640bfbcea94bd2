/** A grid of characters in which lines join as box drawing and marks stand on top. */
import type { Vec2 } from '../../scene/vector.ts';

/** `line` and `heavy` hold, per cell, the sides to which a line leaves it; `marks` what stands on it. */
export type Grid = {
  readonly columns: number;
  readonly rows: number;
  readonly line: Uint8Array;
  readonly heavy: Uint8Array;
  readonly marks: Map<number, string>;
  readonly cellOf: (point: Vec2) => Cell;
};

export type Cell = readonly [column: number, row: number];

const [NORTH, EAST, SOUTH, WEST] = [1, 2, 4, 8] as const;

export const emptyGrid = (columns: number, rows: number, cellOf: Grid['cellOf']): Grid => ({
  columns,
  rows,
  cellOf,
  line: new Uint8Array(columns * rows),
  heavy: new Uint8Array(columns * rows),
  marks: new Map(),
});

export const indexOf = ({ columns }: Grid, [column, row]: Cell): number => row * columns + column;

/** Joins each cell of the way from a to b with the next. */
export function drawLine(grid: Grid, into: Uint8Array, a: Vec2, b: Vec2): void {
  const cells = cellsBetween(grid, a, b);
  for (const [i, cell] of cells.entries()) {
    const next = cells[i + 1];
    if (next) join(grid, into, cell, next);
  }
}

/** Cells from a to b, each beside, over or under the one before: the next line of the grid that the way crosses decides. */
export function cellsBetween({ cellOf }: Grid, a: Vec2, b: Vec2): Cell[] {
  const [from, to] = [cellOf(a), cellOf(b)];
  const [across, down] = [to[0] - from[0], to[1] - from[1]];
  const cells: Cell[] = [from];
  let [aside, below] = [0, 0];
  while (aside < Math.abs(across) || below < Math.abs(down)) {
    if ((1 + 2 * aside) * Math.abs(down) < (1 + 2 * below) * Math.abs(across)) aside += 1;
    else below += 1;
    cells.push([from[0] + aside * Math.sign(across), from[1] + below * Math.sign(down)]);
  }
  return cells;
}

function join(grid: Grid, into: Uint8Array, a: Cell, b: Cell): void {
  const [one, other] = [indexOf(grid, a), indexOf(grid, b)];
  into[one] = (into[one] ?? 0) | sideToward(a, b);
  into[other] = (into[other] ?? 0) | sideToward(b, a);
}

function sideToward(a: Cell, b: Cell): number {
  if (b[0] !== a[0]) return b[0] > a[0] ? EAST : WEST;
  return b[1] > a[1] ? SOUTH : NORTH;
}

/** By sides: north 1, east 2, south 4, west 8. */
const LIGHT = ' │─└││┌├─┘─┴┐┤┬┼';
const HEAVY = ' ┃━┗┃┃┏┣━┛━┻┓┫┳╋';

export function gridLines(grid: Grid): string[] {
  return Array.from({ length: grid.rows }, (_, row) =>
    Array.from({ length: grid.columns }, (_, column) => characterAt(grid, row * grid.columns + column))
      .join('')
      .trimEnd(),
  );
}

const characterAt = ({ marks, heavy, line }: Grid, cell: number): string =>
  marks.get(cell) ?? (heavy[cell] ? HEAVY[heavy[cell] ?? 0] : LIGHT[line[cell] ?? 0]) ?? ' ';
