/** Where the rooms of a plan are: outlines, heights, which stands in which, and the doorways between them. */

import type { PlanData } from '../plan/plan.ts';
import type { OpeningEntry } from '../plan/plan-rooms.ts';
import { liesInside, noteOverlaps, noteTooHigh } from './nesting.ts';
import type { Notes } from './notes.ts';
import { corner, distanceToStretch, holds, signedArea } from './polygon.ts';
import type { RoomPlace } from './room-place.ts';
import { OUTSIDE } from './scene.ts';
import type { Vec2 } from './vector.ts';
import { boundary } from './wall-pieces.ts';
import { onWall } from './wall-spot.ts';

/** A door or opening on the plan, and the rooms it joins. */
export type Doorway = { readonly rooms: readonly [number, number]; readonly a: Vec2; readonly b: Vec2 };

export type RoomPlaces = {
  readonly rooms: readonly RoomPlace[];
  /** Height of each room's floor above the ground. */
  readonly floors: readonly number[];
  readonly doorways: readonly Doorway[];
};

/** Reads the places of all rooms; rooms that overlap without one holding the other are faults. */
export function roomPlaces(plan: PlanData, notes: Notes): RoomPlaces {
  const free = [...plan.rooms].map(([name, entry]) => ({
    name,
    path: ['rooms', name],
    outline: entry.outline,
    wallNames: entry.wallNames,
    area: signedArea(entry.outline),
    floor: entry.floorLevel,
    ceiling: entry.floorLevel + entry.height,
    host: null,
  }));
  noteOverlaps(free, notes);
  const rooms = free.map((room) => ({ ...room, host: hostOf(room, free) }));
  noteTooHigh(rooms, notes);
  return { rooms, floors: rooms.map((room) => room.floor), doorways: doorwaysOf(plan, rooms) };
}

/** Things this near a doorway belong to the nearer of its rooms, m. */
const DOORWAY_REACH = 0.2;

/**
 * Room a point of the plan is in, as its index in the order of the plan's rooms: the innermost outline that holds it; within
 * 20 cm of a doorway, the nearer. `OUTSIDE` where the plan has no rooms, null outside every room.
 */
export function roomAt(places: RoomPlaces, x: number, y: number): number | null {
  if (places.rooms.length === 0) return OUTSIDE;
  const inside = innermost(places.rooms, (room) => holds(room.outline, x, y));
  if (inside !== null) return inside;
  const [near] = places.doorways
    .map((doorway) => ({ doorway, away: distanceToStretch([x, y], doorway.a, doorway.b) }))
    .filter(({ away }) => away <= DOORWAY_REACH)
    .sort((one, other) => one.away - other.away);
  if (!near) return null;
  const [i, j] = near.doorway.rooms;
  return distanceToRoom(places.rooms, i, [x, y]) <= distanceToRoom(places.rooms, j, [x, y]) ? i : j;
}

/** Index of a named room, or null. */
export function roomNamed(places: RoomPlaces, name: string): number | null {
  const index = places.rooms.findIndex((room) => room.name === name);
  return index < 0 ? null : index;
}

/** Index of the smallest room of those that fit. */
export function innermost(rooms: readonly RoomPlace[], fits: (room: RoomPlace) => boolean): number | null {
  let best: number | null = null;
  rooms.forEach((room, i) => {
    if (fits(room) && (best === null || room.area < (rooms[best] as RoomPlace).area)) best = i;
  });
  return best;
}

function hostOf(room: RoomPlace, rooms: readonly RoomPlace[]): number | null {
  return innermost(rooms, (other) => other !== room && liesInside(room.outline, other.outline));
}

function distanceToRoom(rooms: readonly RoomPlace[], index: number, at: Vec2): number {
  const { outline } = rooms[index] as RoomPlace;
  return Math.min(...outline.map((a, i) => distanceToStretch(at, a, corner(outline, i + 1))));
}

function doorwaysOf(plan: PlanData, rooms: readonly RoomPlace[]): Doorway[] {
  return [...plan.partitions.values()].flatMap((entry) => {
    const [i = -1, j = -1] = entry.between.map((name) => rooms.findIndex((room) => room.name === name));
    if (i < 0 || j < 0 || i === j) return [];
    const pieces = boundary(rooms, i, j);
    return [...entry.doors, ...entry.openings].flatMap(({ at, width }: OpeningEntry) => {
      const spot = onWall(pieces, at);
      return spot ? [{ rooms: [i, j] as const, a: spot.point(-width / 2), b: spot.point(width / 2) }] : [];
    });
  });
}
