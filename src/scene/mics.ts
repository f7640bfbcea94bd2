/** Microphones and lines of the plan as mics and capsules: place, aim, null, pattern, stereo pairs. */

import { type Bands, bands, filterByBand, KILOHERTZ, sameInAllBands } from '../acoustics/bands.ts';
import { efficiencyByBand, firstOrder, nullAngle, nullFloor } from '../acoustics/directivity.ts';
import type { Path } from '../finding.ts';
import * as geo from '../geometry.ts';
import type { LimitsEntry } from '../plan/limits.ts';
import type { MicEntry, NearEntry } from '../plan/mics.ts';
import { lengthsIn } from '../plan/units.ts';
import type { StereoEntry } from '../plan/values.ts';
import type { Context, Notes, ResolvedSource } from './context.ts';
import { bodyPlace, micTargetNames, micTargets, sourcesNamed } from './context.ts';
import { ceilingOf, floorOf, roomAt } from './room-places.ts';
import { type Capsule, type Mic, OUTSIDE, type Pattern, type Scene, strictest } from './scene.ts';
import { anglesOf } from './source-acoustics.ts';

export type Mics = Pick<Scene, 'mics' | 'capsules'>;

/** A microphone of the plan, whom it is for, and everything that sounds. */
type PlannedMic = {
  readonly name: string;
  readonly path: Path;
  readonly entry: MicEntry;
  readonly targets: Pick<Mic, 'wanted' | 'ignored'>;
  readonly own: readonly ResolvedSource[];
  readonly sources: readonly ResolvedSource[];
};

/** Every microphone in use; those with a fault are left out. */
export function resolveMics(sources: readonly ResolvedSource[], context: Context): Mics {
  const { plan, notes } = context;
  const mics: Mic[] = [];
  const capsules: Capsule[] = [];
  for (const [name, entry] of plan.mics) {
    const path = ['mics', name];
    if (!entry.use) {
      notes.assume('default', [...path, 'use'], `${name} is not in use`);
      continue;
    }
    const targets = micTargets(entry.for, sources, [...path, 'for'], notes);
    if (!targets) continue;
    const own = targets.wanted.flatMap((i) => sources[i] ?? []);
    const planned = { name, path, entry, targets, own, sources };
    const made = entry.di ? lineCapsules(planned, notes) : capsulesOf(planned, context);
    if (!made) continue;
    const indices = made.map((_, i) => capsules.length + i);
    mics.push(micOf(planned, indices, context));
    capsules.push(...made.map((capsule) => ({ ...capsule, mic: mics.length - 1 })));
  }
  return { mics, capsules };
}

type Unnumbered = Omit<Capsule, 'mic'>;

function lineCapsules({ name, path, own }: PlannedMic, notes: Notes): Unnumbered[] | null {
  if (own.length > 0) return [];
  return notes.misplaced(
    [...path, 'di'],
    `the DI ${name} is for nothing that plays`,
    'write `for` with an instrument',
  );
}

function capsulesOf(planned: PlannedMic, context: Context): Unnumbered[] | null {
  const { name, path, entry, own } = planned;
  if (entry.for.kind === 'parts' && own.every(({ acoustics }) => !acoustics)) {
    const message = `${own[0]?.name} makes no sound in the room, so only a DI can be for it`;
    return context.notes.misplaced([...path, 'for'], message, 'write `di: true`');
  }
  const pattern = patternOf(entry, path, context);
  const place = micPlace(planned, context);
  if (!pattern || !place) return null;
  const a = pattern.table ? null : (pattern.a[KILOHERTZ] ?? 1);
  const aim = aimOf(planned, place.at, a, context);
  if (!entry.stereo) return [{ name, ...place, aim, ...responseOf(pattern, entry) }];
  return pairOf(planned, entry.stereo, { ...place, aim, pattern }, context);
}

function pairOf(
  { name, path, entry, own }: PlannedMic,
  stereo: StereoEntry,
  { room, ...middle }: Placed & Pick<Pair, 'aim' | 'pattern'>,
  { places, notes }: Context,
): Unnumbered[] | null {
  const where = [...path, 'stereo'];
  if (stereo.kind === 'mid-side' && middle.pattern.table) {
    const message = 'a measured pattern cannot be decoded as mid-side';
    return notes.fault('OUT_OF_RANGE', where, message, 'use a first-order pattern');
  }
  const halves = pairHalves(stereo, { ...middle, facing: own[0]?.facing ?? 0 });
  const outside = halves.find(({ at }) => roomAt(places, at[0], at[1]) !== room);
  if (outside) {
    const message = `${name}.${outside.side} would be outside the room`;
    return notes.misplaced(where, message, 'move the pair away from the wall');
  }
  return halves.map(({ side, at, aim, pattern }) => ({
    ...{ name: `${name}.${side}`, at, aim, room },
    ...responseOf(pattern, entry),
  }));
}

