/** Monte Carlo perturbation of a scene (one file: places, aims, levels, building). */
import { type Bands, bands, energyOf, MID_BANDS } from '../acoustics/bands.ts';
import { efficiencyByBand, nullFloor } from '../acoustics/pattern.ts';
import {
  add,
  crossing,
  distance,
  holds,
  meanOf,
  middleOf,
  rightOf,
  rotateAbout,
  rotateOnPlan,
  scale,
  span,
  subtract,
  unit,
  type Vec3,
} from '../geometry.ts';
import type { ToleranceEntry } from '../plan/limits.ts';
import {
  type Capsule,
  type Mic,
  OUTSIDE,
  type Panel,
  type Partition,
  type Player,
  type Room,
  type Scene,
  type Source,
  type SourcePoint,
  type Surface,
  type Tolerance,
  type WallElement,
} from './scene.ts';

/** Rolls in an order that depends on the scene alone, so that one seed moves the same things alike whichever causes rest. */
export function perturb(scene: Scene, sample: Sample): Scene {
  const moved = movePeople(scene, sample);
  const capsules = moveMics(scene, moved.sources, sample).map((capsule) => withNull(scene, capsule, sample));
  const sources = withLevels(scene, moved.sources, sample);
  return { ...scene, ...varyBuilding(scene, sample), players: moved.players, sources, capsules };
}

/** The pieces of a kit go up and down together: one drummer plays them. */
function withLevels({ tolerance }: Scene, sources: readonly Source[], { draw }: Sample): Source[] {
  const kits = new Map<string, number>();
  return sources.map((source) => {
    const known = source.kit === null ? undefined : kits.get(source.kit);
    const sample = known ?? draw('level');
    if (source.kit !== null) kits.set(source.kit, sample);
    const factor = energyOf(sample * boundOf(source, tolerance));
    return factor === 1 ? source : { ...source, power: source.power.map((power) => power * factor) };
  });
}

const boundOf = ({ read, measured }: Source, { level, guessedLevel }: Scene['tolerance']): number =>
  read?.within ?? (measured ? level : guessedLevel);

/** One sample for all bands of a capsule: a shallow null is shallow throughout. A depth that the plan gives stays. */
function withNull({ tolerance }: Scene, capsule: Capsule, { draw, isHeld }: Sample): Capsule {
  const sample = (draw('null-depth') + 1) / 2;
  if (!capsule.usualNull || isHeld('null-depth')) return capsule;
  const { from, to } = tolerance.nullDepth;
  const { pattern } = capsule;
  const floor = bands((band) => {
    const shallowest = from[band] as number;
    return nullFloor(shallowest + sample * ((to[band] as number) - shallowest));
  });
  return { ...capsule, nullFloor: floor, ree: efficiencyByBand(pattern.a, pattern.table, floor) };
}

// Players somewhat off their place and turned, with all they play; what stands by itself likewise.

type Moved = { readonly players: Player[]; readonly sources: Source[] };

function movePeople(scene: Scene, sample: Sample): Moved {
  const shifts = scene.players.map((player, index) => {
    const carried = scene.sources.filter((source) => carrier(source) === index);
    return shiftOf(
      scene,
      player.at,
      [...spotsOf(player), ...carried.flatMap(({ points }) => points)],
      sample,
    );
  });
  const players = scene.players.map((player, index) => movedPlayer(player, shifts[index] as Shift));
  const sources = scene.sources.map((source) => {
    const player = carrier(source);
    const own =
      player === null ? shiftOf(scene, middleOf(source.points), source.points, sample) : shifts[player];
    return own ? movedSource(source, own) : source;
  });
  return { players, sources };
}

/** The player with whom a source moves; null for what stands by itself, also where a player far from it plays it. */
const carrier = ({ player, path }: Source): number | null => (path[0] === 'sources' ? null : player);

const spotsOf = ({ at, ears, eyes, room }: Player): Spot[] =>
  [at, ears, eyes].map((one) => ({ at: one, room }));

