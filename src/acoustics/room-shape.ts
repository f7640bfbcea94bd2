/** A room's walls as planes, made once a room: what rays and images need. */
import { corner, isConvex, span } from '../scene/polygon.ts';
import type { Room } from '../scene/scene.ts';
import type { Vec2, Vec3 } from '../scene/vector.ts';
import { DIRECTIONS, SPIRAL } from './spiral.ts';

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
  readonly ahead: Ahead;
  readonly rays: Rays;
};

/** Which surfaces each direction of the spiral leads toward, and how steeply: for direction i from `first[i]` on. */
export type Ahead = {
  readonly first: Int32Array;
  readonly surface: Uint16Array;
  /** Cosine between the direction and the surface's outward normal. */
  readonly pace: Float64Array;
};

/** Working memory of the 500 rays of one source, owned by the room so that casting them allocates nothing. */
export type Rays = {
  /** Surface met by each direction. */
  readonly hits: Uint16Array;
  /** 1/distance of each surface's plane, and how many directions meet it. */
  readonly closeness: Float64Array;
  readonly counts: Int32Array;
  /** Offsets into a gain grid of the directions that meet each surface, packed [surface][direction]. */
  readonly sorted: Int32Array;
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
    hits: new Uint16Array(DIRECTIONS),
    closeness: new Float64Array(surfaces),
    counts: new Int32Array(surfaces),
    sorted: new Int32Array(surfaces * DIRECTIONS),
  };
  return { outline, convex: isConvex(outline), floor, ceiling, walls, ahead: aheadOf(walls), rays };
}

function aheadOf(walls: readonly Wall[]): Ahead {
  const first = new Int32Array(DIRECTIONS + 1);
  const surface: number[] = [];
  const pace: number[] = [];
  const toward = (index: number, cosine: number): void => {
    if (cosine <= 0) return;
    surface.push(index);
    pace.push(cosine);
  };
  for (let i = 0; i < DIRECTIONS; i++) {
    const x = SPIRAL[i * 3] as number;
    const y = SPIRAL[i * 3 + 1] as number;
    const z = SPIRAL[i * 3 + 2] as number;
    toward(0, -z);
    toward(1, z);
    walls.forEach((wall, w) => {
      toward(2 + w, -(x * wall.inX + y * wall.inY));
    });
    first[i + 1] = surface.length;
  }
  return { first, surface: Uint16Array.from(surface), pace: Float64Array.from(pace) };
}