function micOf(planned: PlannedMic, capsules: readonly number[], { plan, notes }: Context): Mic {
  const { name, path, entry, targets, own } = planned;
  const { highPass = null, lowPass = null } = entry;
  return {
    ...{ name, path, purpose: entry.for.kind, line: entry.di, capsules },
    stereo: entry.stereo?.kind ?? null,
    ...targets,
    ...limitOf(name, plan.limits, own),
    mix: entry.mix,
    ...{ highPass, lowPass, filter: filterByBand(highPass, lowPass) },
    inside: entry.inside ? coveredSource(planned, notes) : null,
    switchable: entry.switchable,
    channels: entry.channel,
  };
}

function coveredSource({ name, path, targets, own }: PlannedMic, notes: Notes): number | null {
  const covered = targets.wanted[own.findIndex(({ cover }) => cover !== null)];
  const message = `${name} is inside a cover, but its source has none`;
  return covered ?? notes.misplaced([...path, 'inside'], message, 'give the source a `cover`');
}

/** A mic's own limit overrides a general one, which overrides what the parts ask for. */
function limitOf(
  name: string,
  { signalToBleed }: LimitsEntry,
  own: readonly ResolvedSource[],
): Pick<Mic, 'limit' | 'limitFrom'> {
  const set = signalToBleed && ('all' in signalToBleed ? signalToBleed.all : signalToBleed.mics.get(name));
  if (set !== undefined) return { limit: set, limitFrom: 'limits' };
  const { later, limit } = strictest(own.map((source) => source.later ?? 'rebalance'));
  return { limit, limitFrom: later };
}

type PairHalf = Pick<Capsule, 'at' | 'aim' | 'pattern'> & { readonly side: 'left' | 'right' };

/** Spacing in m and total angle in degrees: the radio pairs of 17 cm and 110° and of 30 cm and 90°, figures-of-8 at 90°. */
const GEOMETRY = {
  ortf: { apart: 0.17, angle: 110 },
  nos: { apart: 0.3, angle: 90 },
  'crossed-8': { apart: 0, angle: 90 },
} as const;

/** Within so many degrees of up or down an aim has no bearing of its own. */
const UPRIGHT = 30;

type Pair = Omit<PairHalf, 'side'> & {
  /** Facing of the first source's player: stands in for the bearing of an aim that looks up or down. */
  readonly facing: number;
};

/** Left and right as one looks along the aim. */
export function pairHalves(stereo: StereoEntry, pair: Pair): readonly [PairHalf, PairHalf] {
  const right = rightOfPair(pair, stereo.kind === 'spaced' ? stereo.line : undefined);
  switch (stereo.kind) {
    case 'xy':
      return angled(pair, right, 0, stereo.angle);
    case 'crossed-8':
    case 'ortf':
    case 'nos':
      return angled(pair, right, GEOMETRY[stereo.kind].apart, GEOMETRY[stereo.kind].angle);
    case 'spaced':
      return angled(pair, right, stereo.distance, 0);
    case 'mid-side':
      return decoded(pair, right);
  }
}

/** Unit vector to the right of the aim, level; along the `line` where the plan gives one. */
function rightOfPair({ aim, facing }: Pair, line: number | undefined): geo.Vec3 {
  const upright = Math.abs(geo.tiltOf(aim)) > 90 - UPRIGHT;
  const right = geo.direction((upright ? facing : geo.bearingOf(aim)) + 90);
  if (line === undefined) return right;
  const along = geo.direction(line);
  return along[0] * right[0] + along[1] * right[1] < 0 ? geo.scale(along, -1) : along;
}

function angled(pair: Pair, right: geo.Vec3, apart: number, angle: number): readonly [PairHalf, PairHalf] {
  const half = (angle / 2) * geo.RADIANS;
  const across = angle === 0 ? right : squareTo(pair.aim, right);
  const one = (side: 'left' | 'right', sign: number): PairHalf => ({
    side,
    at: geo.add(pair.at, geo.scale(right, (sign * apart) / 2)),
    aim: geo.unit(geo.add(geo.scale(pair.aim, Math.cos(half)), geo.scale(across, sign * Math.sin(half)))),
    pattern: pair.pattern,
  });
  return [one('left', -1), one('right', 1)];
}