/** A turn about a pivot, degrees clockwise, and a step on the plan. */
type Shift = { readonly pivot: Vec3; readonly turn: number; readonly step: Vec3 };

function shiftOf(scene: Scene, pivot: Vec3, spots: readonly Spot[], { draw }: Sample): Shift {
  const { facing, place } = scene.tolerance;
  const turn = facing * draw('facing');
  const step: Vec3 = [place * draw('place'), place * draw('place'), 0];
  const move: Move = (at, share) => shifted(at, { pivot, turn: turn * share, step: scale(step, share) });
  const share = movementLimit(scene, spots, move);
  return { pivot, turn: turn * share, step: scale(step, share) };
}

function shifted(at: Vec3, { pivot, turn, step }: Shift): Vec3 {
  const about = turn === 0 ? at : add(pivot, rotateOnPlan(subtract(at, pivot), turn));
  return add(about, step);
}

const movedPlayer = (player: Player, shift: Shift): Player => ({
  ...player,
  at: shifted(player.at, shift),
  facing: player.facing + shift.turn,
  ears: shifted(player.ears, shift),
  eyes: shifted(player.eyes, shift),
});

const movedSource = (source: Source, shift: Shift): Source => ({
  ...source,
  points: source.points.map(
    (point): SourcePoint => ({
      ...point,
      at: shifted(point.at, shift),
      axis: rotateOnPlan(point.axis, shift.turn),
    }),
  ),
});

// Mics somewhat off their place and aim. A pair is one stand: it moves and turns as a whole.

/** `moved` are the scene's sources as they stand now. */
function moveMics(scene: Scene, moved: readonly Source[], sample: Sample): Capsule[] {
  const shifts = scene.mics.map((mic) => (mic.line ? null : micShift(scene, mic, moved, sample)));
  return scene.capsules.map((capsule) => {
    const shift = shifts[capsule.mic];
    return shift ? shiftedMic(capsule, shift) : capsule;
  });
}

/** A step of the stand, and a turn about its middle. */
type MicShift = {
  readonly middle: Vec3;
  readonly step: Vec3;
  readonly pole: Vec3;
  readonly turn: number;
};

function micShift(scene: Scene, mic: Mic, moved: readonly Source[], { draw }: Sample): MicShift {
  const { aim, near, place } = scene.tolerance;
  const capsules = mic.capsules.flatMap((index) => scene.capsules[index] ?? []);
  const middle = middleOf(capsules);
  const lucks: Vec3 = [draw('place'), draw('place'), draw('place')];
  const own = ownPoint(scene, mic, middle);
  const wanted = own ? rideWith(own, moved, middle, 1 + near * lucks[0]) : scale(lucks, place);
  const share = movementLimit(scene, capsules, (at, part) => add(at, scale(wanted, part)));
  const turn = aim * draw('aim');
  const middleAim = unit(meanOf(capsules.map((one) => one.aim)));
  const pole = rotateAbout(rightOf(middleAim), middleAim, 180 * draw('aim'));
  return { middle, step: scale(wanted, share), pole, turn };
}

type OwnPoint = { readonly source: number; readonly point: number; readonly at: Vec3 };

/** The nearest point of its own sources, for a mic so close that its stand goes by it; else null. */
function ownPoint({ sources }: Scene, { purpose, wanted }: Mic, from: Vec3): OwnPoint | null {
  if (purpose !== 'parts') return null;
  const points = wanted.flatMap((source) =>
    (sources[source]?.points ?? []).map(({ at }, point) => ({ source, point, at, away: distance(at, from) })),
  );
  const nearest = points.reduce<(typeof points)[number] | null>(
    (a, b) => (a && a.away <= b.away ? a : b),
    null,
  );
  return nearest && nearest.away < CLOSE ? nearest : null;
}

/** A close mic keeps its side of the source and goes where that goes; its distance is off by a factor. */
function rideWith(
  { source, point, at }: OwnPoint,
  moved: readonly Source[],
  from: Vec3,
  factor: number,
): Vec3 {
  const now = moved[source]?.points[point]?.at ?? at;
  return subtract(add(now, scale(subtract(from, at), factor)), from);
}

