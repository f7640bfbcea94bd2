/** Place, aim, null, pattern, stereo pairs -> capsules. */

import { type Bands, bands, filterByBand, sameInAllBands } from '../acoustics/bands.ts';
import { efficiencyByBand, firstOrder, nullAngle, nullFloor } from '../acoustics/pattern.ts';
import type { Path } from '../finding.ts';
import {
  add,
  angleBetween,
  bearingOf,
  cross,
  direction,
  distance,
  dot,
  middleOf,
  RADIANS,
  rotateAbout,
  scale,
  subtract,
  tiltOf,
  unit,
  type Vec3,
} from '../geometry.ts';
import type { LimitsEntry } from '../plan/limits.ts';
import type { MicEntry, NearEntry } from '../plan/mics.ts';
import { lengthsIn } from '../plan/units.ts';
import type { StereoEntry } from '../plan/values.ts';
import {
  assume,
  bodyPlace,
  caution,
  fault,
  lookUp,
  type MicTargets,
  micTargetNames,
  micTargets,
  planBands,
  type ResolveContext,
  type ResolvedSource,
  sourcesNamed,
  unknownTarget,
} from './context.ts';
import { ceilingOf, floorOf, roomAt } from './room-places.ts';
import { type Capsule, type Mic, type Pattern, strictest } from './scene.ts';
import { anglesOf } from './source-acoustics.ts';

// Microphones and lines of the plan as mics and capsules of the scene.
/** Band of 1 kHz, which decides where a drifting pattern's null lies. */
const KILOHERTZ = 4;

export type Mics = { readonly mics: readonly Mic[]; readonly capsules: readonly Capsule[] };

/** Every microphone in use; those with a fault are left out. */
export function resolveMics(voices: readonly ResolvedSource[], context: ResolveContext): Mics {
  const mics: Mic[] = [];
  const capsules: Capsule[] = [];
  for (const [name, entry] of context.plan.mics) {
    if (!entry.use) {
      assume(context.notes, 'default', ['mics', name, 'use'], `${name} is left out, as the plan says`);
      continue;
    }
    const path = ['mics', name];
    const wanted = micTargets(entry.for, voices, [...path, 'for'], context.notes);
    if (!wanted) continue;
    const own = wanted.wanted.flatMap((i) => voices[i] ?? []);
    const made = entry.di
      ? lineCapsules(name, own, path, context)
      : capsulesOf(name, entry, own, voices, context);
    if (!made) continue;
    mics.push(micOf(name, entry, wanted, { own, first: capsules.length, count: made.length }, context));
    capsules.push(...made.map((capsule) => ({ ...capsule, mic: mics.length - 1 })));
  }
  return { mics, capsules };
}

type Unnumbered = Omit<Capsule, 'mic'>;

function lineCapsules(
  name: string,
  own: readonly ResolvedSource[],
  path: Path,
  { notes }: ResolveContext,
): Unnumbered[] | null {
  if (own.length > 0) return [];
  return fault(notes, 'BAD_PLACE', [...path, 'di'], `the line ${name} is for nothing that plays`);
}

function capsulesOf(
  name: string,
  entry: MicEntry,
  own: readonly ResolvedSource[],
  voices: readonly ResolvedSource[],
  context: ResolveContext,
): Unnumbered[] | null {
  const path = ['mics', name];
  const silent = entry.for.kind === 'parts' && own.every(({ lineOnly }) => lineOnly);
  if (silent) {
    return fault(
      context.notes,
      'BAD_PLACE',
      [...path, 'for'],
      `${own[0]?.name} sounds nowhere: only a line can be for it`,
      'write di: true',
    );
  }
  const response = responseOf(entry, path, context);
  const place = micPlace(entry, own, path, context);
  if (!response || !place) return null;
  const { pattern } = response;
  const a = pattern.table ? null : (pattern.a[KILOHERTZ] ?? 1);
  const aim = aimOf({ at: place.at, entry, own, voices, a, path }, context);
  return entry.stereo
    ? pairOf(name, entry, { response, place, aim, own }, context)
    : [{ name, ...place, aim, ...response }];
}

