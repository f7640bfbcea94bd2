/**
 * What a point sees of a panel: how far each edge is and at what angle to the panel. A pair's ways round an edge follow from the
 * sights of its two ends, and a point has one sight of a panel for all that it is paired with: worked out anew for each pair
 * they took a seventh of all time among panels.
 */
import type { Vec3 } from '../scene/vector.ts';
import { alongPanel, inFront, type ReadyPanel } from './panel.ts';

/** Numbers a sight takes: three of the panel, four of each edge. */
export const SIGHT = 19;

/** Distance in front of the panel's plane with its sign, along the panel from its end a, and height. */
export const FRONT = 0;
export const ALONG = 1;
export const HEIGHT = 2;

/** Where the edges begin: at the panel's ends a and b, above and below. */
export const EDGE_A = 3;
export const EDGE_B = 7;
export const EDGE_TOP = 11;
export const EDGE_BOTTOM = 15;

/** Of an edge: distance square to it, cosine and sine of half the angle from the panel, and that half angle once it was asked for. */
export const AWAY = 0;
export const HALF_COS = 1;
export const HALF_SIN = 2;
const HALF = 3;
const UNKNOWN = -1;

/** Writes what a point sees of a panel, from `at` on. */
export function setSight(into: Float64Array, at: number, panel: ReadyPanel, point: Vec3): void {
  const front = inFront(panel, point);
  const along = alongPanel(panel, point);
  into[at + FRONT] = front;
  into[at + ALONG] = along;
  into[at + HEIGHT] = point[2];
  const off = Math.abs(front);
  if (panel.edgeA) setEdge(into, at + EDGE_A, off, along);
  if (panel.edgeB) setEdge(into, at + EDGE_B, off, panel.width - along);
  if (panel.edgeTop) setEdge(into, at + EDGE_TOP, off, panel.high - point[2]);
  if (panel.edgeBottom) setEdge(into, at + EDGE_BOTTOM, off, point[2] - panel.low);
}

/** An edge `off` the panel's plane and `within` the panel's side of it. Half angles by roots, as in `setHalfAngle`. */
function setEdge(into: Float64Array, at: number, off: number, within: number): void {
  const away = Math.sqrt(off * off + within * within);
  const larger = away > 0 ? Math.sqrt((1 + Math.abs(within) / away) / 2) : 1;
  const smaller = away > 0 ? off / (2 * larger * away) : 0;
  into[at + AWAY] = away;
  into[at + HALF_COS] = within < 0 ? smaller : larger;
  into[at + HALF_SIN] = within < 0 ? larger : smaller;
  into[at + HALF] = UNKNOWN;
}

/** Half the angle at an edge; an arc tangent, and asked only where the line is clear of the edge. */
export function halfAngleAt(sights: Float64Array, edge: number): number {
  const known = sights[edge + HALF] as number;
  if (known !== UNKNOWN) return known;
  const angle = Math.atan2(sights[edge + HALF_SIN] as number, sights[edge + HALF_COS] as number);
  sights[edge + HALF] = angle;
  return angle;
}
