/** Where rooms lie: outlines within outlines, doorways, which room holds a point. */
import {
  corner,
  crossing,
  distanceToSegment,
  holds,
  midpoint,
  type Outline,
  signedArea,
  type Vec2,
} from '../geometry.ts';
import type { PlanData } from '../plan/plan.ts';
import type { OpeningEntry } from '../plan/rooms.ts';
import type { Notes, RoomPlace, RoomPlaces } from './context.ts';
import { OUTSIDE } from './scene.ts';
import { boundary, onWall } from './walls.ts';

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
  return { rooms, doorways: doorwaysOf(plan, rooms) };
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
    .map((doorway) => ({ doorway, away: distanceToSegment([x, y], doorway.a, doorway.b) }))
    .filter(({ away }) => away <= DOORWAY_REACH)
    .sort((one, other) => one.away - other.away);
  if (!near) return null;
  const [i, j] = near.doorway.rooms;
  const away = (room: number) => toBoundary((places.rooms[room] as RoomPlace).outline, [x, y]);
  return away(i) <= away(j) ? i : j;
}

/** Height of a room's floor above the ground. */
export const floorOf = ({ rooms }: RoomPlaces, room: number): number => rooms[room]?.floor ?? 0;

/** Height of its ceiling; Infinity in the free field. */
export const ceilingOf = ({ rooms }: RoomPlaces, room: number): number =>
  rooms[room]?.ceiling ?? Number.POSITIVE_INFINITY;

/** Index of the smallest room of those that fit. */
function innermost(rooms: readonly RoomPlace[], fits: (room: RoomPlace) => boolean): number | null {
  let best: number | null = null;
  rooms.forEach((room, i) => {
    if (fits(room) && (best === null || room.area < (rooms[best] as RoomPlace).area)) best = i;
  });
  return best;
}

function hostOf(room: RoomPlace, rooms: readonly RoomPlace[]): number | null {
  return innermost(rooms, (other) => other !== room && liesInside(room.outline, other.outline));
}

function doorwaysOf(plan: PlanData, rooms: readonly RoomPlace[]): RoomPlaces['doorways'] {
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

// Which outline lies inside which, and which overlap as no two rooms can.

/** Outlines may run into each other by as much as this: a drawing's rounding, m. */
const SLACK = 2e-3;

/** True where the whole of `inner` lies in `outer`, sides touching allowed. Like outlines do not lie in each other. */
function liesInside(inner: Outline, outer: Outline): boolean {
  if (sidesCross(inner, outer) || probes(outer).some((p) => deepIn(inner, p))) return false;
  return probes(inner).every((p) => holdsNearly(outer, p)) && probes(inner).some((p) => deepIn(outer, p));
}

/** Rooms that overlap, and neither lies in the other: a fault at the second. */
function noteOverlaps(rooms: readonly RoomPlace[], notes: Notes): void {
  rooms.forEach((second, j) => {
    for (const first of rooms.slice(0, j)) {
      if (!overlap(first.outline, second.outline)) continue;
      if (liesInside(first.outline, second.outline) || liesInside(second.outline, first.outline)) continue;
      const message = `${second.name} overlaps ${first.name}: two rooms lie side by side, or one stands whole inside the other`;
      notes.misplaced(second.path, message);
    }
  });
}

/** A room that reaches up through the ceiling of the one it stands in: a fault at its height. */
function noteTooHigh(rooms: readonly RoomPlace[], notes: Notes): void {
  for (const { name, path, host, ceiling } of rooms) {
    const over = rooms[host ?? -1];
    if (!over || ceiling <= over.ceiling + SLACK) continue;
    const message = `${name} reaches through the ceiling of ${over.name}, in which it stands`;
    notes.misplaced([...path, 'height'], message);
  }
}

function overlap(a: Outline, b: Outline): boolean {
  if (sidesCross(a, b)) return true;
  if (probes(a).some((p) => deepIn(b, p)) || probes(b).some((p) => deepIn(a, p))) return true;
  return probes(a).every((p) => holdsNearly(b, p)) && probes(b).every((p) => holdsNearly(a, p));
}

/** Corners and middles of sides. */
const probes = (outline: Outline): Vec2[] =>
  outline.flatMap((a, i) => {
    const b = corner(outline, i + 1);
    return [a, midpoint(a, b)];
  });

const toBoundary = (outline: Outline, p: Vec2): number =>
  Math.min(...outline.map((a, i) => distanceToSegment(p, a, corner(outline, i + 1))));

const deepIn = (outline: Outline, p: Vec2): boolean =>
  holds(outline, p[0], p[1]) && toBoundary(outline, p) > SLACK;

const holdsNearly = (outline: Outline, p: Vec2): boolean =>
  holds(outline, p[0], p[1]) || toBoundary(outline, p) <= SLACK;

/** True where a side of one runs through a side of the other, by more than the slack on both sides of both. */
function sidesCross(a: Outline, b: Outline): boolean {
  return a.some((a1, i) => {
    const a2 = corner(a, i + 1);
    return b.some((b1, j) => {
      const b2 = corner(b, j + 1);
      if (!crossing(a1, a2, b1, b2)) return false;
      const ends = [distanceToSegment(a1, b1, b2), distanceToSegment(a2, b1, b2)];
      return Math.min(...ends, distanceToSegment(b1, a1, a2), distanceToSegment(b2, a1, a2)) > SLACK;
    });
  });
}
