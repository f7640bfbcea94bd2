/** Points and boxes on the page: millimetres from its top left corner, y downward. */

export type Point = readonly [number, number];

export type Box = {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
};

export const boxAt = ([x, y]: Point, width: number, height: number): Box => ({
  left: x - width / 2,
  top: y - height / 2,
  right: x + width / 2,
  bottom: y + height / 2,
});

export const grown = ({ left, top, right, bottom }: Box, by: number): Box => ({
  left: left - by,
  top: top - by,
  right: right + by,
  bottom: bottom + by,
});

export const boxAround = (points: readonly Point[]): Box => ({
  left: Math.min(...points.map(([x]) => x)),
  top: Math.min(...points.map(([, y]) => y)),
  right: Math.max(...points.map(([x]) => x)),
  bottom: Math.max(...points.map(([, y]) => y)),
});

export const overlap = (a: Box, b: Box): boolean =>
  a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;

export const within = (inner: Box, outer: Box): boolean =>
  inner.left >= outer.left &&
  inner.right <= outer.right &&
  inner.top >= outer.top &&
  inner.bottom <= outer.bottom;

/** A point so far from another in a direction of the page, radians clockwise from the right. */
export const away = ([x, y]: Point, angle: number, by: number): Point => [
  x + Math.cos(angle) * by,
  y + Math.sin(angle) * by,
];

export const span = (a: Point, b: Point): number => Math.hypot(b[0] - a[0], b[1] - a[1]);

/** Where one is after so much of the way from a to b. */
export const between = (a: Point, b: Point, part: number): Point => [
  a[0] + (b[0] - a[0]) * part,
  a[1] + (b[1] - a[1]) * part,
];

/** Angle on the page of a bearing (0° up, clockwise), radians clockwise from the right. */
export const pageAngle = (bearing: number): number => ((bearing - 90) * Math.PI) / 180;
