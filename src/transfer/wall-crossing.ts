/** Paths from one room into the next: straight through the wall or what is set in it, and through what stands open. */
import type { Bands } from '../acoustics/bands.ts';
import * as geo from '../geometry.ts';
import { OUTSIDE, type Partition, type Room, type WallElement, type WallStretch } from '../scene/scene.ts';
import { solidAngle, throughAperture } from './aperture.ts';
import { type Barriers, multiply, transmitLeg } from './barrier-diffraction.ts';
import { wholeOf } from './combined-loss.ts';
import { edgesOf } from './diffraction-path.ts';
import { inFront, type PreparedPanel } from './panel.ts';
import { copyInterference } from './panel-diffraction.ts';
import { hearFree, keepOf, type Visit } from './path-energy.ts';
import type { PreparedScene } from './prepared-scene.ts';
import { carriedReflections } from './reflections.ts';
import { type SourceReceiver, startStraightPath } from './source-receiver.ts';
import { factor } from './trace.ts';

/** Visits the straight line through the element it crosses, and each opening, whether the line meets it or not. */
export function wallPaths(prepared: PreparedScene, pair: SourceReceiver, visit: Visit): void {
  const { emitter, capsule, path, workspace } = pair;
  const { partition, wallCrossing, openings } = partitionBetween(prepared.scene, emitter, capsule);
  const { record } = workspace;
  if (wallCrossing?.tau) {
    const { tau, through } = wallCrossing;
    startStraightPath(pair, 'through', 'walls');
    path.partition = partition?.name ?? '';
    path.element = typeof through === 'string' ? through : through.name;
    keepOf(path, tau);
    record?.factors.push({ kind: 'wall', by: tau });
    transmitInRooms(prepared, pair, wallCrossing.at);
    visit(path);
  }
  for (const opening of openings) {
    const aperture = prepared.openings.prepared.get(opening);
    if (!aperture) continue;
    startStraightPath(pair, 'opening', 'walls');
    path.partition = partition?.name ?? '';
    path.element = opening.name;
    const ends = { source: emitter.at, mic: capsule.at, pathEnergy: pair.pathEnergy };
    if (!throughAperture(path.energy, workspace, aperture, ends)) continue;
    hearFree(path);
    if (record) {
      record.edges = edgesOf(workspace, inFront(aperture, emitter.at) > 0);
      record.factors.push(
        factor('opening', (band) => (path.energy[band] as number) / (path.free[band] as number)),
      );
    }
    transmitBesideAperture(prepared, pair, aperture);
    visit(path);
    carryReflections(prepared, pair, aperture, visit);
  }
}

/**
 * First reflections of the source's room go on through an opening, and those of the mic's room come of it: near the opening by
 * themselves, further on as part of the field. With x and y the shares 2π of the solid angle in which mic and source see it they count
 * `x(1 − y)/(1 − xy)` and `y(1 − x)/(1 − xy)`: whole in the doorway, and the same when source and mic change places.
 */
function carryReflections(
  prepared: PreparedScene,
  pair: SourceReceiver,
  opening: PreparedPanel,
  visit: Visit,
): void {
  const { emitter, capsule } = pair;
  const x = solidAngle(opening, capsule.at) / (2 * Math.PI);
  const y = solidAngle(opening, emitter.at) / (2 * Math.PI);
  for (const ofSource of [true, false]) {
    const [room, next] = ofSource ? [emitter.room, capsule.room] : [capsule.room, emitter.room];
    const share = ((ofSource ? x * (1 - y) : y * (1 - x)) + TOUCHING) / (1 - x * y + 2 * TOUCHING);
    const shape = prepared.shapes[room];
    const reflected = prepared.absorptions[room]?.reflected;
    if (!shape || !reflected || share < SLIGHT) continue;
    const barriers = barriersToward(prepared, room, next);
    const around = { shape, reflected, barriers, corners: null, mixed: prepared.mixed[room] ?? [] };
    carriedReflections(
      pair,
      around,
      { opening, ofSource, share, beyond: barriersToward(prepared, next, room) },
      visit,
    );
  }
}

/** Shares that make no difference are not computed. */
const SLIGHT = 1e-3;
/** Keeps the shares defined with both ends in the doorway. */
const TOUCHING = 1e-9;

/** Panels in either room act alike on all paths through the opening. */
function transmitBesideAperture(
  prepared: PreparedScene,
  pair: SourceReceiver,
  aperture: PreparedPanel,
): void {
  const { emitter, capsule, workspace } = pair;
  const { energy } = pair.path;
  const through = energy.slice();
  const interference = workspace.kept && copyInterference(workspace.interference);
  const near = inFront(aperture, emitter.at);
  const share = near / (near - inFront(aperture, capsule.at));
  energy.fill(1);
  transmitInRooms(prepared, pair, geo.pointAlong(emitter.at, capsule.at, share));
  if (interference) workspace.kept?.push({ interference, ...wholeOf(energy.slice()) });
  multiply(energy, through);
}

