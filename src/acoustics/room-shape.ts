/** A room's walls as planes, made once a room: what rays and images need. */
import { corner, isConvex, span } from '../scene/polygon.ts';
import type { Room } from '../scene/scene.ts';
import type { Vec2, Vec3 } from '../scene/vector.ts';
import { type Bands, sameInAllBands } from './bands.ts';
import { DIRECTIONS } from './spiral.ts';

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
  /** Of the surface at hand: offsets into the gain grid of its directions, and the sum of their gains by band. */
  readonly rows: Int32Array;
  readonly sums: Bands;
};

const shapes = new WeakMap<Room, RoomShape>();

/** Shape of a room, made once a room. */
export function roomShape(room: Room): RoomShape {
  const known = shapes.get(room);
  if (known) return known;
  const shape = shapeOf(room);
  shapes.set(room, shape);
  return shape;
}

/** Distance from a wall's plane, m; positive on the room's side. */
export function fromWall(at: Vec3, { a, inX, inY }: Wall): number {
  return (at[0] - a[0]) * inX + (at[1] - a[1]) * inY;
}

function shapeOf(room: Room): RoomShape {
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
