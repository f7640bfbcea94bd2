/** First-order reflections as image sources: floor, ceiling and each wall. */
import { type Bands, sameInAllBands } from '../acoustics/bands.ts';
import { corner, holds, isConvex, seesWithin, span, type Vec2, type Vec3 } from '../geometry.ts';
import type { Room } from '../scene/scene.ts';

/** A reflected path, with unit vectors along it at the source and at the mic. Reused from one to the next: copy what stays. */
export type Reflection = {
  length: number;
  /** Share of the path at which it meets the surface. */
  along: number;
} & Record<`${'leave' | 'arrive'}${'X' | 'Y' | 'Z'}`, number>;

export const newReflection = (): Reflection => ({
  length: 0,
  leaveX: 0,
  leaveY: 0,
  leaveZ: 0,
  arriveX: 0,
  arriveY: 0,
  arriveZ: 0,
  along: 0,
});

/** Sets the reflection off the floor (`surface` 0) or the ceiling (1); false where there is none. */
export function offLevel(into: Reflection, surface: number, level: number, from: Vec3, to: Vec3): boolean {
  const gapFrom = Math.abs(from[2] - level);
  const gapTo = Math.abs(to[2] - level);
  if (gapFrom + gapTo < 1e-9) return false;
  const rise = surface === 0 ? gapFrom + gapTo : -(gapFrom + gapTo);
  setArrival(into, to[0] - from[0], to[1] - from[1], rise);
  into.leaveX = into.arriveX;
  into.leaveY = into.arriveY;
  into.leaveZ = -into.arriveZ;
  into.along = gapFrom / (gapFrom + gapTo);
  return true;
}

/**
 * Sets the reflection off wall `w`; false where there is none. In a room with inner corners it may be one that does not meet the wall, or
 * whose legs leave the outline: `meetsWall` tells.
 */
export function offWall(into: Reflection, w: number, shape: RoomShape, from: Vec3, to: Vec3): boolean {
  const wall = shape.walls[w] as Wall;
  const { inX, inY } = wall;
  const gapFrom = fromWall(from, wall);
  const gapTo = fromWall(to, wall);
  if (shape.convex ? gapFrom < 0 || gapTo < 0 || gapFrom + gapTo < 1e-9 : gapFrom + gapTo === 0) return false;
  const dx = to[0] - from[0] + 2 * gapFrom * inX;
  const dy = to[1] - from[1] + 2 * gapFrom * inY;
  setArrival(into, dx, dy, to[2] - from[2]);
  into.along = Math.min(1, Math.max(0, gapFrom / (gapFrom + gapTo)));
  const inward = into.arriveX * inX + into.arriveY * inY;
  into.leaveX = into.arriveX - 2 * inward * inX;
  into.leaveY = into.arriveY - 2 * inward * inY;
  into.leaveZ = into.arriveZ;
  return true;
}

function setArrival(into: Reflection, dx: number, dy: number, dz: number): void {
  const length = Math.sqrt(dx * dx + dy * dy + dz * dz);
  const perMetre = 1 / length;
  into.length = length;
  into.arriveX = dx * perMetre;
  into.arriveY = dy * perMetre;
  into.arriveZ = dz * perMetre;
}

/** Whether both ends of a reflection are before its wall, and whether its legs stay inside and meet on the wall. */
export function meetsWall(
  { along, arriveX, arriveY, length }: Reflection,
  w: number,
  shape: RoomShape,
  from: Vec3,
  to: Vec3,
): { readonly before: boolean; readonly clear: boolean } {
  const wall = shape.walls[w] as Wall;
  const [gapFrom, gapTo] = [fromWall(from, wall), fromWall(to, wall)];
  const before = gapFrom >= 0 && gapTo >= 0 && gapFrom + gapTo > 1e-9;
  const back = (1 - along) * length;
  return {
    before,
    clear: before && reaches(shape, wall, from, to, [to[0] - back * arriveX, to[1] - back * arriveY]),
  };
}

function reaches(shape: RoomShape, wall: Wall, from: Vec3, to: Vec3, hit: Vec2): boolean {
  const along =
    ((hit[0] - wall.a[0]) * (wall.b[0] - wall.a[0]) + (hit[1] - wall.a[1]) * (wall.b[1] - wall.a[1])) /
    wall.length;
  if (along < -1e-9 || along > wall.length + 1e-9 || !holds(shape.outline, hit[0], hit[1])) return false;
  return seesWithin(shape.outline, [from[0], from[1]], hit) && seesWithin(shape.outline, hit, [to[0], to[1]]);
}

export type Wall = {
  readonly a: Vec2;
  readonly b: Vec2;
  readonly length: number;
  /** Unit normal that points into the room. */
  readonly inX: number;
  readonly inY: number;
};

export type RoomShape = {
  readonly outline: readonly Vec2[];
  readonly convex: boolean;
  readonly floor: number;
  readonly ceiling: number;
  readonly walls: readonly Wall[];
  readonly rays: Rays;
};

/** Working memory of the 500 rays of one source, owned by the room so that casting them allocates nothing. */
export type Rays = {
  /** How many directions meet each surface, and their cosines off the source's axis, packed [surface][direction]. */
  readonly counts: Int32Array;
  readonly cosines: Float64Array;
  /** Of one surface: offsets into the gain grid of its directions, and the sum of their gains by band. */
  readonly rows: Int32Array;
  readonly sums: Bands;
};

/** Distance from a wall's plane, m; positive on the room's side. */
export function fromWall(at: Vec3, { a, inX, inY }: Wall): number {
  return (at[0] - a[0]) * inX + (at[1] - a[1]) * inY;
}

/** Shape of a room with the working memory of its rays. */
export function roomShape(room: Room): RoomShape {
  const walls = room.outline.map((a, i) => {
    const b = corner(room.outline, i + 1);
    const length = span(a, b);
    return { a, b, length, inX: -(b[1] - a[1]) / length, inY: (b[0] - a[0]) / length };
  });
  const { outline, floor, ceiling } = room;
  const surfaces = walls.length + 2;
  const rays = {
    counts: new Int32Array(surfaces),
    cosines: new Float64Array(surfaces * DIRECTIONS),
    rows: new Int32Array(DIRECTIONS),
    sums: sameInAllBands(0),
  };
  return { outline, convex: isConvex(outline), floor, ceiling, walls, rays };
}

/** Directions of the golden-angle spiral, spread evenly over the sphere. */
export const DIRECTIONS = 500;