/** Panels in either room act on the line as on an image path; a booth's own walls are the wall that it goes through. */
function transmitInRooms(
  prepared: PreparedScene,
  { emitter, capsule, path }: SourceReceiver,
  at: geo.Vec3,
): void {
  const share = Math.min(1, geo.distance(emitter.at, at) / geo.distance(emitter.at, capsule.at));
  const line = { source: emitter.at, mic: capsule.at, except: null };
  const before = barriersToward(prepared, emitter.room, capsule.room);
  const after = barriersToward(prepared, capsule.room, emitter.room);
  if (before) transmitLeg(path.energy, before, { ...line, from: 0, to: share, where: 'before' });
  if (after) transmitLeg(path.energy, after, { ...line, from: share, to: 1, where: 'after' });
}

const barriersToward = (prepared: PreparedScene, room: number, next: number): Barriers | null => {
  const obstacles = prepared.obstacles[room];
  return obstacles ? (obstacles.toward.get(next) ?? obstacles.barriers) : null;
};

// The straight line from one room into the next: what of the partition it meets, and what stands open beside it.

type Spot = { readonly at: geo.Vec3; readonly room: number };

export type WallCrossing = {
  /** What the line goes through: the bare wall, the roof of a booth, or a door, window or opening. */
  readonly through: 'wall' | 'roof' | WallElement;
  readonly at: geo.Vec3;
  /** Its transmission factor by band; null where it stands open, since `openings` then tells what passes. */
  readonly tau: Bands | null;
};

type PartitionBetween = {
  /** Null where the rooms share none. */
  readonly partition: Partition | null;
  /** Null where the line misses the partition, or crosses a third room or the open air. */
  readonly wallCrossing: WallCrossing | null;
  /** What stands open between the two rooms within sight of both spots; it passes sound whether the line meets it or not. */
  readonly openings: readonly WallElement[];
};

type Building = { readonly rooms: readonly Room[]; readonly partitions: readonly Partition[] };

/** For a source and a mic in two rooms; rooms without a partition between them have neither passage nor openings. */
export function partitionBetween({ rooms, partitions }: Building, source: Spot, mic: Spot): PartitionBetween {
  const partition = partitions.find(
    (one) => source.room !== mic.room && one.rooms.includes(source.room) && one.rooms.includes(mic.room),
  );
  if (!partition) return { partition: null, wallCrossing: null, openings: [] };
  const openings = partition.elements.filter(
    (element) => element.free && seenByBoth(rooms, element, source, mic),
  );
  return { partition, wallCrossing: wallCrossingOf(rooms, partition, source, mic), openings };
}

function wallCrossingOf(
  rooms: readonly Room[],
  partition: Partition,
  source: Spot,
  mic: Spot,
): WallCrossing | null {
  const gap = wallAlong(rooms, source, mic);
  if (!gap) return null;
  const start = source.at;
  const end = mic.at;
  const roof = roofMet(partition, start, end);
  if (roof !== null && isWithin(roof, gap, start, end)) {
    return { through: 'roof', at: geo.pointAlong(start, end, roof), tau: partition.wall };
  }
  for (const stretch of partition.stretches) {
    const part = stretchMet(stretch, start, end);
    if (part === null || !isWithin(part, gap, start, end)) continue;
    const at = geo.pointAlong(start, end, part);
    const element = elementAt(partition, at);
    const tau = element ? (element.free ? null : element.tau) : partition.wall;
    return { through: element ?? 'wall', at, tau };
  }
  return null;
}

type Gap = { readonly from: number; readonly to: number };

/**
 * Where the line is in neither room, from leaving the source's to entering the mic's; of no length where the rooms share one
 * line of wall. A spot in a doorway may itself be in the wall. Null where the line goes any other way.
 */
