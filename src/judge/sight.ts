/** Who sees whom, past walls and baffles. */
import { crossing, distance, distanceToSegment, pointAlong, type Vec3 } from '../geometry.ts';
import { type Mic, OUTSIDE, type Partition, type Player, type Scene } from '../scene/scene.ts';
import { type RoomInterval, roomsOnLine } from '../transfer/wall-crossing.ts';
import type { Verdict } from './verdict.ts';

export type SightRow = {
  readonly players: readonly [string, string];
  readonly sees: boolean;
  /** What hides them from each other, from the first on; empty where they see each other. */
  readonly hiddenBy: readonly string[];
};

export type Sight = {
  readonly rows: readonly SightRow[];
  readonly limits: readonly (SightRow & { readonly verdict: Verdict })[];
};

/** Every pair of people, listeners included, whichever way they face; bodies, stands and instruments hide nothing. */
export function judgeSight(scene: Scene): Sight {
  const indices = scene.players.map((_, i) => i);
  return {
    rows: indices.flatMap((one) =>
      indices.slice(one + 1).flatMap((other) => sightOf(scene, one, other) ?? []),
    ),
    limits: scene.limits.seeEachOther.flatMap(([one, other]) => {
      const row = sightOf(scene, one, other);
      return row ? [{ ...row, verdict: row.sees ? ('clear' as const) : ('short' as const) }] : [];
    }),
  };
}

function sightOf(scene: Scene, one: number, other: number): SightRow | null {
  const [from, to] = [scene.players[one], scene.players[other]];
  if (!from || !to || from === to) return null;
  const met = [...panelsInSight(scene, from.eyes, to.eyes), ...wallsInSight(scene, from, to)];
  const hiddenBy = [...new Set(met.sort((a, b) => a.part - b.part).map(({ what }) => what))];
  return { players: [from.name, to.name], sees: hiddenBy.length === 0, hiddenBy };
}

// Walls in a line of sight: windows, openings and open doors let see, everything else hides.

type Building = Pick<Scene, 'rooms' | 'partitions'>;
type Line = { readonly from: Vec3; readonly to: Vec3 };

/** From one room of the line to the next: the wall between them lies between two fractions. */
type Change = Readonly<Record<'before' | 'after' | 'leave' | 'enter', number>>;

function wallsInSight(building: Building, one: Player, other: Player): InSight[] {
  const line = { from: one.eyes, to: other.eyes };
  return changesAlong(building, line, one.room, other.room).flatMap((change) => {
    const what = hiddenAt(building, line, change);
    return what === null ? [] : [{ part: change.leave, what }];
  });
}

/** A person in a doorway may have their eyes in the wall: their end of the line is in their own room. */
function changesAlong({ rooms }: Building, { from, to }: Line, first: number, last: number): Change[] {
  if (rooms.length === 0) return [];
  const inside = roomsOnLine(rooms, from, to).filter(({ room }) => room !== OUTSIDE);
  const stays: RoomInterval[] = [{ room: first, from: 0, to: 0 }, ...inside, { room: last, from: 1, to: 1 }];
  return stays.slice(1).flatMap((stay, i) => {
    const before = stays[i] as RoomInterval;
    if (stay.room === before.room && stay.from - before.to < TOUCHING) return [];
    return [{ before: before.room, after: stay.room, leave: before.to, enter: stay.from }];
  });
}

/** Fractions of a line nearer than this are one. */
const TOUCHING = 1e-6;

function hiddenAt({ rooms, partitions }: Building, line: Line, change: Change): string | null {
  const { before, after } = change;
  const nameOf = (room: number) => rooms[room]?.name ?? 'the open air';
  if (before === after) return atEnd(change) ? null : `the corner of ${nameOf(before)}`;
  const partition = partitions.find((one) => one.rooms.includes(before) && one.rooms.includes(after));
  if (!partition) return `the walls between ${nameOf(before)} and ${nameOf(after)}`;
  if (partition.roof && roofMet(partition.roof.height, line, change)) return `the roof of ${partition.name}`;
  const at = wallMet(partition, line, change);
  if (at === null) return atEnd(change) ? null : `the walls between ${nameOf(before)} and ${nameOf(after)}`;
  return behind(partition, at);
}

/** An end of the line within the wall itself. */
const atEnd = ({ leave, enter }: Change): boolean => leave === 0 || enter === 1;

function behind({ name, elements }: Partition, [x, y, z]: Vec3): string | null {
  const here = elements.filter(
    ({ a, b, low, high }) => z >= low && z <= high && distanceToSegment([x, y], a, b) < 1e-6,
  );
  if (here.some(({ kind, free }) => free || kind === 'window')) return null;
  const [door] = here;
  return door ? `the ${door.name} of ${name}` : `the wall ${name}`;
}

/** Outlines may run into each other by a drawing's rounding, m. */
const SLACK = 3e-3;

function isWithin(part: number, { leave, enter }: Change, { from, to }: Line): boolean {
  const slack = SLACK / distance(from, to);
  return part >= leave - slack && part <= enter + slack;
}

function wallMet({ stretches }: Partition, line: Line, change: Change): Vec3 | null {
  const { from, to } = line;
  for (const { a, b, low, high } of stretches) {
    const met = crossing(from, to, a, b);
    if (!met || !isWithin(met[0], change, line)) continue;
    const at = pointAlong(from, to, met[0]);
    if (at[2] >= low && at[2] <= high) return at;
  }
  return null;
}

function roofMet(height: number, line: Line, change: Change): boolean {
  const { from, to } = line;
  if ((from[2] - height) * (to[2] - height) >= 0) return false;
  return isWithin((height - from[2]) / (to[2] - from[2]), change, line);
}

/** An obstacle in a line of sight, and at which fraction of it. */
type InSight = { readonly part: number; readonly what: string };

/** A line passes over a baffle, under it, and through its window. Walls of booths are left to their partitions. */
export function panelsInSight({ panels }: Pick<Scene, 'panels'>, from: Vec3, to: Vec3): InSight[] {
  return panels.flatMap(({ name, booth, a, b, low, high, windowFrom }) => {
    const met = booth === null ? crossing(from, to, a, b) : null;
    if (!met) return [];
    const [part] = met;
    const height = from[2] + (to[2] - from[2]) * part;
    return height > low && height < Math.min(high, windowFrom) ? [{ part, what: name }] : [];
  });
}

/** Baffles of the plan in the straight line from a source to a mic. */
export function bafflesBetween(scene: Scene, source: number, { capsules }: Mic): string[] {
  const points = scene.sources[source]?.points ?? [];
  // a window blocks sound though not sight
  const panels = scene.panels.map((panel) => ({ ...panel, windowFrom: Number.POSITIVE_INFINITY }));
  const names = capsules.flatMap((index) => {
    const capsule = scene.capsules[index];
    const near = capsule ? points.filter(({ room }) => room === capsule.room) : [];
    return near.flatMap(({ at }) => (capsule ? panelsInSight({ panels }, at, capsule.at) : []));
  });
  return [...new Set(names.map(({ what }) => what))];
}
