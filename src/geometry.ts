/**
 * Points, directions and outlines. x runs to the right of the page, y up the page, z up from the ground, all in metres; angles
 * are in degrees, bearings clockwise from up the page, tilts positive upward.
 */

export type Vec2 = readonly [number, number];
export type Vec3 = readonly [number, number, number];
/** A place on the plan; a height is ignored. */
export type Planar = Vec2 | Vec3;
/** Corners of a polygon on the plan, anticlockwise. */
export type Outline = readonly Vec2[];
/** Radians in a degree. */
export const RADIANS = Math.PI / 180;

// Vectors in space.

export const subtract = (a: Vec3, b: Vec3): Vec3 => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
export const add = (a: Vec3, b: Vec3): Vec3 => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
export const scale = (a: Vec3, by: number): Vec3 => [a[0] * by, a[1] * by, a[2] * by];
export const dot = (a: Vec3, b: Vec3): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
export const cross = (a: Vec3, b: Vec3): Vec3 => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
export const length = (a: Vec3): number => Math.hypot(a[0], a[1], a[2]);
export const distance = (a: Vec3, b: Vec3): number => length(subtract(a, b));

/** Unit vector; a zero vector stays zero. */
export function unit(a: Vec3): Vec3 {
  const size = length(a);
  return size > 0 ? scale(a, 1 / size) : a;
}

/** Mean of vectors; zero of none. */
export const meanOf = (vectors: readonly Vec3[]): Vec3 =>
  scale(vectors.reduce<Vec3>(add, [0, 0, 0]), 1 / Math.max(1, vectors.length));

/** Mean of the places of things; zero of none. */
export const middleOf = (things: readonly { readonly at: Vec3 }[]): Vec3 =>
  meanOf(things.map(({ at }) => at));

/** The point after a share of the way from one to another. */
export const pointAlong = (from: Vec3, to: Vec3, share: number): Vec3 => [
  from[0] + (to[0] - from[0]) * share,
  from[1] + (to[1] - from[1]) * share,
  from[2] + (to[2] - from[2]) * share,
];

// Directions.

/** Unit vector of a bearing and a tilt. */
export function direction(bearing: number, tilt = 0): Vec3 {
  const flat = Math.cos(tilt * RADIANS);
  return [flat * Math.sin(bearing * RADIANS), flat * Math.cos(bearing * RADIANS), Math.sin(tilt * RADIANS)];
}

/** Bearing of a direction, 0 to 360. */
export function bearingOf(a: Planar): number {
  const degrees = Math.atan2(a[0], a[1]) / RADIANS;
  return degrees < 0 ? degrees + 360 : degrees;
}

/** Tilt of a direction, −90 to 90. */
export const tiltOf = (a: Vec3): number => Math.atan2(a[2], Math.hypot(a[0], a[1])) / RADIANS;

/** Turn from one bearing to another, −180 to below 180, to the right positive. */
export const turnBetween = (from: number, to: number): number => ((((to - from) % 360) + 540) % 360) - 180;

/** Angle between two directions, 0 to 180. */
export const angleBetween = (a: Vec3, b: Vec3): number =>
  Math.atan2(length(cross(a, b)), dot(a, b)) / RADIANS;

/** Level unit vector to the right of a direction; along x where that looks straight up or down. */
export function rightOf(a: Vec3): Vec3 {
  const right = cross(a, [0, 0, 1]);
  return dot(right, right) > 1e-12 ? unit(right) : [1, 0, 0];
}

/** Rotates a vector about a unit vector, by the right-hand rule. Rodrigues. */
export function rotateAbout(vector: Vec3, pole: Vec3, degrees: number): Vec3 {
  const cos = Math.cos(degrees * RADIANS);
  const across = scale(cross(pole, vector), Math.sin(degrees * RADIANS));
  return add(add(scale(vector, cos), across), scale(pole, dot(pole, vector) * (1 - cos)));
}

/** Rotates a vector on the plan, clockwise as bearings count. */
export function rotateOnPlan([x, y, z]: Vec3, degrees: number): Vec3 {
  const cos = Math.cos(degrees * RADIANS);
  const sin = Math.sin(degrees * RADIANS);
  return [x * cos + y * sin, y * cos - x * sin, z];
}

// Segments on the plan.

/** Distance on the plan. */
export const span = (a: Planar, b: Planar): number => Math.hypot(b[0] - a[0], b[1] - a[1]);
export const midpoint = (a: Planar, b: Planar): Vec2 => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];

/** Twice the area of the triangle: positive where c lies to the left of a → b. */
export const orientation = (a: Planar, b: Planar, c: Planar): number =>
  (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);

/** Distance of a point from the segment a–b. */
export const distanceToSegment = (p: Planar, a: Planar, b: Planar): number =>
  Math.sqrt(squaredDistance(p[0], p[1], a, b));

/** Squared distance of (px, py) from the segment a–b. */
function squaredDistance(px: number, py: number, a: Planar, b: Planar): number {
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

/** Where the segments a–b and c–d cross: fractions along each, within [0, 1], or null. Parallel ones do not cross. */
export function crossing(a: Planar, b: Planar, c: Planar, d: Planar): readonly [number, number] | null {
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

// Outlines.

/** Corner i of an outline, counted round. */
export const corner = (outline: Outline, i: number): Vec2 =>
  outline[((i % outline.length) + outline.length) % outline.length] as Vec2;

/** Area in m², positive for anticlockwise corners. */
export function signedArea(outline: Outline): number {
  let twice = 0;
  for (let i = 0; i < outline.length; i++) {
    const [ax, ay] = corner(outline, i);
    const [bx, by] = corner(outline, i + 1);
    twice += ax * by - bx * ay;
  }
  return twice / 2;
}

/** Cross product of the sides that meet in corner i: negative at an inner corner. */
export const turn = (outline: Outline, i: number): number =>
  orientation(corner(outline, i - 1), corner(outline, i), corner(outline, i + 1));

/** True where no corner turns inward. */
export const isConvex = (outline: Outline): boolean => outline.every((_, i) => turn(outline, i) >= -1e-12);

/** True for a point inside or on the outline. Asked for every line through a wall: no tuples, no `Math.hypot`. */
export function holds(outline: Outline, x: number, y: number): boolean {
  let inside = false;
  for (let i = 0, j = outline.length - 1; i < outline.length; j = i++) {
    const a = outline[i] as Vec2;
    const b = outline[j] as Vec2;
    if (squaredDistance(x, y, a, b) < 1e-18) return true;
    if (a[1] > y !== b[1] > y && x < ((b[0] - a[0]) * (y - a[1])) / (b[1] - a[1]) + a[0]) inside = !inside;
  }
  return inside;
}

/** True where the straight segment a–b stays within the outline; touching its sides is within. */
export function seesWithin(outline: Outline, a: Planar, b: Planar): boolean {
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