function wallAlong(rooms: readonly Room[], source: Spot, mic: Spot): Gap | null {
  const stays = roomsOnLine(rooms, source.at, mic.at);
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

function isWithin(part: number, { from, to }: Gap, start: geo.Vec3, end: geo.Vec3): boolean {
  const length = geo.distance(start, end);
  return (from - part) * length <= SLACK && (part - to) * length <= SLACK;
}

function stretchMet({ a, b, low, high }: WallStretch, start: geo.Vec3, end: geo.Vec3): number | null {
  const met = geo.crossing([start[0], start[1]], [end[0], end[1]], a, b);
  if (!met) return null;
  const z = start[2] + (end[2] - start[2]) * met[0];
  return z >= low && z <= high ? met[0] : null;
}

function roofMet({ roof }: Partition, start: geo.Vec3, end: geo.Vec3): number | null {
  if (!roof || (start[2] - roof.height) * (end[2] - roof.height) >= 0) return null;
  const part = (roof.height - start[2]) / (end[2] - start[2]);
  const [x, y] = geo.pointAlong(start, end, part);
  return geo.holds(roof.outline, x, y) ? part : null;
}

/** The element at a point of the wall; the slit of an ajar door before its leaf. */
function elementAt({ elements }: Partition, [x, y, z]: geo.Vec3): WallElement | null {
  const here = elements.filter(
    ({ a, b, low, high }) => z >= low && z <= high && geo.distanceToSegment([x, y], a, b) < 1e-6,
  );
  return here.find(({ free }) => free) ?? here[0] ?? null;
}

function seenByBoth(rooms: readonly Room[], { a, b }: WallElement, source: Spot, mic: Spot): boolean {
  const middle = geo.midpoint(a, b);
  return [source, mic].every(({ at, room }) => {
    const { outline } = rooms[room] as Room;
    return (
      !geo.holds(outline, at[0], at[1]) || geo.seesWithin(outline, [at[0], at[1]], footOf(outline, middle))
    );
  });
}

/** The point itself, or where it is on the outline's side of the wall. */
function footOf(outline: readonly geo.Vec2[], point: geo.Vec2): geo.Vec2 {
  if (geo.holds(outline, point[0], point[1])) return point;
  const feet = outline.map((a, i) => footOn(point, a, geo.corner(outline, i + 1)));
  const away = feet.map((foot) => geo.span(foot, point));
  return feet[away.indexOf(Math.min(...away))] ?? point;
}

function footOn([x, y]: geo.Vec2, [ax, ay]: geo.Vec2, [bx, by]: geo.Vec2): geo.Vec2 {
  const [dx, dy] = [bx - ax, by - ay];
  const along = Math.min(1, Math.max(0, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy)));
  return [ax + along * dx, ay + along * dy];
}

/** A stay of the line in one room, between two fractions of its length; in a wall or the open air `room` is `OUTSIDE`. */
export type RoomInterval = { readonly room: number; readonly from: number; readonly to: number };
/** Shorter stays are a matter of rounding, m. */
const LEAST = 1e-6;

/**
 * Rooms by turns from one end to the other; of rooms in rooms the innermost counts. Asked for every pair in two rooms: loops, since
 * with lists of lists it took half of a recomputation of three rooms.
 */
export function roomsOnLine(rooms: readonly Room[], start: geo.Vec3, end: geo.Vec3): RoomInterval[] {
  const cuts = cutsAlong(rooms, start, end);
  const stays: RoomInterval[] = [];
  const least = LEAST / geo.distance(start, end);
  for (let i = 1; i < cuts.length; i++) {
    const from = cuts[i - 1] as number;
    const to = cuts[i] as number;
    if (to - from < least) continue;
    const room = roomHolding(rooms, geo.pointAlong(start, end, (from + to) / 2));
    const last = stays[stays.length - 1];
    if (last?.room === room) stays[stays.length - 1] = { room, from: last.from, to };
    else stays.push({ room, from, to });
  }
  return stays;
}

/** Fractions of the line at which it passes walls, floors and ceilings, in order, and both its ends. */
function cutsAlong(rooms: readonly Room[], start: geo.Vec3, end: geo.Vec3): number[] {
  const cuts = [0, 1];
  const a: geo.Vec2 = [start[0], start[1]];
  const b: geo.Vec2 = [end[0], end[1]];
  const rise = end[2] - start[2];
  for (const { outline, floor, ceiling } of rooms) {
    for (let i = 0; i < outline.length; i++) {
      const met = geo.crossing(a, b, outline[i] as geo.Vec2, geo.corner(outline, i + 1));
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

function roomHolding(rooms: readonly Room[], at: geo.Vec3): number {
  for (let i = 0; i < rooms.length; i++) {
    if (isIn(rooms[i] as Room, at) && !hostsOneAt(rooms, i, at)) return i;
  }
  return OUTSIDE;
}

function hostsOneAt(rooms: readonly Room[], host: number, at: geo.Vec3): boolean {
  for (const room of rooms) if (room.host === host && isIn(room, at)) return true;
  return false;
}

const isIn = ({ outline, floor, ceiling }: Room, at: geo.Vec3): boolean =>
  at[2] >= floor && at[2] <= ceiling && geo.holds(outline, at[0], at[1]);
