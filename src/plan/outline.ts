/** Outlines of rooms: what makes a polygon one, and which wall is which. */
import type { Point } from './plan-values.ts';

/** A wall shorter than this is a slip of the pen, metres. */
const SHORTEST_WALL = 0.01;
const SMALLEST_AREA = 0.01;

/** What is wrong with a polygon, in words that go on from its name, or null. */
export function outlineFault(corners: readonly Point[]): string | null {
  for (const [i, a, b] of sidesOf(corners)) {
    if (Math.hypot(b[0] - a[0], b[1] - a[1]) < SHORTEST_WALL) {
      return `has two corners at one point (${i} and ${(i + 1) % corners.length})`;
    }
  }
  for (const [i, a, b] of sidesOf(corners)) {
    for (const [j, c, d] of sidesOf(corners)) {
      if (j <= i) continue;
      const neighbours = j === i + 1 || (i === 0 && j === corners.length - 1);
      if (neighbours ? turnsBack(a, b, c, d) : meet(a, b, c, d))
        return `crosses itself: side ${i} meets side ${j}`;
    }
  }
  return Math.abs(signedArea(corners)) < SMALLEST_AREA ? 'has no area' : null;
}

function* sidesOf(corners: readonly Point[]): Generator<readonly [number, Point, Point]> {
  for (const [i, a] of corners.entries()) yield [i, a, corners[(i + 1) % corners.length] ?? a];
}

/** Twice the area of the triangle, positive where c lies left of a → b. */
const turn = (a: Point, b: Point, c: Point): number =>
  (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);

const within = (a: Point, b: Point, p: Point): boolean =>
  Math.min(a[0], b[0]) <= p[0] &&
  p[0] <= Math.max(a[0], b[0]) &&
  Math.min(a[1], b[1]) <= p[1] &&
  p[1] <= Math.max(a[1], b[1]);

/** True where two closed segments have a point in common. */
function meet(a: Point, b: Point, c: Point, d: Point): boolean {
  const [p, q, r, s] = [turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b)];
  if (p * q < 0 && r * s < 0) return true;
  return (
    (p === 0 && within(a, b, c)) ||
    (q === 0 && within(a, b, d)) ||
    (r === 0 && within(c, d, a)) ||
    (s === 0 && within(c, d, b))
  );
}

/** Sides that share a corner lie on one another where the second runs straight back. */
function turnsBack(a: Point, b: Point, c: Point, d: Point): boolean {
  const [before, corner, after] = b === c ? [a, b, d] : [b, a, c];
  const dot =
    (before[0] - corner[0]) * (after[0] - corner[0]) + (before[1] - corner[1]) * (after[1] - corner[1]);
  return turn(before, corner, after) === 0 && dot > 0;
}

/** Square metres, positive where the corners run anticlockwise. */
export function signedArea(corners: readonly Point[]): number {
  let twice = 0;
  for (const [, a, b] of sidesOf(corners)) twice += a[0] * b[1] - b[0] * a[1];
  return twice / 2;
}

/** The corners anticlockwise, and for each wall the number its side had as written. */
export function anticlockwise(corners: readonly Point[]): {
  outline: readonly Point[];
  sides: readonly number[];
} {
  const count = corners.length;
  if (signedArea(corners) > 0) return { outline: corners, sides: corners.map((_, i) => i) };
  return { outline: corners.toReversed(), sides: corners.map((_, i) => (2 * count - 2 - i) % count) };
}

export const SIDE_NAMES = ['bottom', 'right', 'top', 'left'] as const;
export type SideName = (typeof SIDE_NAMES)[number];

/** Where each wall of an upright rectangle lies on the page; null for any other outline. */
export function pageSides(outline: readonly Point[]): readonly SideName[] | null {
  if (outline.length !== 4) return null;
  const names = [...sidesOf(outline)].map(([, a, b]): SideName | null => {
    // anticlockwise, so that the inside is on the left of each wall
    if (a[1] === b[1]) return b[0] > a[0] ? 'bottom' : 'top';
    if (a[0] === b[0]) return b[1] > a[1] ? 'right' : 'left';
    return null;
  });
  return names.every((name) => name !== null) && new Set(names).size === 4 ? (names as SideName[]) : null;
}