/**
 * Mid-side as decoded: M ± S with a figure-8 of the same on-axis gain is again first order,
 * A + √(B² + 1)·cos(θ ∓ φ) with tan φ = 1/B, brought to 0 dB on its own axis. For a cardioid M: A = 0.309 at ±63°.
 * The axes take the 1 kHz angle, the patterns each band's own A.
 */
function decoded(pair: Pair, right: geo.Vec3): readonly [PairHalf, PairHalf] {
  const { a } = pair.pattern;
  const side = (band: number) => Math.hypot(1 - (a[band] ?? 1), 1);
  const angle = Math.atan2(1, 1 - (a[KILOHERTZ] ?? 1)) / geo.RADIANS;
  const pattern = {
    name: `${pair.pattern.name} and side`,
    a: bands((band) => (a[band] ?? 1) / ((a[band] ?? 1) + side(band))),
    table: null,
  };
  return angled({ ...pair, pattern }, right, 0, 2 * angle);
}

/** The part of `right` square to the aim. */
const squareTo = (aim: geo.Vec3, right: geo.Vec3): geo.Vec3 =>
  geo.unit(geo.cross(geo.cross(aim, right), aim));

/** Steeper than this an axis gives no direction on the plan, degrees. */
const STEEP = 60;
type Placed = Pick<Capsule, 'at' | 'room'>;

/** Null with an error where the place is missing, outside the rooms, or cannot be. */
function micPlace(planned: PlannedMic, context: Context): Placed | null {
  const { path, entry, own } = planned;
  const { places, notes } = context;
  const { apart, close } = lengthsIn(context.plan.units);
  const at = entry.near ? nearPlace(entry.near, planned, context) : typedPlace(planned, context);
  if (!at) return null;
  const room = roomAt(places, at[0], at[1]);
  const refuse = (message: string, fix: string) =>
    notes.misplaced([...path, entry.near ? 'near' : 'at'], `this mic ${message}`, fix);
  if (room === null && entry.near) {
    const away = `${apart(entry.near.distance)} from its source`;
    const fix = "move it closer; a bare number is in the plan's units, so write 25 cm";
    return refuse(`is outside every room, ${away}`, fix);
  }
  if (room === null) return refuse('is outside every room', 'move it into a room');
  const height = at[2] - floorOf(places, room);
  if (height < -1e-9 || at[2] > ceilingOf(places, room) + 1e-9)
    return refuse(`is ${apart(height)} above the floor, outside the room`, 'change its height');
  const struck = own.flatMap(({ points }) => points).some((point) => geo.distance(point.at, at) < 0.005);
  if (struck)
    return refuse('is at the acoustic centre of its source', `move it at least ${close(0.01)} away`);
  return { at, room };
}

function typedPlace({ path, entry, own }: PlannedMic, { places, notes }: Context): geo.Vec3 | null {
  if (!entry.at) {
    const fix = 'add `at: [x, y, z]` or `near: {distance: 20 cm}`';
    return notes.fault('MISSING_KEY', path, 'this mic has no position', fix);
  }
  const { x, y, z } = entry.at;
  const where = [...path, 'at'];
  if (z !== undefined) return [x, y, floorOf(places, roomAt(places, x, y) ?? OUTSIDE) + z];
  const first = own.find(({ points }) => points.length > 0);
  if (!first) {
    const message = 'this mic has no height';
    return notes.fault('MISSING_KEY', where, message, 'add the height as a third number: [x, y, z]');
  }
  notes.assume('default', where, `at the height of ${first.name}`);
  return [x, y, geo.middleOf(first.points)[2]];
}

/**
 * Near the source: `distance` straight from its acoustic centre; on its axis in space, or, with a height, at that elevation
 * in the axis's direction on the plan; `angle` turns it on the plan to the player's own side.
 */
function nearPlace(near: NearEntry, { path, own }: PlannedMic, context: Context): geo.Vec3 | null {
  const { plan, notes } = context;
  const first = own.find((source) => source.points.length > 0);
  const refuse = (message: string, fix: string) => notes.misplaced([...path, 'near'], message, fix);
  if (!first) return refuse('a mic for all or the room cannot be near one source', 'write `at: [x, y, z]`');
  const centre = geo.middleOf(own.flatMap(({ points }) => points));
  const axis = own.length === 1 ? (first.points[0]?.axis ?? [0, 1, 0]) : geo.direction(first.facing);
  const turn = near.side === 'left' ? -near.angle : near.angle;
  const rise = riseOf(near, centre, first, context);
  if (rise === null)
    return geo.add(
      centre,
      geo.scale(geo.direction(geo.bearingOf(axis) + turn, geo.tiltOf(axis)), near.distance),
    );
  if (Math.abs(rise) > near.distance) {
    const { apart } = lengthsIn(plan.units);
    return refuse(
      `${apart(Math.abs(rise))} ${rise < 0 ? 'below' : 'above'} the source is more than the distance, ${apart(near.distance)}`,
      'increase `distance` (a straight line from the acoustic centre) or reduce the height',
    );
  }
  const bearing = Math.abs(geo.tiltOf(axis)) > STEEP ? first.facing : geo.bearingOf(axis);
  const flat = Math.sqrt(near.distance ** 2 - rise ** 2);
  return geo.add(centre, geo.add(geo.scale(geo.direction(bearing + turn), flat), [0, 0, rise]));
}

