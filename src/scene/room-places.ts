/** Where rooms lie and what separates them: outlines within outlines, doorways, shared walls, shells of booths, outer walls. */
import * as geo from '../geometry.ts';
import type { PlanData } from '../plan/plan.ts';
import type { OpeningEntry } from '../plan/rooms.ts';
import type { Notes, RoomPlace, RoomPlaces } from './context.ts';
import { OUTSIDE, type WallStretch } from './scene.ts';

/** Reads the places of all rooms; rooms that overlap without one holding the other are errors. */
export function roomPlaces(plan: PlanData, notes: Notes): RoomPlaces {
  const free = [...plan.rooms].map(([name, entry]) => ({
    name,
    path: ['rooms', name],
    outline: entry.outline,
    wallNames: entry.wallNames,
    area: geo.signedArea(entry.outline),
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
  const inside = innermost(places.rooms, (room) => geo.holds(room.outline, x, y));
  if (inside !== null) return inside;
  const [near] = places.doorways
    .map((doorway) => ({ doorway, away: geo.distanceToSegment([x, y], doorway.a, doorway.b) }))
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

/** Outlines may run into each other by as much as this: a drawing's rounding, m. */
const SLACK = 2e-3;

/** True where the whole of `inner` lies in `outer`, sides touching allowed. Like outlines do not lie in each other. */
function liesInside(inner: geo.Outline, outer: geo.Outline): boolean {
  if (sidesCross(inner, outer) || probes(outer).some((p) => deepIn(inner, p))) return false;
  return probes(inner).every((p) => holdsNearly(outer, p)) && probes(inner).some((p) => deepIn(outer, p));
}

/** Rooms that overlap, and neither lies in the other: an error at the second. */
function noteOverlaps(rooms: readonly RoomPlace[], notes: Notes): void {
  rooms.forEach((second, j) => {
    for (const first of rooms.slice(0, j)) {
      if (!overlap(first.outline, second.outline)) continue;
      if (liesInside(first.outline, second.outline) || liesInside(second.outline, first.outline)) continue;
      const message = `${second.name} overlaps ${first.name}`;
      notes.misplaced(second.path, message, 'place rooms side by side, or one wholly inside the other');
    }
  });
}

/** A room that reaches up through the ceiling of the one it stands in: an error at its height. */
function noteTooHigh(rooms: readonly RoomPlace[], notes: Notes): void {
  for (const { name, path, host, ceiling } of rooms) {
    const over = rooms[host ?? -1];
    if (!over || ceiling <= over.ceiling + SLACK) continue;
    const message = `${name} extends through the ceiling of ${over.name}, which it is in`;
    notes.misplaced([...path, 'height'], message, 'lower it');
  }
}

function overlap(a: geo.Outline, b: geo.Outline): boolean {
  if (sidesCross(a, b)) return true;
  if (probes(a).some((p) => deepIn(b, p)) || probes(b).some((p) => deepIn(a, p))) return true;
  return probes(a).every((p) => holdsNearly(b, p)) && probes(b).every((p) => holdsNearly(a, p));
}

/** Corners and middles of sides. */
const probes = (outline: geo.Outline): geo.Vec2[] =>
  outline.flatMap((a, i) => {
    const b = geo.corner(outline, i + 1);
    return [a, geo.midpoint(a, b)];
  });

const toBoundary = (outline: geo.Outline, p: geo.Vec2): number =>
  Math.min(...outline.map((a, i) => geo.distanceToSegment(p, a, geo.corner(outline, i + 1))));

const deepIn = (outline: geo.Outline, p: geo.Vec2): boolean =>
  geo.holds(outline, p[0], p[1]) && toBoundary(outline, p) > SLACK;

const holdsNearly = (outline: geo.Outline, p: geo.Vec2): boolean =>
  geo.holds(outline, p[0], p[1]) || toBoundary(outline, p) <= SLACK;

/** True where a side of one runs through a side of the other, by more than the slack on both sides of both. */
function sidesCross(a: geo.Outline, b: geo.Outline): boolean {
  return a.some((a1, i) => {
    const a2 = geo.corner(a, i + 1);
    return b.some((b1, j) => {
      const b2 = geo.corner(b, j + 1);
      if (!geo.crossing(a1, a2, b1, b2)) return false;
      const ends = [geo.distanceToSegment(a1, b1, b2), geo.distanceToSegment(a2, b1, b2)];
      return Math.min(...ends, geo.distanceToSegment(b1, a1, a2), geo.distanceToSegment(b2, a1, a2)) > SLACK;
    });
  });
}

/** A place on a wall: where the middle of a door or window comes to lie. */
export type WallSpot = {
  readonly piece: WallPiece;
  /** How far along the piece, from its first end, and how long the piece is, m. */
  readonly along: number;
  readonly length: number;
  /** How far the wanted place is from the wall, m. */
  readonly away: number;
  /** The point so far along the wall from the spot, m. */
  readonly point: (further: number) => geo.Vec2;
};

/** A door may be drawn this far from its wall, m. */
export const FURTHEST_FROM_WALL = 0.3;

/** The spot on the nearest piece, the place set square onto it; null where there is no wall or none within 30 cm. */
export function onWall(pieces: readonly WallPiece[], at: geo.Vec2): WallSpot | null {
  const [nearest] = pieces.map((piece) => spotOn(piece, at)).sort((one, other) => one.away - other.away);
  return nearest && nearest.away <= FURTHEST_FROM_WALL + 1e-9 ? nearest : null;
}

function spotOn(piece: WallPiece, at: geo.Vec2): WallSpot {
  const { a, b } = piece;
  const length = geo.span(a, b);
  const ux = (b[0] - a[0]) / length;
  const uy = (b[1] - a[1]) / length;
  const along = (at[0] - a[0]) * ux + (at[1] - a[1]) * uy;
  const point = (further: number): geo.Vec2 => [a[0] + ux * (along + further), a[1] + uy * (along + further)];
  return { piece, along, length, away: geo.distanceToSegment(at, a, b), point };
}

/** A stretch of wall, and which walls of which rooms it is a part of. */
export type WallPiece = WallStretch & { readonly sides: readonly Side[] };
/** A wall as a line on the plan. */
type Line = { readonly a: geo.Vec2; readonly b: geo.Vec2 };
/** Walls that lean to each other by no more than this are parallel: the cosine of one degree. */
const PARALLEL = Math.cos(Math.PI / 180);

/**
 * The stretch over which `second` runs outside of `first` (walls of anticlockwise outlines, outside to the right), no further
 * off than `gap`, laid in the middle between them; `sense` −1 for walls that face each other, 1 for walls that run alike.
 * Null where there is none.
 */
function sideBySide(
  first: Line,
  second: Line,
  how: { readonly sense: 1 | -1; readonly gap: number },
): Line | null {
  const length = geo.span(first.a, first.b);
  const ux = (first.b[0] - first.a[0]) / length;
  const uy = (first.b[1] - first.a[1]) / length;
  const along = (p: geo.Vec2) => (p[0] - first.a[0]) * ux + (p[1] - first.a[1]) * uy;
  const outward = (p: geo.Vec2) => (p[0] - first.a[0]) * uy - (p[1] - first.a[1]) * ux;
  const [c, d] = [along(second.a), along(second.b)];
  if ((how.sense * (d - c)) / geo.span(second.a, second.b) < PARALLEL) return null;
  const from = Math.max(0, Math.min(c, d));
  const to = Math.min(length, Math.max(c, d));
  if (to <= from) return null;
  const slope = (outward(second.b) - outward(second.a)) / (d - c);
  const apart = (t: number) => outward(second.a) + (t - c) * slope;
  const middle = apart((from + to) / 2);
  if (middle < -SLACK || middle > how.gap + SLACK) return null;
  const point = (t: number): geo.Vec2 => [
    first.a[0] + ux * t + (uy * apart(t)) / 2,
    first.a[1] + uy * t - (ux * apart(t)) / 2,
  ];
  return { a: point(from), b: point(to) };
}

type Side = { readonly room: number; readonly wall: number };
/** Walls up to this thick lie between the outlines of two rooms, m. */
export const THICKEST_WALL = 0.4;
/** What is no further apart than this touches: a booth against a wall, a booth under the ceiling, m. */
export const TOUCH = 0.05;
const LEAST_LENGTH = 0.01;

/** Everything that separates two rooms: the walls they share, or all of a booth's toward its host. Empty where they do not touch. */
export function boundary(rooms: readonly RoomPlace[], i: number, j: number): WallPiece[] {
  if (rooms[i]?.host === j) return shell(rooms, i);
  if (rooms[j]?.host === i) return shell(rooms, j);
  if (rooms[i]?.host !== rooms[j]?.host) return [];
  return sharedWalls(rooms, i, j, { sense: -1, gap: rooms[i]?.host === null ? THICKEST_WALL : TOUCH });
}

/** Walls of a room with no other room behind them; a booth in a room has none. */
export function outerWalls(rooms: readonly RoomPlace[], index: number): WallPiece[] {
  const room = rooms[index] as RoomPlace;
  if (room.host !== null) return [];
  const covers = neighbours(rooms, index).flatMap((other) => boundary(rooms, index, other));
  return room.outline.flatMap((_, wall) => uncovered(room, { room: index, wall }, covers));
}

/** Parts of the host's walls that a booth stands against. */
export function flushWalls(rooms: readonly RoomPlace[], booth: number): WallPiece[] {
  const host = rooms[booth]?.host;
  return host === null || host === undefined ? [] : sharedWalls(rooms, booth, host, { sense: 1, gap: TOUCH });
}

/** A booth's walls toward its host: all but what it shares with a booth beside it or stands with against the host's wall. */
function shell(rooms: readonly RoomPlace[], booth: number): WallPiece[] {
  const place = rooms[booth] as RoomPlace;
  const host = rooms[place.host ?? -1] as RoomPlace;
  const seen = {
    ...place,
    floor: Math.max(place.floor, host.floor),
    ceiling: Math.min(place.ceiling, host.ceiling),
  };
  const beside = neighbours(rooms, booth).flatMap((other) => boundary(rooms, booth, other));
  const covers = [...beside, ...flushWalls(rooms, booth)];
  return place.outline.flatMap((_, wall) => uncovered(seen, { room: booth, wall }, covers));
}

const neighbours = (rooms: readonly RoomPlace[], index: number): number[] =>
  rooms.flatMap((other, j) => (j !== index && other.host === rooms[index]?.host ? [j] : []));

type How = { readonly sense: 1 | -1; readonly gap: number };

function sharedWalls(rooms: readonly RoomPlace[], i: number, j: number, how: How): WallPiece[] {
  const [one, other] = [rooms[i] as RoomPlace, rooms[j] as RoomPlace];
  const low = Math.max(one.floor, other.floor);
  const high = Math.min(one.ceiling, other.ceiling);
  if (high - low < LEAST_LENGTH) return [];
  return one.outline.flatMap((_, wall) =>
    other.outline.flatMap((__, facing) => {
      const line = sideBySide(wallLine(one, wall), wallLine(other, facing), how);
      if (!line || geo.span(line.a, line.b) < LEAST_LENGTH) return [];
      const sides = [i, j].map((room, k) => ({ room, wall: k === 0 ? wall : facing }));
      return [{ ...line, low, high, sides }];
    }),
  );
}

const wallLine = (room: RoomPlace, wall: number): Line => ({
  a: geo.corner(room.outline, wall),
  b: geo.corner(room.outline, wall + 1),
});

/** What is left of a wall, cut where covers begin and end, and above and below them. */
function uncovered(room: RoomPlace, side: Side, covers: readonly WallPiece[]): WallPiece[] {
  const { a, b } = wallLine(room, side.wall);
  const length = geo.span(a, b);
  const along = (p: geo.Vec2) => ((p[0] - a[0]) * (b[0] - a[0]) + (p[1] - a[1]) * (b[1] - a[1])) / length;
  const own = covers
    .filter((cover) => cover.sides.some((s) => s.room === side.room && s.wall === side.wall))
    .map((cover) => ({
      ...cover,
      from: Math.min(along(cover.a), along(cover.b)),
      to: Math.max(along(cover.a), along(cover.b)),
    }));
  const cuts = [0, length, ...own.flatMap(({ from, to }) => [from, to])].sort((x, y) => x - y);
  const point = (t: number): geo.Vec2 => [
    a[0] + ((b[0] - a[0]) * t) / length,
    a[1] + ((b[1] - a[1]) * t) / length,
  ];
  return cuts.flatMap((from, i) => {
    const to = cuts[i + 1] ?? from;
    if (to - from < LEAST_LENGTH) return [];
    const here = own.filter((cover) => cover.from <= from + 1e-9 && cover.to >= to - 1e-9);
    return freeHeights(room, here).map((free) => ({ ...free, a: point(from), b: point(to), sides: [side] }));
  });
}

type Heights = { readonly low: number; readonly high: number };

function freeHeights(room: RoomPlace, covers: readonly Heights[]): Heights[] {
  let bottom = room.floor;
  const free: Heights[] = [];
  for (const { low, high } of [...covers].sort((x, y) => x.low - y.low)) {
    if (low - bottom >= LEAST_LENGTH) free.push({ low: bottom, high: low });
    bottom = Math.max(bottom, high);
  }
  if (room.ceiling - bottom >= LEAST_LENGTH) free.push({ low: bottom, high: room.ceiling });
  return free;
}
