/** Two lines of wall that run side by side. */
import { span } from './polygon.ts';
import type { Vec2 } from './vector.ts';

export type Line = { readonly a: Vec2; readonly b: Vec2 };

/** Walls that lean to each other by no more than this are parallel: the cosine of one degree. */
const PARALLEL = Math.cos(Math.PI / 180);
/** Outlines may run into each other by a drawing's rounding, m. */
const SLACK = 2e-3;

/**
 * The stretch over which `second` runs outside of `first` (walls of anticlockwise outlines, outside to the right), no further
 * off than `gap`, laid in the middle between them; `sense` −1 for walls that face each other, 1 for walls that run alike.
 * Null where there is none.
 */
export function sideBySide(
  first: Line,
  second: Line,
  how: { readonly sense: 1 | -1; readonly gap: number },
): Line | null {
  const length = span(first.a, first.b);
  const ux = (first.b[0] - first.a[0]) / length;
  const uy = (first.b[1] - first.a[1]) / length;
  const along = (p: Vec2) => (p[0] - first.a[0]) * ux + (p[1] - first.a[1]) * uy;
  const outward = (p: Vec2) => (p[0] - first.a[0]) * uy - (p[1] - first.a[1]) * ux;
  const [c, d] = [along(second.a), along(second.b)];
  if ((how.sense * (d - c)) / span(second.a, second.b) < PARALLEL) return null;
  const from = Math.max(0, Math.min(c, d));
  const to = Math.min(length, Math.max(c, d));
  if (to <= from) return null;
  const slope = (outward(second.b) - outward(second.a)) / (d - c);
  const apart = (t: number) => outward(second.a) + (t - c) * slope;
  const middle = apart((from + to) / 2);
  if (middle < -SLACK || middle > how.gap + SLACK) return null;
  const point = (t: number): Vec2 => [
    first.a[0] + ux * t + (uy * apart(t)) / 2,
    first.a[1] + uy * t - (ux * apart(t)) / 2,
  ];
  return { a: point(from), b: point(to) };
}
