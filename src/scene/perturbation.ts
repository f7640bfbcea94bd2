/** Monte Carlo perturbation of a scene: places, aims, levels, nulls, the building; and the bounds of each. */
import { type Bands, bands, energyOf, MID_BANDS } from '../acoustics/bands.ts';
import { efficiencyByBand, nullFloor } from '../acoustics/directivity.ts';
import * as geo from '../geometry.ts';
import type { ToleranceEntry } from '../plan/limits.ts';
import {
  type Capsule,
  isLateAlone,
  LATE_ALONE_LOWER,
  type MeasuredTime,
  type Mic,
  OUTSIDE,
  type Panel,
  type Partition,
  type Room,
  type Scene,
  type Source,
  type SourcePoint,
  type Surface,
  type Tolerance,
  wallArea,
} from './scene.ts';

/** What can be off: `near` of a tolerance counts to the place, `guessed-level` to the level, `reverberation` to the absorption. */
export const CAUSES = ['aim', 'facing', 'place', 'level', 'null-depth', 'panel', 'absorption'] as const;
export type Cause = (typeof CAUSES)[number];

export type Sample = {
  /** The next number of a cause, from −1 to 1 as a share of its bound; 0 for a cause that is held. */
  readonly draw: (cause: Cause) => number;
  readonly isHeld: (cause: Cause) => boolean;
};

/** Draws in an order that depends on the scene alone, so that one seed moves the same things alike whichever causes are held. */
export function perturb(scene: Scene, sample: Sample): Scene {
  const moved = perturbPeople(scene, sample);
  const mics = perturbMics(scene, moved.sources, sample);
  const capsules = mics.map((capsule) => perturbNull(scene, capsule, sample));
  const sources = perturbLevels(scene, moved.sources, sample);
  return { ...scene, ...perturbBuilding(scene, sample), players: moved.players, sources, capsules };
}

/** The pieces of a kit go up and down together: one drummer plays them. */
function perturbLevels({ tolerance }: Scene, sources: readonly Source[], { draw }: Sample): Source[] {
  const kits = new Map<string, number>();
  return sources.map((source) => {
    const known = source.kit === null ? undefined : kits.get(source.kit);
    const share = known ?? draw('level');
    if (source.kit !== null) kits.set(source.kit, share);
    const { read, measured } = source;
    const bound = read?.within ?? (measured ? tolerance.level : tolerance.guessedLevel);
    const factor = energyOf(share * bound);
    return factor === 1 ? source : { ...source, power: source.power.map((power) => power * factor) };
  });
}

/** One number for all bands of a capsule: a shallow null is shallow throughout. A depth that the plan gives stays. */
function perturbNull({ tolerance }: Scene, capsule: Capsule, { draw, isHeld }: Sample): Capsule {
  const share = (draw('null-depth') + 1) / 2;
  if (!capsule.usualNull || isHeld('null-depth')) return capsule;
  const { from, to } = tolerance.nullDepth;
  const { pattern } = capsule;
  const floor = from.map((depth, band) => nullFloor(depth + share * ((to[band] as number) - depth)));
  return { ...capsule, nullFloor: floor, ree: efficiencyByBand(pattern.a, pattern.table, floor) };
}

/** A rotation about a pole through a pivot, degrees by the right-hand rule, and a step. */
type Displacement = {
  readonly pivot: geo.Vec3;
  readonly pole: geo.Vec3;
  readonly turn: number;
  readonly step: geo.Vec3;
};

const displaced = (at: geo.Vec3, { pivot, pole, turn, step }: Displacement): geo.Vec3 =>
  geo.add(turn === 0 ? at : geo.add(pivot, geo.rotateAbout(geo.subtract(at, pivot), pole, turn)), step);

/** People and what they play move together; so do the points of what stands by itself. */
function perturbPeople(scene: Scene, sample: Sample): Pick<Scene, 'players' | 'sources'> {
  const moves = scene.players.map(({ at, ears, eyes, room }, index) => {
    const body = [at, ears, eyes].map((point) => ({ at: point, room }));
    const played = scene.sources.filter((source) => carrier(source) === index);
    return displacementOf(scene, at, [...body, ...played.flatMap(({ points }) => points)], sample);
  });
  const players = scene.players.map((player, index) => {
    const move = moves[index] as Displacement;
    return {
      ...player,
      at: displaced(player.at, move),
      ears: displaced(player.ears, move),
      eyes: displaced(player.eyes, move),
      facing: player.facing - move.turn,
    };
  });
  const sources = scene.sources.map((source) => {
    const { points } = source;
    const player = carrier(source);
    const move =
      player === null ? displacementOf(scene, geo.middleOf(points), points, sample) : moves[player];
    return move ? { ...source, points: points.map((point) => displacedPoint(point, move)) } : source;
  });
  return { players, sources };
}

