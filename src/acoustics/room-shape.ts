/** A room's walls as planes, made once a room: what rays and images need. */
import { corner, isConvex, span } from '../scene/polygon.ts';
import type { Room } from '../scene/scene.ts';
import type { Vec2 } from '../scene/vector.ts';
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
  /** Cosine of each direction of the spiral toward each surface (0 where it leads away), packed [surface][direction]. */
  readonly pace: Float64Array;
  readonly rays: Rays;
};

/** Working memory of the 500 rays of one source, owned by the room so that casting them allocates nothing. */
export type Rays = {
  /** Surface met by each direction, and 1/way to it. */
  readonly hits: Uint16Array;
  readonly nearest: Float64Array;
  /** Offsets into a gain grid: by direction, and sorted by the surface met. */
  readonly rows: Int32Array;
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

function shapeOf(room: Room): RoomShape {
  const walls = room.outline.map((a, i) => {
    const b = corner(room.outline, i + 1);
    const length = span(a, b);
    return { a, b, length, inX: -(b[1] - a[1]) / length, inY: (b[0] - a[0]) / length };
  });
  const { outline, floor, ceiling } = room;
  const rays = {
    hits: new Uint16Array(DIRECTIONS),
    nearest: new Float64Array(DIRECTIONS),
    rows: new Int32Array(DIRECTIONS),
    sorted: new Int32Array(DIRECTIONS),
  };
  return { outline, convex: isConvex(outline), floor, ceiling, walls, pace: paceOf(walls), rays };
}

function paceOf(walls: readonly Wall[]): Float64Array {
  const pace = new Float64Array((walls.length + 2) * DIRECTIONS);
  for (let i = 0; i < DIRECTIONS; i++) {
    const x = SPIRAL[i * 3] as number;
    const y = SPIRAL[i * 3 + 1] as number;
    const z = SPIRAL[i * 3 + 2] as number;
    pace[i] = Math.max(0, -z);
    pace[DIRECTIONS + i] = Math.max(0, z);
    walls.forEach((wall, w) => {
      pace[(2 + w) * DIRECTIONS + i] = Math.max(0, -(x * wall.inX + y * wall.inY));
    });
  }
  return pace;
}
