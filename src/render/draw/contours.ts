/** Lines of one height through a grid of values, as closed loops round what is at least as high. */

export type Field = {
  readonly columns: number;
  readonly rows: number;
  /** Packed by row. */
  readonly values: Float64Array;
};

export type Node = readonly [number, number];

/**
 * Loops in units of columns and rows, what is high to the left as rows grow upward. The field's rim must lie below `height`
 * everywhere, or loops would not close.
 */
export function loopsAt(field: Field, height: number): Node[][] {
  const next = new Map<number, number>();
  const places = new Map<number, Node>();
  for (let row = 0; row + 1 < field.rows; row++) {
    for (let column = 0; column + 1 < field.columns; column++) {
      const cell = cellAt(field, column, row);
      for (const [from, to] of stretches(cell, height)) {
        const [start, end] = [edgeOf(field, column, row, from), edgeOf(field, column, row, to)];
        next.set(start, end);
        const [x, y] = onSide(cell, from, height);
        places.set(start, [column + x, row + y]);
      }
    }
  }
  return joined(next, places);
}

/** Values at the corners, anticlockwise from the lower left. */
type Cell = readonly [number, number, number, number];
type Side = 0 | 1 | 2 | 3;

function cellAt({ columns, values }: Field, column: number, row: number): Cell {
  const at = (i: number, j: number): number => values[(row + j) * columns + column + i] as number;
  return [at(0, 0), at(1, 0), at(1, 1), at(0, 1)];
}

/** A number for each side of a cell, the same from both cells that have it. */
function edgeOf({ columns }: Field, column: number, row: number, side: Side): number {
  if (side % 2 === 0) return 2 * ((row + side / 2) * columns + column);
  return 2 * (row * columns + column + (side === 1 ? 1 : 0)) + 1;
}

/** Sides at which each stretch of line in a cell begins and ends. */
function stretches(cell: Cell, height: number): (readonly [Side, Side])[] {
  const high = (side: number): boolean => (cell[(side % 4) as Side] as number) >= height;
  const sides = ([0, 1, 2, 3] as const).filter((side) => high(side) !== high(side + 1));
  const starts = sides.filter((side) => high(side));
  if (starts.length < 2) {
    const end = sides.find((side) => !high(side));
    return starts.flatMap((start) => (end === undefined ? [] : [[start, end] as const]));
  }
  // two opposite corners are high: they hang together where the middle of the cell is high
  const middle = (cell[0] + cell[1] + cell[2] + cell[3]) / 4 >= height;
  return starts.map((start) => [start, ((start + (middle ? 1 : 3)) % 4) as Side] as const);
}

/** Where the height is crossed between a side's first corner and its next. */
function onSide(cell: Cell, side: Side, height: number): Node {
  const from = cell[side];
  const part = (height - from) / (cell[((side + 1) % 4) as Side] - from);
  const places: readonly Node[] = [
    [part, 0],
    [1, part],
    [1 - part, 1],
    [0, 1 - part],
  ];
  return places[side] as Node;
}

function joined(next: Map<number, number>, places: Map<number, Node>): Node[][] {
  const loops: Node[][] = [];
  for (const first of places.keys()) {
    const loop: Node[] = [];
    for (let at = first, to = next.get(at); to !== undefined; at = to, to = next.get(at)) {
      loop.push(places.get(at) as Node);
      next.delete(at);
    }
    if (loop.length > 2) loops.push(loop);
  }
  return loops;
}