function shiftedMic(capsule: Capsule, { middle, step, pole, turn }: MicShift): Capsule {
  const arm =
    turn === 0 ? subtract(capsule.at, middle) : rotateAbout(subtract(capsule.at, middle), pole, turn);
  return { ...capsule, at: add(add(middle, arm), step), aim: rotateAbout(capsule.aim, pole, turn) };
}

// How far a thing can be moved and still be where it was: in its room, on its side of every screen.

/** A point with the room that holds it. */
type Spot = { readonly at: Vec3; readonly room: number };

/** A move of points, by the share of it that is made: 0 leaves them where they are. */
export type Move = (at: Vec3, share: number) => Vec3;

type Place = Pick<Scene, 'rooms' | 'panels'>;

const HALVINGS = 12;

/**
 * The share of a move that can be made: 1, or as much as leaves every point in its room and before its screens. A point that
 * stands in a doorway, in no room's outline, is not held.
 */
export function movementLimit(place: Place, spots: readonly Spot[], move: Move): number {
  const held = spots.filter((spot) => stays(place, spot, spot.at));
  const fits = (share: number) => held.every((spot) => stays(place, spot, move(spot.at, share)));
  if (fits(1)) return 1;
  let low = 0;
  let high = 1;
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (low + high) / 2;
    if (fits(middle)) low = middle;
    else high = middle;
  }
  return low;
}

function stays({ rooms, panels }: Place, { at, room }: Spot, to: Vec3): boolean {
  const own = rooms[room];
  if (room !== OUTSIDE && own && !isIn(own, rooms, room, to)) return false;
  return !panels.some((panel) => panel.room === room && isBetween(panel, at, to));
}

/** Within the outline, between floor and ceiling, and in no booth that stands in the room. */
function isIn(own: Room, rooms: readonly Room[], index: number, [x, y, z]: Vec3): boolean {
  if (z < own.floor - 1e-9 || z > own.ceiling + 1e-9 || !holds(own.outline, x, y)) return false;
  return !rooms.some((other) => other.host === index && holds(other.outline, x, y));
}

function isBetween({ a, b, low, high }: Panel, from: Vec3, to: Vec3): boolean {
  const z = (from[2] + to[2]) / 2;
  return z > low && z < high && crossing(from, to, a, b) !== null;
}

// Rooms that absorb somewhat more or less than thought, walls and screens that let through more or less.

function varyBuilding(
  scene: Scene,
  { draw }: Sample,
): { readonly rooms: Room[]; readonly partitions: Partition[]; readonly panels: Panel[] } {
  const { absorption, reverberation, panel } = scene.tolerance;
  const lucks = scene.rooms.map(() => draw('absorption'));
  const factors = lucks.map((sample, i) => (scene.rooms[i]?.measured ? 1 : 1 + absorption * sample));
  const lets = scene.partitions.map(() => energyOf(-panel * draw('panel')));
  return {
    rooms: scene.rooms.map((room, i) =>
      room.measured
        ? withTime(room, room.measured, 1 + reverberation * (lucks[i] ?? 0))
        : withAbsorption(room, factors[i] ?? 1),
    ),
    partitions: scene.partitions.map((one, i) => withTransmission(one, lets[i] ?? 1)),
    panels: scene.panels.map((one) => {
      const shell = shellOf(scene, one);
      const factor = shell < 0 ? energyOf(-panel * draw('panel')) : (lets[shell] ?? 1);
      return { ...one, tau: times(one.tau, factor), alpha: scaled(one.alpha, factors[one.room] ?? 1) };
    }),
  };
}

/** The partition whose wall a booth's panel is, or −1 for a baffle. */
const shellOf = ({ partitions }: Scene, { booth, room }: Panel): number =>
  booth === null ? -1 : partitions.findIndex(({ rooms }) => rooms.includes(booth) && rooms.includes(room));

