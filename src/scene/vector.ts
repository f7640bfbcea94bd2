/** Points and directions: x to the right of the page, y up the page, z up from the ground, metres. */

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
