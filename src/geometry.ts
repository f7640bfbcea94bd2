/** Vec2/Vec3, rotation, polygon, segment crossing, point in polygon: the only copy (today `span` 4x, `turn` 4x, point-in-polygon 2x, mean of points 4x). */

// Two lines of wall that run side by side.
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

// Turning directions and places.

/** A vector turned about a unit vector, degrees, by the right-hand rule. Rodrigues. */
export function turnAbout(vector: Vec3, pole: Vec3, degrees: number): Vec3 {
  const cos = Math.cos(degrees * RADIANS);
  const across = scale(cross(pole, vector), Math.sin(degrees * RADIANS));
  return add(add(scale(vector, cos), across), scale(pole, dot(pole, vector) * (1 - cos)));
}

/** A vector turned on the plan, degrees clockwise as bearings count. */
export function turnOnPlan([x, y, z]: Vec3, degrees: number): Vec3 {
  const cos = Math.cos(degrees * RADIANS);
  const sin = Math.sin(degrees * RADIANS);
  return [x * cos + y * sin, y * cos - x * sin, z];
}

// Sight lines on the plan.

export type Planar = readonly [number, number] | readonly [number, number, number];

/** Twice the area of the triangle, positive anticlockwise. */
export const sideOf = (a: Planar, b: Planar, c: Planar): number =>
  (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);

// Plane geometry of outlines: anticlockwise polygons on the floor plan.

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

// Points and directions: x to the right of the page, y up the page, z up from the ground, metres.

export type Vec3 = readonly [number, number, number];

export type Vec2 = readonly [number, number];

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

const RADIANS = Math.PI / 180;

/** Unit vector of a bearing (0° up the page, clockwise) and a tilt (up positive), both in degrees. */
export function direction(bearing: number, tilt = 0): Vec3 {
  const flat = Math.cos(tilt * RADIANS);
  return [flat * Math.sin(bearing * RADIANS), flat * Math.cos(bearing * RADIANS), Math.sin(tilt * RADIANS)];
}

/** Bearing of a direction in degrees, 0 to 360. */
export function bearingOf(a: Vec3): number {
  const degrees = Math.atan2(a[0], a[1]) / RADIANS;
  return degrees < 0 ? degrees + 360 : degrees;
}

/** Tilt of a direction in degrees, up positive. */
export const tiltOf = (a: Vec3): number => Math.atan2(a[2], Math.hypot(a[0], a[1])) / RADIANS;

/** Angle between two directions in degrees. */
export function angleBetween(a: Vec3, b: Vec3): number {
  return Math.atan2(length(cross(a, b)), dot(a, b)) / RADIANS;
}