const withTime = (room: Room, { t60, setUp }: NonNullable<Room['measured']>, factor: number): Room => ({
  ...room,
  measured: { t60: t60.map((time) => time * factor), setUp },
});

/** One factor for all that absorbs in a room: handbook values err the same way more often than they cancel. */
function withAbsorption(room: Room, factor: number): Room {
  if (factor === 1) return room;
  return {
    ...room,
    surfaces: room.surfaces.map((surface) => withFinish(surface, factor)),
    contents: room.contents.map((area) => area * factor),
    people: room.people.map((area) => area * factor),
    added: room.added.map((area) => area * factor),
  };
}

/** What stands open absorbs all it gets, whatever the finish. */
function withFinish(surface: Surface, factor: number): Surface {
  const { area, open } = surface;
  if (area <= 0) return surface;
  const share = open / area;
  return { ...surface, alpha: surface.alpha.map((alpha) => Math.min(1, (alpha - share) * factor + share)) };
}

/** One factor for wall, doors and windows; what stands open lets all through. */
function withTransmission(partition: Partition, factor: number): Partition {
  if (factor === 1) return partition;
  const { wall, elements, area, tau } = partition;
  const free = elements.filter((element) => element.free);
  const share = Math.min(1, free.reduce((sum, element) => sum + areaOf(element), 0) / area);
  return {
    ...partition,
    wall: times(wall, factor),
    elements: elements.map((one) => (one.free ? one : { ...one, tau: times(one.tau, factor) })),
    tau: tau.map((all) => Math.min(1, Math.max(0, all - share) * factor + share)),
  };
}

const areaOf = ({ a, b, low, high }: WallElement): number => span(a, b) * (high - low);

/** A transmission factor times another; 1 is no wall at all and stays. */
const times = (tau: Bands, factor: number): Bands =>
  tau.map((one) => (one >= 1 ? 1 : Math.min(1, one * factor)));

const scaled = (alpha: Bands, factor: number): Bands => alpha.map((one) => Math.min(1, one * factor));

// What can be off on the day, and by how much this time.

/** `near` counts to the place, `guessed-level` to the level, `reverberation` to the absorption. */
export const CAUSES = ['aim', 'facing', 'place', 'level', 'null-depth', 'panel', 'absorption'] as const;

export type Cause = (typeof CAUSES)[number];

export type Sample = {
  /** The next number of a cause, from −1 to 1 as a share of its bound; 0 for a cause that rests. */
  readonly draw: (cause: Cause) => number;
  readonly isHeld: (cause: Cause) => boolean;
};

// How far the day may be from the plan: the bounds within which each thing varies, evenly and independently.

/** A mic no further than this from its source is placed by its distance, m. */
export const CLOSE = 0.5;

const USUAL = {
  aim: 8,
  facing: 20,
  place: 0.1,
  near: 0.2,
  level: 3,
  guessedLevel: 6,
  panel: 3,
  absorption: 0.2,
  reverberation: 0.1,
  seed: 1,
  draws: 500,
} as const;

/** Under 200 Hz and over 6 kHz nulls are shallower. */
const SHALLOW = { below: 200, above: 6000 } as const;

/** What the plan does not set is as usual; a null depth that it sets holds in every band. */
export function toleranceOf(entry: ToleranceEntry): Tolerance {
  const { nullDepth, ...rest } = entry;
  return { ...USUAL, ...rest, nullDepth: depthsOf(nullDepth) };
}

function depthsOf(set: ToleranceEntry['nullDepth']): Tolerance['nullDepth'] {
  const both = set && ([Math.min(...set), Math.max(...set)] as const);
  const usual = (band: number) =>
    isShallow(MID_BANDS[band] ?? 0) ? ([10, 20] as const) : ([15, 30] as const);
  return { from: bands((band) => (both ?? usual(band))[0]), to: bands((band) => (both ?? usual(band))[1]) };
}

const isShallow = (hertz: number): boolean => hertz < SHALLOW.below || hertz > SHALLOW.above;