type Made = {
  readonly response: Response;
  readonly place: Placed;
  readonly aim: Vec3;
  readonly own: readonly ResolvedSource[];
};

function pairOf(name: string, entry: MicEntry, made: Made, context: ResolveContext): Unnumbered[] | null {
  const { response, place, aim, own } = made;
  const path = ['mics', name, 'stereo'];
  if (!entry.stereo) return null;
  if (entry.stereo.kind === 'mid-side' && response.pattern.table) {
    return fault(
      context.notes,
      'BAD_RANGE',
      path,
      'a measured table cannot be decoded as mid-side',
      'give a first-order pattern',
    );
  }
  const halves = pairHalves(entry.stereo, {
    at: place.at,
    aim,
    pattern: response.pattern,
    facing: own[0]?.facing ?? 0,
  });
  const outside = halves.find(({ at }) => roomAt(context.places, at[0], at[1]) !== place.room);
  if (outside) {
    return fault(
      context.notes,
      'BAD_PLACE',
      path,
      `${name}.${outside.side} would hang outside the room`,
      'move the pair away from the wall',
    );
  }
  return halves.map((half) => ({
    name: `${name}.${half.side}`,
    at: half.at,
    aim: half.aim,
    room: place.room,
    ...responseWith(half.pattern, entry),
  }));
}

type Numbered = { readonly own: readonly ResolvedSource[]; readonly first: number; readonly count: number };

function micOf(
  name: string,
  entry: MicEntry,
  wanted: MicTargets,
  made: Numbered,
  context: ResolveContext,
): Mic {
  const limit = limitOf(name, context.plan.limits, made.own);
  return {
    name,
    path: ['mics', name],
    purpose: entry.for.kind,
    line: entry.di,
    capsules: Array.from({ length: made.count }, (_, i) => made.first + i),
    stereo: entry.stereo?.kind ?? null,
    ...wanted,
    ...limit,
    mix: entry.mix,
    highPass: entry.highPass ?? null,
    lowPass: entry.lowPass ?? null,
    filter: filterByBand(entry.highPass ?? null, entry.lowPass ?? null),
    inside: entry.inside ? coveredSource(name, wanted, made.own, context) : null,
    switchable: entry.switchable,
    channels: entry.channel,
  };
}

function coveredSource(
  name: string,
  { wanted }: MicTargets,
  own: readonly ResolvedSource[],
  { notes }: ResolveContext,
): number | null {
  const covered = wanted[own.findIndex(({ cover }) => cover !== null)];
  if (covered !== undefined) return covered;
  return fault(
    notes,
    'BAD_PLACE',
    ['mics', name, 'inside'],
    `${name} is inside, but nothing covers its source`,
    'give the source a cover',
  );
}

/** A mic's own limit goes before a general one, that before what the parts ask for. */
function limitOf(
  name: string,
  { signalToBleed }: LimitsEntry,
  own: readonly ResolvedSource[],
): Pick<Mic, 'limit' | 'limitFrom'> {
  if (signalToBleed && 'mics' in signalToBleed) {
    const limit = signalToBleed.mics.get(name);
    if (limit !== undefined) return { limit, limitFrom: 'limits' };
  }
  if (signalToBleed && 'all' in signalToBleed) return { limit: signalToBleed.all, limitFrom: 'limits' };
  const { later, limit } = strictest(own.map((voice) => voice.later ?? 'rebalance'));
  return { limit, limitFrom: later };
}

// Stereo pairs as two capsules, by textbook geometry.

type PairHalf = {
  readonly side: 'left' | 'right';
  readonly at: Vec3;
  readonly aim: Vec3;
  readonly pattern: Pattern;
};

