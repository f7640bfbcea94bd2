/** The scale of a plan in characters. */
import type { LengthUnit } from '../../plan/tree.ts';
import { INCH } from '../../plan/units.ts';
import type { Vec2 } from '../../scene/vector.ts';
import { type Cell, emptyGrid, type Grid } from './plan-grid.ts';

/** Metres to a column; a line is twice that, as characters are about twice as high as wide. The finest comes first. */
const STEPS: Readonly<Record<LengthUnit, readonly number[]>> = {
  m: [0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.8, 1, 1.5, 2],
  ft: [8, 10, 12, 18, 24, 30, 36, 48, 60, 84].map((inches) => inches * INCH),
};
/** More lines would be no small view. */
const MOST_LINES = 32;
/** Round things that stand in no room, m. */
const MARGIN = 1;

export type Extent = { readonly low: Vec2; readonly high: Vec2 };
export type Scaled = { readonly grid: Grid; readonly perColumn: number };

/** Smallest box round all of it; null round nothing. */
export function extentOf(corners: readonly Vec2[], things: readonly Vec2[]): Extent | null {
  const around =
    corners.length > 0
      ? corners
      : things.flatMap(([x, y]): Vec2[] => [
          [x - MARGIN, y - MARGIN],
          [x + MARGIN, y + MARGIN],
        ]);
  if (around.length === 0) return null;
  const [xs, ys] = [around.map(([x]) => x), around.map(([, y]) => y)];
  return { low: [Math.min(...xs), Math.min(...ys)], high: [Math.max(...xs), Math.max(...ys)] };
}

/** As fine as the page allows; null where even the coarsest step is too fine. */
export function scaled({ low, high }: Extent, width: number, units: LengthUnit): Scaled | null {
  const size = (perColumn: number): Cell => [
    Math.round((high[0] - low[0]) / perColumn) + 1,
    Math.round((high[1] - low[1]) / (2 * perColumn)) + 1,
  ];
  const perColumn = STEPS[units].find((step) => size(step)[0] <= width && size(step)[1] <= MOST_LINES);
  if (perColumn === undefined) return null;
  const [columns, rows] = size(perColumn);
  const cellOf = ([x, y]: Vec2): Cell => [
    within(Math.round((x - low[0]) / perColumn), columns),
    within(Math.round((high[1] - y) / (2 * perColumn)), rows),
  ];
  return { grid: emptyGrid(columns, rows, cellOf), perColumn };
}

const within = (cell: number, count: number): number => Math.min(count - 1, Math.max(0, cell));
