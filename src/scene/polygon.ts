/** Plane geometry of outlines: anticlockwise polygons on the floor plan. */
import type { Vec2 } from './vector.ts';

export type Outline = readonly Vec2[];

/** Corner i of an outline, counted round. */
export const corner = (outline: Outline, i: number): Vec2 =>
  outline[((i % outline.length) + outline.length) % outline.length] as Vec2;

/** Area, positive for anticlockwise corners, m². */
export function signedArea(outline: Outline): number {
  let twice = 0;
  for (let i = 0; i < outline.length; i++) {
    const [ax, ay] = corner(outline, i);
    const [bx, by] = corner(outline, i + 1);
    twice += ax * by - bx * ay;
  }
  return twice / 2;
}

export const span = (a: Vec2, b: Vec2): number => Math.hypot(b[0] - a[0], b[1] - a[1]);

/** True for a point inside or on the outline. Asked for every line through a wall: no tuples, no `Math.hypot`. */
export function holds(outline: Outline, x: number, y: number): boolean {
  let inside = false;
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
    const a = outline[i] as Vec2;
    const b = outline[j] as Vec2;
    if (squareToStretch(x, y, a, b) < 1e-18) return true;
    if (a[1] > y !== b[1] > y && x < ((b[0] - a[0]) * (y - a[1])) / (b[1] - a[1]) + a[0]) inside = !inside;
  }
  return inside;
}

/** True where no corner turns inward. */
export function isConvex(outline: Outline): boolean {
  return outline.every((_, i) => turn(outline, i) >= -1e-12);
}

/** Cross product of the sides that meet in corner i: negative at an inner corner. */
export function turn(outline: Outline, i: number): number {
  const [px, py] = corner(outline, i - 1);
  const [cx, cy] = corner(outline, i);
  const [nx, ny] = corner(outline, i + 1);
  return (cx - px) * (ny - cy) - (cy - py) * (nx - cx);
}

/** Distance of a point from the stretch a–b. */
export const distanceToStretch = (p: Vec2, a: Vec2, b: Vec2): number =>
  Math.sqrt(squareToStretch(p[0], p[1], a, b));

function squareToStretch(px: number, py: number, a: Vec2, b: Vec2): number {
  const dx = b[0] - a[0];
  const dy = b[1] - a[1];
  const size = dx * dx + dy * dy;
  const x = px - a[0];
  const y = py - a[1];
  const along = size > 0 ? Math.min(1, Math.max(0, (x * dx + y * dy) / size)) : 0;
  const offX = x - along * dx;
  const offY = y - along * dy;
  return offX * offX + offY * offY;
}

/**
 * Where the stretches a–b and c–d cross: fractions along each, both within [0, 1], or null. Parallel stretches do not cross.
 */
export function crossing(a: Vec2, b: Vec2, c: Vec2, d: Vec2): readonly [number, number] | null {
  const rx = b[0] - a[0];
  const ry = b[1] - a[1];
  const sx = d[0] - c[0];
  const sy = d[1] - c[1];
  const det = rx * sy - ry * sx;
  if (Math.abs(det) < 1e-15) return null;
  const t = ((c[0] - a[0]) * sy - (c[1] - a[1]) * sx) / det;
  const u = ((c[0] - a[0]) * ry - (c[1] - a[1]) * rx) / det;
  return t >= 0 && t <= 1 && u >= 0 && u <= 1 ? [t, u] : null;
}

/** True where the straight stretch a–b stays within the outline; touching its sides is within. */
export function seesWithin(outline: Outline, a: Vec2, b: Vec2): boolean {
  const dx = b[0] - a[0];
  const dy = b[1] - a[1];
  const size = Math.sqrt(dx * dx + dy * dy);
  if (size < 1e-12) return true;
  for (let i = 0; i < outline.length; i++) {
    const c = corner(outline, i);
    const d = corner(outline, i + 1);
    const sideC = (dx * (c[1] - a[1]) - dy * (c[0] - a[0])) / size;
    const sideD = (dx * (d[1] - a[1]) - dy * (d[0] - a[0])) / size;
    if (sideC * sideD >= -1e-18 || Math.abs(sideC) < 1e-9 || Math.abs(sideD) < 1e-9) continue;
    const met = crossing(a, b, c, d);
    if (met && met[0] > 1e-9 && met[0] < 1 - 1e-9) return false;
  }
  return holds(outline, a[0] + dx / 2, a[1] + dy / 2);
}
