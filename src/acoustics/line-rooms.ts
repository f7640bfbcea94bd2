/** Which rooms a straight line goes through, one after the other. */
import { corner, crossing, holds } from '../scene/polygon.ts';
import { OUTSIDE, type Room } from '../scene/scene.ts';
import { distance, type Vec2, type Vec3 } from '../scene/vector.ts';

/** A stay of the line in one room, between two fractions of its length; in a wall or the open air `room` is `OUTSIDE`. */
export type Stay = { readonly room: number; readonly from: number; readonly to: number };

/** Shorter stays are a matter of rounding, m. */
const LEAST = 1e-6;

/**
 * Rooms by turns from one end to the other; of rooms in rooms the innermost counts. Asked for every pair in two rooms: loops, since
 * with lists of lists it took half of a recomputation of three rooms.
 */
export function roomsAlong(rooms: readonly Room[], start: Vec3, end: Vec3): Stay[] {
  const cuts = cutsAlong(rooms, start, end);
  const stays: Stay[] = [];
  const least = LEAST / distance(start, end);
  for (let i = 1; i < cuts.length; i++) {
    const from = cuts[i - 1] as number;
    const to = cuts[i] as number;
    if (to - from < least) continue;
    const room = roomHolding(rooms, pointAlong(start, end, (from + to) / 2));
    const last = stays[stays.length - 1];
    if (last?.room === room) stays[stays.length - 1] = { room, from: last.from, to };
    else stays.push({ room, from, to });
  }
  return stays;
}

export function pointAlong(start: Vec3, end: Vec3, part: number): Vec3 {
  return [
    start[0] + (end[0] - start[0]) * part,
    start[1] + (end[1] - start[1]) * part,
    start[2] + (end[2] - start[2]) * part,
  ];
}

/** Fractions of the line at which it passes walls, floors and ceilings, in order, and both its ends. */
function cutsAlong(rooms: readonly Room[], start: Vec3, end: Vec3): number[] {
  const cuts = [0, 1];
  const a: Vec2 = [start[0], start[1]];
  const b: Vec2 = [end[0], end[1]];
  const rise = end[2] - start[2];
  for (const { outline, floor, ceiling } of rooms) {
    for (let i = 0; i < outline.length; i++) {
      const met = crossing(a, b, outline[i] as Vec2, corner(outline, i + 1));
      if (met) insert(cuts, met[0]);
    }
    if (rise === 0) continue;
    const atFloor = (floor - start[2]) / rise;
    const atCeiling = (ceiling - start[2]) / rise;
    if (atFloor > 0 && atFloor < 1) insert(cuts, atFloor);
    if (atCeiling > 0 && atCeiling < 1) insert(cuts, atCeiling);
  }
  return cuts;
}

function insert(sorted: number[], value: number): void {
  let i = sorted.length;
  for (; i > 0 && (sorted[i - 1] as number) > value; i--) sorted[i] = sorted[i - 1] as number;
  sorted[i] = value;
}

function roomHolding(rooms: readonly Room[], at: Vec3): number {
  for (let i = 0; i < rooms.length; i++) {
    if (isIn(rooms[i] as Room, at) && !hostsOneAt(rooms, i, at)) return i;
  }
  return OUTSIDE;
}

function hostsOneAt(rooms: readonly Room[], host: number, at: Vec3): boolean {
  for (const room of rooms) if (room.host === host && isIn(room, at)) return true;
  return false;
}

const isIn = ({ outline, floor, ceiling }: Room, at: Vec3): boolean =>
  at[2] >= floor && at[2] <= ceiling && holds(outline, at[0], at[1]);
