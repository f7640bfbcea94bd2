/** Which rooms a straight line goes through, one after the other. */
import { corner, crossing, holds } from '../scene/polygon.ts';
import { OUTSIDE, type Room } from '../scene/scene.ts';
import type { Vec2, Vec3 } from '../scene/vector.ts';

/** A stay of the line in one room, between two fractions of its length; in a wall or the open air `room` is `OUTSIDE`. */
export type Stay = { readonly room: number; readonly from: number; readonly to: number };

/** Shorter stays are a matter of rounding, m. */
const LEAST = 1e-6;

/** Rooms by turns from one end to the other; of rooms in rooms the innermost counts. */
export function roomsAlong(rooms: readonly Room[], start: Vec3, end: Vec3): Stay[] {
  const length = Math.hypot(end[0] - start[0], end[1] - start[1], end[2] - start[2]);
  const cuts = [0, ...rooms.flatMap((room) => crossings(room, start, end)), 1].sort((x, y) => x - y);
  const stays: Stay[] = [];
  cuts.forEach((from, i) => {
    const to = cuts[i + 1] ?? 1;
    if ((to - from) * length < LEAST) return;
    const room = roomHolding(rooms, pointAlong(start, end, (from + to) / 2));
    const last = stays.at(-1);
    if (last?.room === room) stays[stays.length - 1] = { ...last, to };
    else stays.push({ room, from, to });
  });
  return stays;
}

export function pointAlong(start: Vec3, end: Vec3, part: number): Vec3 {
  return [
    start[0] + (end[0] - start[0]) * part,
    start[1] + (end[1] - start[1]) * part,
    start[2] + (end[2] - start[2]) * part,
  ];
}

/** Fractions of the line at which it passes the walls, the floor and the ceiling of a room. */
function crossings({ outline, floor, ceiling }: Room, start: Vec3, end: Vec3): number[] {
  const [a, b]: [Vec2, Vec2] = [
    [start[0], start[1]],
    [end[0], end[1]],
  ];
  const walls = outline.flatMap((c, i) => crossing(a, b, c, corner(outline, i + 1))?.[0] ?? []);
  const rise = end[2] - start[2];
  const levels = rise === 0 ? [] : [floor, ceiling].map((level) => (level - start[2]) / rise);
  return [...walls, ...levels.filter((part) => part > 0 && part < 1)];
}

function roomHolding(rooms: readonly Room[], [x, y, z]: Vec3): number {
  const around = rooms.flatMap((room, i) =>
    z >= room.floor && z <= room.ceiling && holds(room.outline, x, y) ? [i] : [],
  );
  return around.find((i) => !around.some((other) => rooms[other]?.host === i)) ?? OUTSIDE;
}
