/** The straight line from one room into the next: what of the partition it meets, and what stands open beside it. */
import { corner, crossing, distanceToStretch, holds, seesWithin } from '../scene/polygon.ts';
import type { Partition, Room, WallElement, WallStretch } from '../scene/scene.ts';
import type { Vec2, Vec3 } from '../scene/vector.ts';
import type { Bands } from './bands.ts';
import { pointAlong, roomsAlong } from './line-rooms.ts';

export type Spot = { readonly at: Vec3; readonly room: number };

export type Passage = {
  readonly partition: Partition;
  /** What the line goes through: the bare wall, the roof of a booth, or a door, window or opening. */
  readonly through: 'wall' | 'roof' | WallElement;
  readonly at: Vec3;
  /** Its transmission factor by band; null where it stands open, since `openings` then tells what passes. */
  readonly tau: Bands | null;
};

export type ThroughWall = {
  /** Null where the line misses the partition, or crosses a third room or the open air. */
  readonly passage: Passage | null;
  /** What stands open between the two rooms within sight of both spots; it passes sound whether the line meets it or not. */
  readonly openings: readonly WallElement[];
};

type Building = { readonly rooms: readonly Room[]; readonly partitions: readonly Partition[] };

/** For a source and a mic in two rooms; rooms without a partition between them have neither passage nor openings. */
export function throughWall({ rooms, partitions }: Building, source: Spot, mic: Spot): ThroughWall {
  const partition = partitions.find(
    (one) => source.room !== mic.room && one.rooms.includes(source.room) && one.rooms.includes(mic.room),
  );
  if (!partition) return { passage: null, openings: [] };
  const openings = partition.elements.filter(
    (element) => element.free && seenByBoth(rooms, element, source, mic),
  );
  return { passage: passageOf(rooms, partition, source, mic), openings };
}

function passageOf(rooms: readonly Room[], partition: Partition, source: Spot, mic: Spot): Passage | null {
  const gap = wallAlong(rooms, source, mic);
  if (!gap) return null;
  const start = source.at;
  const end = mic.at;
  const roof = roofMet(partition, start, end);
  if (roof !== null && isWithin(roof, gap, start, end)) {
    return { partition, through: 'roof', at: pointAlong(start, end, roof), tau: partition.wall };
  }
  for (const stretch of partition.stretches) {
    const part = stretchMet(stretch, start, end);
    if (part === null || !isWithin(part, gap, start, end)) continue;
    const at = pointAlong(start, end, part);
    const element = elementAt(partition, at);
    const tau = element ? (element.free ? null : element.tau) : partition.wall;
    return { partition, through: element ?? 'wall', at, tau };
  }
  return null;
}

type Gap = { readonly from: number; readonly to: number };

/**
 * Where the line is in neither room, from leaving the source's to entering the mic's; of no length where the rooms share one
 * line of wall. A spot in a doorway may itself be in the wall. Null where the line goes any other way.
 */
function wallAlong(rooms: readonly Room[], source: Spot, mic: Spot): Gap | null {
  const stays = roomsAlong(rooms, source.at, mic.at);
  const before = stays.filter(({ room }) => room === source.room);
  const after = stays.filter(({ room }) => room === mic.room);
  if (before.length > 1 || after.length > 1) return null;
  const from = before[0]?.to ?? 0;
  const to = after[0]?.from ?? 1;
  const others = stays.filter(({ room }) => room !== source.room && room !== mic.room);
  const inWall = others.every((stay) => stay.room < 0 && stay.from >= from && stay.to <= to);
  return inWall && from <= to ? { from, to } : null;
}

/** Outlines may run into each other by a drawing's rounding, m. */
const SLACK = 3e-3;

function isWithin(part: number, { from, to }: Gap, start: Vec3, end: Vec3): boolean {
  const length = Math.hypot(end[0] - start[0], end[1] - start[1], end[2] - start[2]);
  return (from - part) * length <= SLACK && (part - to) * length <= SLACK;
}

function stretchMet({ a, b, low, high }: WallStretch, start: Vec3, end: Vec3): number | null {
  const met = crossing([start[0], start[1]], [end[0], end[1]], a, b);
  if (!met) return null;
  const z = start[2] + (end[2] - start[2]) * met[0];
  return z >= low && z <= high ? met[0] : null;
}

function roofMet({ roof }: Partition, start: Vec3, end: Vec3): number | null {
  if (!roof || (start[2] - roof.height) * (end[2] - roof.height) >= 0) return null;
  const part = (roof.height - start[2]) / (end[2] - start[2]);
  const [x, y] = pointAlong(start, end, part);
  return holds(roof.outline, x, y) ? part : null;
}

/** The element at a point of the wall; the slit of an ajar door before its leaf. */
function elementAt({ elements }: Partition, [x, y, z]: Vec3): WallElement | null {
  const here = elements.filter(
    ({ a, b, low, high }) => z >= low && z <= high && distanceToStretch([x, y], a, b) < 1e-6,
  );
  return here.find(({ free }) => free) ?? here[0] ?? null;
}

function seenByBoth(rooms: readonly Room[], { a, b }: WallElement, source: Spot, mic: Spot): boolean {
  const middle: Vec2 = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  return [source, mic].every(({ at, room }) => {
    const { outline } = rooms[room] as Room;
    return !holds(outline, at[0], at[1]) || seesWithin(outline, [at[0], at[1]], footOf(outline, middle));
  });
}

/** The point itself, or where it is on the outline's side of the wall. */
function footOf(outline: readonly Vec2[], point: Vec2): Vec2 {
  if (holds(outline, point[0], point[1])) return point;
  const feet = outline.map((a, i) => footOn(point, a, corner(outline, i + 1)));
  const away = feet.map((foot) => Math.hypot(foot[0] - point[0], foot[1] - point[1]));
  return feet[away.indexOf(Math.min(...away))] ?? point;
}

function footOn([x, y]: Vec2, [ax, ay]: Vec2, [bx, by]: Vec2): Vec2 {
  const [dx, dy] = [bx - ax, by - ay];
  const along = Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy)));
  return [ax + along * dx, ay + along * dy];
}