const displacedPoint = (point: SourcePoint, move: Displacement): SourcePoint => ({
  ...point,
  at: displaced(point.at, move),
  axis: geo.rotateAbout(point.axis, move.pole, move.turn),
});

/** The player with whom a source moves; null for what stands by itself, also where a player far from it plays it. */
const carrier = ({ player, path }: Source): number | null => (path[0] === 'sources' ? null : player);

/** On the plan, as much of it as leaves every point in its place. */
function displacementOf(
  scene: Scene,
  pivot: geo.Vec3,
  points: readonly PlacedPoint[],
  { draw }: Sample,
): Displacement {
  const { facing, place } = scene.tolerance;
  const whole = {
    ...{ pivot, pole: UP, turn: -facing * draw('facing') },
    step: [place * draw('place'), place * draw('place'), 0] as const,
  };
  const part = (share: number) => ({
    ...whole,
    turn: whole.turn * share,
    step: geo.scale(whole.step, share),
  });
  return part(movementLimit(scene, points, (at, share) => displaced(at, part(share))));
}

const UP: geo.Vec3 = [0, 0, 1];

/** Microphones somewhat off their place and aim; a pair is one stand. `moved` are the sources where they are now. */
function perturbMics(scene: Scene, moved: readonly Source[], sample: Sample): Capsule[] {
  const moves = scene.mics.map((mic) => (mic.line ? null : standMove(scene, mic, moved, sample)));
  return scene.capsules.map((capsule) => {
    const move = moves[capsule.mic];
    if (!move) return capsule;
    const aim = geo.rotateAbout(capsule.aim, move.pole, move.turn);
    return { ...capsule, at: displaced(capsule.at, move), aim };
  });
}

function standMove(scene: Scene, mic: Mic, moved: readonly Source[], { draw }: Sample): Displacement {
  const { aim, near, place } = scene.tolerance;
  const capsules = mic.capsules.flatMap((index) => scene.capsules[index] ?? []);
  const pivot = geo.middleOf(capsules);
  const shares: geo.Vec3 = [draw('place'), draw('place'), draw('place')];
  const own = ownPoint(scene, mic, pivot);
  // a close mic keeps its side of the source and goes where that goes; its distance is off by a factor
  const now = own && (moved[own.source]?.points[own.point]?.at ?? own.at);
  const wanted =
    own && now
      ? geo.subtract(geo.add(now, geo.scale(geo.subtract(pivot, own.at), 1 + near * shares[0])), pivot)
      : geo.scale(shares, place);
  const share = movementLimit(scene, capsules, (at, part) => geo.add(at, geo.scale(wanted, part)));
  const turn = aim * draw('aim');
  const middleAim = geo.unit(geo.meanOf(capsules.map((one) => one.aim)));
  const pole = geo.rotateAbout(geo.rightOf(middleAim), middleAim, 180 * draw('aim'));
  return { pivot, pole, turn, step: geo.scale(wanted, share) };
}

type OwnPoint = { readonly source: number; readonly point: number; readonly at: geo.Vec3 };

/** The nearest point of its own sources, for a mic so close that its stand goes by it; else null. */
function ownPoint({ sources }: Scene, { purpose, wanted }: Mic, from: geo.Vec3): OwnPoint | null {
  if (purpose !== 'parts') return null;
  const points = wanted.flatMap((source) =>
    (sources[source]?.points ?? []).map(({ at }, point) => ({
      source,
      point,
      at,
      away: geo.distance(at, from),
    })),
  );
  const [nearest] = points.sort((a, b) => a.away - b.away);
  return nearest && nearest.away < CLOSE ? nearest : null;
}

/** A point with the room that holds it. */
type PlacedPoint = { readonly at: geo.Vec3; readonly room: number };

/** A move of points, by the share of it that is made: 0 leaves them where they are. */
export type Move = (at: geo.Vec3, share: number) => geo.Vec3;