/** Spacing in m and total angle in degrees: the radio pairs of 17 cm and 110°, and of 30 cm and 90°. */
const GEOMETRY = { ortf: { apart: 0.17, angle: 110 }, nos: { apart: 0.3, angle: 90 } } as const;

const CROSSED = 90;

/** Within so many degrees of up or down an aim has no bearing of its own. */
const UPRIGHT = 30;

type Pair = {
  readonly at: Vec3;
  readonly aim: Vec3;
  readonly pattern: Pattern;
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
      return angled(pair, right, 0, CROSSED);
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
function rightOfPair({ aim, facing }: Pair, line: number | undefined): Vec3 {
  const upright = Math.abs(tiltOf(aim)) > 90 - UPRIGHT;
  const right = direction((upright ? facing : bearingOf(aim)) + 90);
  if (line === undefined) return right;
  const along = direction(line);
  return along[0] * right[0] + along[1] * right[1] < 0 ? scale(along, -1) : along;
}

function angled(pair: Pair, right: Vec3, apart: number, angle: number): readonly [PairHalf, PairHalf] {
  const half = (angle / 2) * RADIANS;
  const across = angle === 0 ? right : squareTo(pair.aim, right);
  const one = (side: 'left' | 'right', sign: number): PairHalf => ({
    side,
    at: add(pair.at, scale(right, (sign * apart) / 2)),
    aim: unit(add(scale(pair.aim, Math.cos(half)), scale(across, sign * Math.sin(half)))),
    pattern: pair.pattern,
  });
  return [one('left', -1), one('right', 1)];
}

/**
 * Mid-side as decoded: M ± S with a figure-8 of the same on-axis gain is again first order,
 * A + √(B² + 1)·cos(θ ∓ φ) with tan φ = 1/B, brought to 0 dB on its own axis. For a cardioid M: A = 0.309 at ±63°.
 * The axes take the 1 kHz angle, the patterns each band's own A.
 */
function decoded(pair: Pair, right: Vec3): readonly [PairHalf, PairHalf] {
  const { a } = pair.pattern;
  const side = (band: number) => Math.hypot(1 - (a[band] ?? 1), 1);
  const angle = Math.atan2(1, 1 - (a[KILOHERTZ] ?? 1)) / RADIANS;
  const pattern = {
    name: `${pair.pattern.name} and side`,
    a: bands((band) => (a[band] ?? 1) / ((a[band] ?? 1) + side(band))),
    table: null,
  };
  return angled({ ...pair, pattern }, right, 0, 2 * angle);
}

/** The part of `right` square to the aim. */
const squareTo = (aim: Vec3, right: Vec3): Vec3 => unit(cross(cross(aim, right), aim));

// Where a microphone stands: at a place, or near its source.

/** Steeper than this an axis gives no direction on the plan, degrees. */
const STEEP = 60;

type Placed = { readonly at: Vec3; readonly room: number };

/** Null with a fault where the place is missing, outside the rooms, or cannot be. `own` are the voices it is for. */
function micPlace(
  entry: MicEntry,
  own: readonly ResolvedSource[],
  path: Path,
  context: ResolveContext,
): Placed | null {
  const { apart, close } = lengthsIn(context.plan.units);
  const at = entry.near
    ? nearPlace(entry.near, own, [...path, 'near'], context)
    : typedPlace(entry, own, path, context);
  if (!at) return null;
  const room = roomAt(context.places, at[0], at[1]);
  const where = [...path, entry.near ? 'near' : 'at'];
  if (room === null && entry.near) {
    const away = `${apart(entry.near.distance)} from its source`;
    const mend = 'bring it closer; a bare number counts in the units of the plan: 25 cm says its own';
    return fault(
      context.notes,
      'BAD_PLACE',
      where,
      `this microphone, ${away}, stands outside every room`,
      mend,
    );
  }
  if (room === null) {
    return fault(
      context.notes,
      'BAD_PLACE',
      where,
      'this microphone stands outside every room',
      'move it into a room',
    );
  }
  if (at[2] < floorOf(context.places, room) - 1e-9 || at[2] > ceilingOf(context.places, room) + 1e-9) {
    const height = apart(at[2] - floorOf(context.places, room));
    return fault(
      context.notes,
      'BAD_PLACE',
      where,
      `this microphone would hang ${height} above the floor, outside the room`,
    );
  }
  const struck = own.flatMap(({ points }) => points).some((point) => distance(point.at, at) < 0.005);
  if (struck) {
    return fault(
      context.notes,
      'BAD_PLACE',
      where,
      'this microphone stands in the very centre of its source',
      `move it at least ${close(0.01)} away`,
    );
  }
  return { at, room };
}

function typedPlace(
  entry: MicEntry,
  own: readonly ResolvedSource[],
  path: Path,
  context: ResolveContext,
): Vec3 | null {
  if (!entry.at) {
    return fault(
      context.notes,
      'MISSING',
      path,
      'nothing says where this microphone stands',
      'give it `at: [x, y, z]` or `near: {distance: 20 cm}`',
    );
  }
  const { x, y, z } = entry.at;
  const room = roomAt(context.places, x, y) ?? -1;
  if (z !== undefined) return [x, y, floorOf(context.places, room) + z];
  const first = own.find(({ points }) => points.length > 0);
  if (!first) {
    return fault(
      context.notes,
      'MISSING',
      [...path, 'at'],
      'nothing says how high this microphone stands',
      'give a third number, the height',
    );
  }
  assume(context.notes, 'default', [...path, 'at'], `stands as high as ${first.name}`);
  return [x, y, middleOf(first.points)[2]];
}

/**
 * Near the source: `distance` straight from its acoustic centre; on its axis in space, or, with a height, at that elevation
 * in the axis's direction on the plan; `angle` turns it on the plan to the player's own side.
 */
function nearPlace(
  near: NearEntry,
  own: readonly ResolvedSource[],
  path: Path,
  context: ResolveContext,
): Vec3 | null {
  const points = own.flatMap((voice) => voice.points);
  const first = own.find((voice) => voice.points.length > 0);
  if (!first) {
    return fault(
      context.notes,
      'BAD_PLACE',
      path,
      'a microphone for everyone is near nobody in particular',
      'give it `at: [x, y, z]`',
    );
  }
  const centre = middleOf(own.length === 1 ? first.points : points);
  const axis = own.length === 1 ? (first.points[0]?.axis ?? [0, 1, 0]) : direction(first.facing);
  const turn = near.side === 'left' ? -near.angle : near.angle;
  const rise = riseOf(near, centre, first, context);
  if (rise === null)
    return add(centre, scale(direction(bearingOf(axis) + turn, tiltOf(axis)), near.distance));
  if (Math.abs(rise) > near.distance) {
    const { apart } = lengthsIn(context.plan.units);
    const message = `${apart(Math.abs(rise))} ${rise < 0 ? 'below' : 'above'} the source is further than the distance of ${apart(near.distance)}`;
    return fault(
      context.notes,
      'BAD_PLACE',
      path,
      message,
      'the distance is straight from the acoustic centre: make it greater, or the height smaller',
    );
  }
  const bearing = Math.abs(tiltOf(axis)) > STEEP ? first.facing : bearingOf(axis);
  const flat = Math.sqrt(near.distance ** 2 - rise ** 2);
  return add(centre, add(scale(direction(bearing + turn), flat), [0, 0, rise]));
}

/** Height above the acoustic centre, or null where the plan gives none. */
function riseOf(
  near: NearEntry,
  centre: Vec3,
  first: ResolvedSource,
  context: ResolveContext,
): number | null {
  if (near.height !== undefined)
    return floorOf(context.places, first.points[0]?.room ?? -1) + near.height - centre[2];
  if (near.above !== undefined) return near.above;
  return near.below === undefined ? null : -near.below;
}

// A microphone's response: its pattern by name, by A, or measured; how deep its null is.

/** Null depth where the plan does not say, dB. */
const USUAL_DEPTH = 25;

type Response = Pick<Capsule, 'pattern' | 'nullFloor' | 'usualNull' | 'proximity' | 'ree'>;

/** Null with a fault where the pattern is not in the catalogue. */
function responseOf(entry: MicEntry, path: Path, context: ResolveContext): Response | null {
  const pattern = patternOf(entry, path, context);
  return pattern && responseWith(pattern, entry);
}

function responseWith(pattern: Pattern, entry: Pick<MicEntry, 'nullDepth' | 'proximity'>): Response {
  const depth = entry.nullDepth === 'textbook' ? null : (entry.nullDepth ?? USUAL_DEPTH);
  const floor: Bands = sameInAllBands(pattern.table ? 0 : nullFloor(depth));
  return {
    pattern,
    nullFloor: floor,
    ...(pattern.table === null && entry.nullDepth === undefined && { usualNull: true }),
    proximity: entry.proximity,
    ree: efficiencyByBand(pattern.a, pattern.table, floor),
  };
}

function patternOf({ pattern, stereo }: MicEntry, path: Path, context: ResolveContext): Pattern | null {
  const where = [...path, 'pattern'];
  if (!pattern) {
    const usual = stereo?.kind === 'crossed-8' ? 'figure-8' : 'cardioid';
    assume(context.notes, 'default', path, `is a ${usual}, since no pattern is given`);
    return named(usual, where, context);
  }
  if ('name' in pattern) return named(pattern.name, where, context);
  if ('a' in pattern)
    return { name: 'custom', a: planBands(pattern.a, 'linear', where, context.notes), table: null };
  return { name: 'measured', a: sameInAllBands(1), table: anglesOf(pattern.table) };
}

function named(name: string, path: Path, { catalogue, notes }: ResolveContext): Pattern | null {
  const entry = lookUp(catalogue.materials.patterns, name, 'pattern', { path, notes });
  if (!entry) return null;
  const { response } = entry;
  const noise = entry.selfNoise ? { selfNoise: entry.selfNoise.value } : {};
  if (response.kind === 'table') return { name, a: sameInAllBands(1), table: response, ...noise };
  return { name, a: response.a.values, table: null, ...noise };
}

// Whither a microphone looks: at its source, at a name, along a bearing, or with its null on something.

/** How much of its own source a null may cost where the plan does not say, dB. */
const AIM_LOSS = 2;

type Aiming = {
  readonly at: Vec3;
  readonly entry: MicEntry;
  readonly own: readonly ResolvedSource[];
  readonly voices: readonly ResolvedSource[];
  /** A of the pattern at 1 kHz, or null for a measured table. */
  readonly a: number | null;
  readonly path: Path;
};

/** Unit vector of the aim. */
function aimOf(aiming: Aiming, context: ResolveContext): Vec3 {
  const plain = plainAim(aiming, context);
  return aiming.entry.nullAt === undefined ? plain : nullAim(aiming, aiming.entry.nullAt, plain, context);
}

function plainAim({ at, entry, own, voices, path }: Aiming, context: ResolveContext): Vec3 {
  const { aim } = entry;
  if (aim && 'bearing' in aim) return direction(aim.bearing, aim.tilt ?? 0);
  if (aim) {
    const target = targetPoint(aim.target, at, voices, context);
    if (target) return toward(at, target, [...path, 'aim'], context);
    unknownTarget(aimNames(voices, context), aim.target, 'source, player, baffle or microphone', {
      path: [...path, 'aim'],
      notes: context.notes,
    });
    return [0, 1, 0];
  }
  if (entry.for.kind !== 'parts')
    assume(context.notes, 'guess', path, 'looks at the middle of all sources, since no aim is given');
  const points = entry.for.kind === 'parts' ? (own[0]?.points ?? []) : own.flatMap((voice) => voice.points);
  return toward(at, middleOf(points), path, context);
}

function toward(at: Vec3, target: Vec3, path: Path, context: ResolveContext): Vec3 {
  const way = subtract(target, at);
  if (dot(way, way) > 1e-6) return unit(way);
  fault(
    context.notes,
    'BAD_PLACE',
    path,
    'this microphone stands where it looks',
    'give it an aim: a bearing',
  );
  return [0, 1, 0];
}

/** The middle of the sources of that name, else a player's, baffle's or microphone's place at the height of `from`. */
function targetPoint(
  name: string,
  from: Vec3,
  voices: readonly ResolvedSource[],
  context: ResolveContext,
): Vec3 | null {
  const points = sourcesNamed(voices, name).flatMap((i) => voices[i]?.points ?? []);
  if (points.length > 0) return middleOf(points);
  const place = bodyPlace(context.plan, name);
  return place && [place[0], place[1], from[2]];
}

const aimNames = (voices: readonly ResolvedSource[], { plan }: ResolveContext): string[] => [
  ...micTargetNames(voices),
  ...plan.baffles.keys(),
  ...plan.mics.keys(),
  ...plan.listeners.keys(),
];

/**
 * Turns the aim as little as possible until the null looks at the target, as far as the loss of the own source allows.
 * The null is a cone about the aim, so the shortest turn lies in the plane of aim and target.
 */
function nullAim(aiming: Aiming, target: string, plain: Vec3, context: ResolveContext): Vec3 {
  const path = [...aiming.path, 'null-at'];
  const cone = aiming.a === null ? null : nullAngle(aiming.a);
  if (cone === null || aiming.a === null) {
    fault(
      context.notes,
      'BAD_RANGE',
      path,
      'this pattern has no null to turn',
      'take a cardioid, supercardioid, hypercardioid or figure-8',
    );
    return plain;
  }
  const point = targetPoint(target, aiming.at, aiming.voices, context);
  if (!point) {
    unknownTarget(aimNames(aiming.voices, context), target, 'source, player, baffle or microphone', {
      path,
      notes: context.notes,
    });
    return plain;
  }
  const away = unit(subtract(point, aiming.at));
  const whole = cone - angleBetween(plain, away);
  const source = unit(subtract(middleOf(aiming.own[0]?.points ?? []), aiming.at));
  const cost = (turn: number) => lossDb(aiming.a ?? 1, plain, turned(plain, away, turn), source);
  const allowed = aiming.entry.aimLoss ?? AIM_LOSS;
  if (cost(whole) <= allowed + 1e-9) return turned(plain, away, whole);
  const turn = furthest(cost, whole, allowed);
  caution(
    context.notes,
    path,
    `the null stops ${Math.abs(whole - turn).toFixed(0)}° short of ${target}: the whole turn of ${Math.abs(whole).toFixed(0)}° would cost ${cost(whole).toFixed(1)} dB of its own source`,
    `allow it with aim-loss: ${Math.ceil(cost(whole))} dB, or move the microphone`,
  );
  return turned(plain, away, turn);
}

/** The aim turned by so many degrees away from the target, in the plane of both; level where they are in line. */
function turned(aim: Vec3, target: Vec3, degrees: number): Vec3 {
  const normal = cross(target, aim);
  const sideways = cross([0, 0, 1], aim);
  const pole =
    dot(normal, normal) > 1e-12
      ? unit(normal)
      : dot(sideways, sideways) > 1e-12
        ? ([0, 0, 1] as const)
        : ([1, 0, 0] as const);
  return unit(rotateAbout(aim, pole, degrees));
}

/** What a turn from one aim to another costs of the own source, dB, far field. */
function lossDb(a: number, from: Vec3, to: Vec3, source: Vec3): number {
  const before = firstOrder(a, 0, dot(from, source), 0);
  const after = firstOrder(a, 0, dot(to, source), 0);
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
