/** Sight lines on the plan. */
import type { ReadyPanel } from './panel.ts';

type Planar = readonly [number, number] | readonly [number, number, number];

/** Twice the area of the triangle, positive anticlockwise. */
export const turn = (a: Planar, b: Planar, c: Planar): number =>
  (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);

/** Whether the panel stands in the way of the stretch. Meeting just an end of the panel counts; along the panel does not. */
export function isBlocked(panel: ReadyPanel, from: Planar, to: Planar): boolean {
  if (turn(panel.a, panel.b, from) * turn(panel.a, panel.b, to) >= 0) return false;
  return turn(from, to, panel.a) * turn(from, to, panel.b) <= 0;
}
