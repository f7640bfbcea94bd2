/** A room's walls as planes, made once a room: what rays and images need. */
import { corner, isConvex, span } from '../scene/polygon.ts';
import type { Room } from '../scene/scene.ts';
import type { Vec2 } from '../scene/vector.ts';

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
};

export function roomShape(room: Room): RoomShape {
  const walls = room.outline.map((a, i) => {
    const b = corner(room.outline, i + 1);
    const length = span(a, b);
    return { a, b, length, inX: -(b[1] - a[1]) / length, inY: (b[0] - a[0]) / length };
  });
  return { outline: room.outline, convex: isConvex(room.outline), floor: room.floor, ceiling: room.ceiling, walls };
}