/** Height above the acoustic centre, or null where the plan gives none. */
function riseOf(
  { height, above, below }: NearEntry,
  centre: geo.Vec3,
  { points }: ResolvedSource,
  { places }: Context,
): number | null {
  if (height !== undefined) return floorOf(places, points[0]?.room ?? OUTSIDE) + height - centre[2];
  if (above !== undefined) return above;
  return below === undefined ? null : -below;
}

/** Null depth where the plan does not say, dB. */
export const USUAL_NULL_DEPTH = 25;

function responseOf(
  pattern: Pattern,
  { nullDepth, proximity }: MicEntry,
): Pick<Capsule, 'pattern' | 'nullFloor' | 'usualNull' | 'proximity' | 'ree'> {
  const depth = nullDepth === 'textbook' ? null : (nullDepth ?? USUAL_NULL_DEPTH);
  const floor: Bands = sameInAllBands(pattern.table ? 0 : nullFloor(depth));
  return {
    pattern,
    nullFloor: floor,
    ...(pattern.table === null && nullDepth === undefined && { usualNull: true }),
    proximity,
    ree: efficiencyByBand(pattern.a, pattern.table, floor),
  };
}

export const USUAL_PATTERN = 'cardioid';

/** Null with an error where the pattern is not in the catalogue. */
function patternOf({ pattern, stereo }: MicEntry, path: Path, context: Context): Pattern | null {
  const { notes } = context;
  const where = [...path, 'pattern'];
  if (!pattern) {
    const usual = stereo?.kind === 'crossed-8' ? 'figure-8' : USUAL_PATTERN;
    notes.assume('default', path, usual);
    return patternNamed(usual, where, context);
  }
  if ('name' in pattern) return patternNamed(pattern.name, where, context);
  if ('a' in pattern) return { name: 'custom', a: notes.byBand(pattern.a, 'linear', where), table: null };
  return { name: 'measured', a: sameInAllBands(1), table: anglesOf(pattern.table) };
}

function patternNamed(name: string, path: Path, { catalogue, notes }: Context): Pattern | null {
  const entry = notes.lookUp(catalogue.materials.patterns, name, 'pattern', path);
  if (!entry) return null;
  const { response, selfNoise } = entry;
  const noise = selfNoise ? { selfNoise: selfNoise.value } : {};
  if (response.kind === 'table') return { name, a: sameInAllBands(1), table: response, ...noise };
  return { name, a: response.a.values, table: null, ...noise };
}

/** How much of its own source a null may cost where the plan does not say, dB. */
export const AIM_LOSS = 2;

/** Unit vector of the aim. `a` is that of the pattern at 1 kHz, or null for a measured table. */
function aimOf(planned: PlannedMic, at: geo.Vec3, a: number | null, context: Context): geo.Vec3 {
  const plain = plainAim(planned, at, context);
  return planned.entry.nullAt === undefined ? plain : nullAim(planned, { at, a, plain }, context);
}

function plainAim(planned: PlannedMic, at: geo.Vec3, context: Context): geo.Vec3 {
  const { entry, own, path } = planned;
  const { notes } = context;
  const { aim } = entry;
  if (aim && 'bearing' in aim) return geo.direction(aim.bearing, aim.tilt ?? 0);
  if (aim) {
    const target = targetPoint(aim.target, at, planned, context, 'aim');
    return target ? toward(at, target, [...path, 'aim'], notes) : FORWARD;
  }
  if (entry.for.kind !== 'parts') notes.assume('assumed', path, 'aimed at the middle of all its sources');
  const points = entry.for.kind === 'parts' ? (own[0]?.points ?? []) : own.flatMap((source) => source.points);
  return toward(at, geo.middleOf(points), path, notes);
}

/** Stands for an aim that cannot be made out. */
const FORWARD: geo.Vec3 = [0, 1, 0];