type Place = Pick<Scene, 'rooms' | 'panels'>;
const LEAST_STEP = 2 ** -12;

/**
 * The share of a move that can be made: 1, or as much as leaves every point in its room and before its panels. A point that
 * stands in a doorway, in no room's outline, is not held.
 */
export function movementLimit(place: Place, points: readonly PlacedPoint[], move: Move): number {
  const held = points.filter((point) => staysIn(place, point, point.at));
  const fits = (share: number) => held.every((point) => staysIn(place, point, move(point.at, share)));
  if (fits(1)) return 1;
  let low = 0;
  for (let step = 0.5; step >= LEAST_STEP; step /= 2) if (fits(low + step)) low += step;
  return low;
}

function staysIn({ rooms, panels }: Place, { at, room }: PlacedPoint, to: geo.Vec3): boolean {
  const own = rooms[room];
  if (room !== OUTSIDE && own && !isIn(own, rooms, room, to)) return false;
  return !panels.some((panel) => panel.room === room && isBetween(panel, at, to));
}

/** Within the outline, between floor and ceiling, and in no booth that stands in the room. */
function isIn(own: Room, rooms: readonly Room[], index: number, [x, y, z]: geo.Vec3): boolean {
  if (z < own.floor - 1e-9 || z > own.ceiling + 1e-9 || !geo.holds(own.outline, x, y)) return false;
  return !rooms.some((other) => other.host === index && geo.holds(other.outline, x, y));
}

function isBetween({ a, b, low, high }: Panel, from: geo.Vec3, to: geo.Vec3): boolean {
  const z = (from[2] + to[2]) / 2;
  return z > low && z < high && geo.crossing(from, to, a, b) !== null;
}

function perturbBuilding(scene: Scene, { draw }: Sample): Pick<Scene, 'rooms' | 'partitions' | 'panels'> {
  const { absorption, reverberation, panel } = scene.tolerance;
  const factors = scene.rooms.map(() => 1 + absorption * draw('absorption'));
  const passes = scene.partitions.map(() => energyOf(-panel * draw('panel')));
  return {
    rooms: scene.rooms.map((room, i) => {
      const varied = withAbsorption(room, factors[i] ?? 1);
      if (!room.measured) return varied;
      const shortest = (1 - reverberation) * (isLateAlone(room) ? energyOf(-LATE_ALONE_LOWER) : 1);
      const share = (1 + draw('absorption')) / 2;
      return withTime(varied, room.measured, shortest + share * (1 + reverberation - shortest));
    }),
    partitions: scene.partitions.map((one, i) => withTransmission(one, passes[i] ?? 1)),
    panels: scene.panels.map((one) => {
      const shell = shellOf(scene, one);
      const factor = shell < 0 ? energyOf(-panel * draw('panel')) : (passes[shell] ?? 1);
      const alpha = one.alpha.map((share) => Math.min(1, share * (factors[one.room] ?? 1)));
      return { ...one, tau: times(one.tau, factor), alpha };
    }),
  };
}

/** The partition whose wall a booth's panel is, or −1 for a baffle. */
const shellOf = ({ partitions }: Scene, { booth, room }: Panel): number =>
  booth === null ? -1 : partitions.findIndex(({ rooms }) => rooms.includes(booth) && rooms.includes(room));

const withTime = (room: Room, measured: MeasuredTime, factor: number): Room => ({
  ...room,
  measured: { ...measured, times: measured.times.map((time) => time * factor) },
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
  const share = Math.min(1, free.reduce((sum, element) => sum + wallArea(element), 0) / area);
  return {
    ...partition,
    wall: times(wall, factor),
    elements: elements.map((one) => (one.free ? one : { ...one, tau: times(one.tau, factor) })),
    tau: tau.map((all) => Math.min(1, Math.max(0, all - share) * factor + share)),
  };
}

/** A transmission factor times another; 1 is no wall at all and stays. */
const times = (tau: Bands, factor: number): Bands =>
  tau.map((one) => (one >= 1 ? 1 : Math.min(1, one * factor)));

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
  const depths = (band: number) => {
    const hertz = MID_BANDS[band] ?? 0;
    const isShallow = hertz < SHALLOW.below || hertz > SHALLOW.above;
    return both ?? (isShallow ? ([10, 20] as const) : ([15, 30] as const));
  };
  return { from: bands((band) => depths(band)[0]), to: bands((band) => depths(band)[1]) };
}