function toward(at: geo.Vec3, target: geo.Vec3, path: Path, notes: Notes): geo.Vec3 {
  const way = geo.subtract(target, at);
  if (geo.dot(way, way) > 1e-6) return geo.unit(way);
  const message = 'this mic is at the point it is aimed at';
  return notes.misplaced(path, message, 'give `aim` as a bearing') ?? FORWARD;
}

/**
 * The middle of the sources of that name, else a player's, baffle's or microphone's place at the height of `from`; null with a
 * fault where nothing has the name.
 */
function targetPoint(
  name: string,
  from: geo.Vec3,
  { sources, path }: PlannedMic,
  { plan, notes }: Context,
  key: 'aim' | 'null-at',
): geo.Vec3 | null {
  const points = sourcesNamed(sources, name).flatMap((i) => sources[i]?.points ?? []);
  if (points.length > 0) return geo.middleOf(points);
  const place = bodyPlace(plan, name);
  if (place) return [place[0], place[1], from[2]];
  const known = [
    ...micTargetNames(sources),
    ...[plan.baffles, plan.mics, plan.listeners].flatMap((named) => [...named.keys()]),
  ];
  notes.unknownTarget(known, name, 'source, player, baffle or mic', [...path, key]);
  return null;
}

/**
 * Turns the aim as little as possible until the null looks at the target, as far as the loss of the own source allows.
 * The null is a cone about the aim, so the shortest turn lies in the plane of aim and target.
 */
function nullAim(
  planned: PlannedMic,
  { at, a, plain }: { readonly at: geo.Vec3; readonly a: number | null; readonly plain: geo.Vec3 },
  context: Context,
): geo.Vec3 {
  const { entry, own } = planned;
  const { notes } = context;
  const path = [...planned.path, 'null-at'];
  const target = entry.nullAt ?? '';
  const cone = a === null ? null : nullAngle(a);
  if (cone === null || a === null) {
    const fix = 'use a cardioid, supercardioid, hypercardioid or figure-8';
    return notes.fault('OUT_OF_RANGE', path, 'this pattern has no null to point', fix) ?? plain;
  }
  const point = targetPoint(target, at, planned, context, 'null-at');
  if (!point) return plain;
  const away = geo.unit(geo.subtract(point, at));
  const whole = cone - geo.angleBetween(plain, away);
  const source = geo.unit(geo.subtract(geo.middleOf(own[0]?.points ?? []), at));
  const cost = (turn: number) => lossDb(a, plain, turned(plain, away, turn), source);
  const allowed = entry.aimLoss ?? AIM_LOSS;
  if (cost(whole) <= allowed + 1e-9) return turned(plain, away, whole);
  const turn = furthest(cost, whole, allowed);
  notes.caution(
    path,
    `the null is ${Math.abs(whole - turn).toFixed(0)}° short of ${target}: turning it all ${Math.abs(whole).toFixed(0)}° would cost ${cost(whole).toFixed(1)} dB of signal`,
    `allow it with \`aim-loss: ${Math.ceil(cost(whole))} dB\`, or move the mic`,
  );
  return turned(plain, away, turn);
}

/** The aim turned by so many degrees away from the target, in the plane of both; level where they are in line. */
function turned(aim: geo.Vec3, target: geo.Vec3, degrees: number): geo.Vec3 {
  const normal = geo.cross(target, aim);
  const sideways = geo.cross([0, 0, 1], aim);
  const inLine: geo.Vec3 = geo.dot(sideways, sideways) > 1e-12 ? [0, 0, 1] : [1, 0, 0];
  return geo.unit(geo.rotateAbout(aim, geo.dot(normal, normal) > 1e-12 ? geo.unit(normal) : inLine, degrees));
}

/** What a turn from one aim to another costs of the own source, dB, far field. */
function lossDb(a: number, from: geo.Vec3, to: geo.Vec3, source: geo.Vec3): number {
  const before = firstOrder(a, 0, geo.dot(from, source), 0);
  const after = firstOrder(a, 0, geo.dot(to, source), 0);
  return after > 0 ? 10 * Math.log10(before / after) : 99;
}

/** The furthest part of a turn, from its start on, that stays within the allowed loss; to a hundredth of a degree. */
function furthest(cost: (turn: number) => number, whole: number, allowed: number): number {
  const steps = Math.max(1, Math.ceil(Math.abs(whole)));
  let good = 0;
  for (let i = 1; i <= steps && cost((whole * i) / steps) <= allowed; i++) good = (whole * i) / steps;
  let step = whole / steps / 2;
  for (let i = 0; i < 10; i++, step /= 2) if (cost(good + step) <= allowed) good += step;
  return good;
}
