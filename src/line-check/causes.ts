/** Causes that are tried, each with the levels it would give. */
import { KILOHERTZ, sameInAllBands } from '../acoustics/bands.ts';
import { efficiencyByBand } from '../acoustics/directivity.ts';
import * as geo from '../geometry.ts';
import type { PlanData } from '../plan/plan.ts';
import type { BaffleEntry } from '../plan/rooms.ts';
import { CLOSE, type Move, movementLimit } from '../scene/perturbation.ts';
import type { Capsule, Mic, Scene, Source } from '../scene/scene.ts';
import type { Baseline, Cause, Changed, How, Tried } from './diagnose.ts';
import { columnsOf, predictScene, withChanged } from './diagnose.ts';
import { cellAt } from './readings.ts';

/** A plan, and how to make a scene of one that was changed; null where that is none. */
export type SetUp = { readonly plan: PlanData; readonly resolve: (plan: PlanData) => Scene | null };

export function* causesOf(baseline: Baseline, setUp: SetUp): Generator<Tried> {
  yield* otherPatterns(baseline);
  yield* otherAims(baseline);
  yield* exchangedMics(baseline);
  yield* exchangedChannels(baseline);
  yield* otherFacings(baseline, setUp.plan);
  yield* otherMicPlaces(baseline);
  yield* otherSourcePlaces(baseline, setUp.plan);
  yield* otherSetUps(baseline, setUp);
}

/** Degrees. */
const STEP = 15;

/** A player with what is played, or a source of its own. */
type Standing = Pick<Scene['players'][number], 'name' | 'at' | 'room'> & {
  readonly sources: readonly number[];
};

function standing({ players, sources }: Scene): Standing[] {
  const isAlone = ({ path }: Source) => path[0] === 'sources';
  const playing = players.map(({ name, at, room }, player) => {
    const own = sources.flatMap((source, i) => (source.player === player && !isAlone(source) ? [i] : []));
    return { name, at, room, sources: own };
  });
  const alone = sources.flatMap((source, i) => {
    const [first] = isAlone(source) ? source.points : [];
    return first
      ? [{ name: source.name, at: geo.middleOf(source.points), room: first.room, sources: [i] }]
      : [];
  });
  return [...playing.filter(({ sources: own }) => own.length > 0), ...alone];
}

/** Those who face elsewhere than the plan says, in steps to 180°; `plan` says which microphones go by their source. */
function* otherFacings(baseline: Baseline, plan: PlanData): Generator<Tried> {
  const { sources } = baseline.scene;
  // sections, which are many points, do not turn as one
  const isSection = (i: number) => sources[i]?.path[0] === 'sources' && sources[i]?.points.length !== 1;
  for (const one of standing(baseline.scene).filter((one) => !one.sources.some(isSection))) {
    for (let degrees = STEP; degrees <= 180; degrees += STEP) {
      for (const toward of degrees === 180 ? (['right'] as const) : (['left', 'right'] as const)) {
        const cause: Cause = { kind: 'facing', about: [one.name], how: { degrees, toward } };
        for (const predicted of turned(baseline, plan, one, toward === 'right' ? degrees : -degrees))
          yield { cause, predicted };
      }
    }
  }
}

/** As microphones may follow in two ways; none where the instrument would go through a wall or a baffle. */
function turned(baseline: Baseline, plan: PlanData, one: Standing, degrees: number): Float64Array[] {
  const { scene } = baseline;
  const move: Move = (at, share) =>
    geo.add(one.at, geo.rotateOnPlan(geo.subtract(at, one.at), degrees * share));
  const points = one.sources.flatMap((i) => scene.sources[i]?.points ?? []);
  if (movementLimit(scene, points, move) < 1) return [];
  const around = new Map(
    one.sources.map((i) => [i, turnedSource(scene.sources[i] as Source, move, degrees)]),
  );
  const { along, beside } = sourceMountedMics(scene, plan, around, { move, degrees });
  return (along.size === 0 ? [along] : [along, beside]).map((riding) =>
    withChanged(baseline, riding, around),
  );
}

function turnedSource(source: Source, move: Move, degrees: number): Source {
  const turnedPoint = (point: Source['points'][number]) => ({
    ...point,
    at: move(point.at, 1),
    axis: geo.rotateOnPlan(point.axis, degrees),
  });
  return { ...source, points: source.points.map(turnedPoint) };
}

/**
 * Microphones when their source turns. `along`: those close turn along, those further away that are aimed at the source
 * stay aimed at it, as if set up by the player. `beside`: those close keep their side of the source, the others stay as they are.
 */
function sourceMountedMics(
  scene: Scene,
  plan: PlanData,
  around: Changed<Source>,
  { move, degrees }: { readonly move: Move; readonly degrees: number },
): Record<'along' | 'beside', Changed<Capsule>> {
  const along = new Map<number, Capsule>();
  const beside = new Map<number, Capsule>();
  for (const mic of scene.mics) {
    const shift = mic.purpose === 'parts' ? shiftOf(scene, mic, around) : null;
    if (!shift) continue;
    const isClose = plan.mics.get(mic.name)?.near !== undefined || shift.away < CLOSE;
    for (const i of mic.capsules) {
      const capsule = scene.capsules[i] as Capsule;
      const { at, aim } = capsule;
      if (isClose) {
        along.set(i, { ...capsule, at: move(at, 1), aim: geo.rotateOnPlan(aim, degrees) });
        beside.set(i, { ...capsule, at: geo.add(at, geo.subtract(shift.to, shift.from)) });
      } else if (shift.looks) along.set(i, lookingOn(capsule, shift));
    }
  }
  return { along, beside };
}

// Places. Steps on the plan to eight sides, of microphones up and down as well; what fits best is found in smaller steps.

/** Metres. What is nearer than the first of the reach is not elsewhere, and nobody stands further off than the second by mistake. */
const STEPS = [0.4, 1] as const;
const REACH = [0.2, 1.6] as const;
/** The first step on from the place that fits best, metres. */
const FIRST = 0.2;
const SIDES = Array.from({ length: 8 }, (_, i) => geo.rotateOnPlan([1, 0, 0], 45 * i));
const UPRIGHT: readonly geo.Vec3[] = [
  [0, 0, 1],
  [0, 0, -1],
];

/** What stands elsewhere by a step, and by further steps from there; none where it cannot stand. */
type Placed = (step: geo.Vec3) => Omit<Tried, 'around'> | null;

function* stepped(placed: Placed, sides: readonly geo.Vec3[]): Generator<Tried> {
  for (const side of sides) for (const far of STEPS) yield* triedAt(placed, sides, geo.scale(side, far));
}

function triedAt(placed: Placed, sides: readonly geo.Vec3[], step: geo.Vec3): Tried[] {
  const far = geo.distance([0, 0, 0], step);
  const made = far >= REACH[0] && far <= REACH[1] ? placed(step) : null;
  const around = (finer: number) =>
    sides.flatMap((side) => triedAt(placed, sides, geo.add(step, geo.scale(side, FIRST * finer))));
  return made ? [{ ...made, around }] : [];
}

/** A mic or pair on another place, its aim kept, or still at its source where it was. */
function* otherMicPlaces(baseline: Baseline): Generator<Tried> {
  const { scene } = baseline;
  for (const { mic, capsules } of measuredMics(baseline)) {
    const own = [...capsules.values()];
    const source = mic.purpose === 'parts' ? pointsOf(scene, mic.wanted) : [];
    const shift = source.length > 0 ? sightOf(own, source) : null;
    for (const follows of shift?.looks ? [true, false] : [false]) {
      const placed: Placed = (step) => {
        if (movementLimit(scene, own, (at, share) => geo.add(at, geo.scale(step, share))) < 1) return null;
        const changed = changedEach(capsules, (one) => {
          const turned =
            follows && shift ? lookingOn(one, { ...shift, to: geo.subtract(shift.from, step) }) : one;
          return { ...turned, at: geo.add(turned.at, step) };
        });
        const how = timesFurther(source, own, [...changed.values()]);
        const cause: Cause = { kind: 'place', about: [mic.name], how };
        return { cause, predicted: withChanged(baseline, changed) };
      };
      yield* stepped(placed, [...SIDES, ...UPRIGHT]);
    }
  }
}

const pointsOf = ({ sources }: Pick<Scene, 'sources'>, which: readonly number[]) =>
  which.flatMap((i) => sources[i]?.points ?? []);

type At = { readonly at: geo.Vec3 };

/** How many times as far the nearest of two sets of points are; null without a first. */
function timesFurther(of: readonly At[], before: readonly At[], now: readonly At[], moved = of): How {
  const nearest = (points: readonly At[], others: readonly At[]) =>
    Math.min(...points.flatMap((a) => others.map((b) => geo.distance(a.at, b.at))));
  return of.length > 0 ? { times: nearest(moved, now) / nearest(of, before) } : null;
}

/** Players, and what stands by itself, on another place: microphones stay, or go along as where they were set up by it. */
function* otherSourcePlaces(baseline: Baseline, plan: PlanData): Generator<Tried> {
  const { scene } = baseline;
  for (const one of standing(scene)) {
    const points = pointsOf(scene, one.sources);
    const mics = scene.mics.filter(
      ({ purpose, wanted }) => purpose === 'parts' && wanted.some((i) => one.sources.includes(i)),
    );
    const own = mics.flatMap((mic) => mic.capsules.flatMap((i) => scene.capsules[i] ?? []));
    for (const rides of [false, true]) {
      const placed: Placed = (step) => {
        const move: Move = (at, share) => geo.add(at, geo.scale(step, share));
        if (movementLimit(scene, points, move) < 1) return null;
        const around = new Map(
          one.sources.map((i) => [i, turnedSource(scene.sources[i] as Source, move, 0)]),
        );
        const { along } = sourceMountedMics(scene, plan, around, { move, degrees: 0 });
        if (rides && along.size === 0) return null;
        const now = points.map((point) => ({ at: move(point.at, 1) }));
        const how = rides || own.length === 0 ? null : timesFurther(points, own, own, now);
        const cause: Cause = { kind: 'place', about: [one.name], how };
        return { cause, predicted: withChanged(baseline, rides ? along : new Map(), around) };
      };
      yield* stepped(placed, SIDES);
    }
  }
}

/** From where and to where a mic's own source moves, as seen from the middle of its capsules; `looks` whether it is aimed straight at the source. */
type Shift = Record<'middle' | 'from' | 'to', geo.Vec3> & { readonly away: number; readonly looks: boolean };
/** An aim at a source is within this of it, degrees. */
const STRAIGHT = 1;

/** Null where what turns is not what the mic is for. */
function shiftOf({ sources, capsules }: Scene, mic: Mic, around: Changed<Source>): Shift | null {
  const turning = mic.wanted.filter((i) => around.has(i));
  const own = mic.capsules.flatMap((i) => capsules[i] ?? []);
  if (turning.length === 0 || turning.length < mic.wanted.length || own.length === 0) return null;
  const to = geo.middleOf(turning.flatMap((i) => around.get(i)?.points ?? []));
  return { ...sightOf(own, pointsOf({ sources }, turning)), to };
}

/** How capsules see points. */
function sightOf(own: readonly Capsule[], points: readonly At[]): Omit<Shift, 'to'> {
  const middle = geo.middleOf(own);
  const from = geo.middleOf(points);
  const away = Math.min(...points.map(({ at }) => geo.distance(at, middle)));
  const aim = geo.meanOf(own.map((one) => one.aim));
  return { middle, from, away, looks: geo.angleBetween(aim, geo.subtract(from, middle)) < STRAIGHT };
}

/** Rotated about the middle of its pair as the direction to the source rotates. */
function lookingOn(capsule: Capsule, { middle, from, to }: Shift): Capsule {
  const [before, after] = [geo.unit(geo.subtract(from, middle)), geo.unit(geo.subtract(to, middle))];
  const pole = geo.cross(before, after);
  if (geo.dot(pole, pole) < 1e-12) return capsule;
  return turnedAbout(capsule, middle, geo.unit(pole), geo.angleBetween(before, after));
}

const turnedAbout = (capsule: Capsule, middle: geo.Vec3, pole: geo.Vec3, degrees: number): Capsule => ({
  ...capsule,
  at: geo.add(middle, geo.rotateAbout(geo.subtract(capsule.at, middle), pole, degrees)),
  aim: geo.rotateAbout(capsule.aim, pole, degrees),
});

/** A of the textbook patterns: what a switchable microphone may have been left at. */
const PATTERNS = {
  omni: 1,
  'wide-cardioid': 0.7,
  cardioid: 0.5,
  supercardioid: 0.366,
  hypercardioid: 0.25,
  'figure-8': 0,
} as const;

/** Mics that were read, with their capsules by number. */
function measuredMics({ scene, readings }: Baseline): { mic: Mic; capsules: Changed<Capsule> }[] {
  return scene.mics.flatMap((mic) => {
    const capsules = new Map(mic.capsules.map((i) => [i, scene.capsules[i] as Capsule]));
    return columnsOf(readings, capsules).length > 0 ? [{ mic, capsules }] : [];
  });
}

const changedEach = (capsules: Changed<Capsule>, change: (one: Capsule) => Capsule): Changed<Capsule> =>
  new Map([...capsules].map(([i, one]) => [i, change(one)]));

/** Mid-side is left out: its two channels are decoded from two patterns at once. */
function* otherPatterns(baseline: Baseline): Generator<Tried> {
  for (const { mic, capsules } of measuredMics(baseline)) {
    if (mic.stereo === 'mid-side') continue;
    const [own] = [...capsules.values()].map((one) => one.pattern);
    for (const [pattern, a] of Object.entries(PATTERNS)) {
      // a pattern that drifts with frequency is called by what it is at 1 kHz
      if (own?.name === pattern || (!own?.table && own?.a[KILOHERTZ] === a)) continue;
      const changed = changedEach(capsules, (one) => withPattern(one, pattern, a));
      const cause: Cause = { kind: 'pattern', about: [mic.name], how: { pattern } };
      yield { cause, predicted: withChanged(baseline, changed) };
    }
  }
}

function withPattern(capsule: Capsule, name: string, a: number): Capsule {
  const pattern = { name, a: sameInAllBands(a), table: null };
  return { ...capsule, pattern, ree: efficiencyByBand(pattern.a, null, capsule.nullFloor) };
}

/** By the right-hand rule a turn about the upright pole goes left, one about the level pole, which points right, up. */
const WAYS = [
  ['left', 'upright', 1],
  ['right', 'upright', -1],
  ['up', 'level', 1],
  ['down', 'level', -1],
] as const;

/** Turned sideways and up or down, in steps to 180°, and on from there; a pair as a whole about its middle. */
function* otherAims(baseline: Baseline): Generator<Tried> {
  for (const { mic, capsules } of measuredMics(baseline)) {
    for (let degrees = STEP; degrees <= 180; degrees += STEP)
      for (const way of degrees === 180 ? WAYS.slice(0, 1) : WAYS)
        yield aimedAt(baseline, mic, capsules, turnedTo(capsules, way, degrees));
  }
}

const middleAim = (capsules: Changed<Capsule>): geo.Vec3 =>
  geo.unit(geo.meanOf([...capsules.values()].map((one) => one.aim)));

function turnedTo(capsules: Changed<Capsule>, [, pole, sign]: (typeof WAYS)[number], degrees: number) {
  const aim = middleAim(capsules);
  const level = geo.rightOf(aim);
  const poles = { level, upright: geo.unit(geo.cross(level, aim)) };
  const middle = geo.middleOf([...capsules.values()]);
  return changedEach(capsules, (one) => turnedAbout(one, middle, poles[pole], sign * degrees));
}

function aimedAt(baseline: Baseline, mic: Mic, planned: Changed<Capsule>, now: Changed<Capsule>): Tried {
  return {
    cause: { kind: 'aim', about: [mic.name], how: turnOf(middleAim(planned), middleAim(now)) },
    predicted: withChanged(baseline, now),
    around: (finer) =>
      WAYS.map((way) => aimedAt(baseline, mic, planned, turnedTo(now, way, (STEP / 2) * finer))),
  };
}

/** An angle to 5°, and the side it goes to most. */
function turnOf(planned: geo.Vec3, now: geo.Vec3): How {
  const degrees = 5 * Math.round(geo.angleBetween(planned, now) / 5);
  const right = geo.rightOf(planned);
  const [x, y] = [geo.dot(now, right), geo.dot(now, geo.cross(right, planned))];
  if (Math.abs(x) >= Math.abs(y)) return { degrees, toward: x > 0 ? 'right' : 'left' };
  return { degrees, toward: y > 0 ? 'up' : 'down' };
}

/** Single microphones of unlike patterns, each on the other's stand, every channel still with its stand. */
function* exchangedMics(baseline: Baseline): Generator<Tried> {
  const single = measuredMics(baseline).flatMap(({ mic, capsules }) => {
    const [only, another] = capsules;
    return only && !another ? [{ name: mic.name, i: only[0], capsule: only[1] }] : [];
  });
  for (const [a, b] of pairsOf(single)) {
    const { name } = a.capsule.pattern;
    if (name === b.capsule.pattern.name && name !== 'custom') continue;
    const changed = new Map([
      [a.i, likeOf(a.capsule, b.capsule)],
      [b.i, likeOf(b.capsule, a.capsule)],
    ]);
    const cause: Cause = { kind: 'mics', about: [a.name, b.name], how: null };
    yield { cause, predicted: withChanged(baseline, changed) };
  }
}

const pairsOf = <T>(list: readonly T[]): (readonly [T, T])[] =>
  list.flatMap((a, i) => list.slice(i + 1).map((b) => [a, b] as const));

/** A capsule in its place, of the make of another. */
function likeOf(place: Capsule, { pattern, nullFloor, proximity, ree }: Capsule): Capsule {
  return { ...place, pattern, nullFloor, proximity, ree };
}

/** Two channels in each other's place: each column reads what the other was to. */
function* exchangedChannels({ readings, predicted }: Baseline): Generator<Tried> {
  const { rows, columns, layers } = readings;
  for (const [a, b] of pairsOf([...columns.entries()])) {
    if (a[1].capsules.length !== b[1].capsules.length) continue;
    const swapped = predicted.slice();
    for (const row of rows.keys()) {
      for (const layer of layers.keys()) {
        const [first, second] = [cellAt(readings, row, a[0], layer), cellAt(readings, row, b[0], layer)];
        swapped[first] = predicted[second] as number;
        swapped[second] = predicted[first] as number;
      }
    }
    yield { cause: { kind: 'channels', about: [a[1].name, b[1].name], how: null }, predicted: swapped };
  }
}

function* otherSetUps({ scene: own, readings, prepared }: Baseline, setUp: SetUp): Generator<Tried> {
  const { plan } = setUp;
  for (const [cause, change] of [...otherDoors(plan), ...missing(plan), ...extra(own, plan)]) {
    const scene = setUp.resolve({ ...plan, ...change });
    // readings go by the numbers of sources and capsules, which doors and baffles do not change
    if (scene) yield { cause, predicted: predictScene(scene, readings, prepared) };
  }
}

/** With what it changes of the plan. */
type SetUpCause = readonly [Cause, Partial<PlanData>];

function* otherDoors({ partitions }: PlanData): Generator<SetUpCause> {
  for (const [name, partition] of partitions) {
    for (const list of ['doors', 'windows'] as const) {
      for (const [i, leaf] of partition[list].entries()) {
        const number = partition[list].length > 1 ? ` ${i + 1}` : '';
        const about = [`${name}, ${list === 'doors' ? 'door' : 'window'}${number}`];
        for (const state of ['closed', 'ajar', 'open'] as const) {
          if (state === leaf.state || (state !== 'open' && !leaf.made)) continue;
          const changed = { ...partition, [list]: partition[list].with(i, { ...leaf, state }) };
          yield [
            { kind: 'door', about, how: { state } },
            { partitions: new Map(partitions).set(name, changed) },
          ];
        }
      }
    }
  }
}

const missing = ({ baffles }: PlanData): SetUpCause[] =>
  [...baffles.keys()].map((name) => [
    { kind: 'baffle-missing', about: [name], how: null },
    { baffles: new Map([...baffles].filter(([other]) => other !== name)) },
  ]);

/** A name that no plan can give: it holds a dot. */
const EXTRA = 'one.more';

/** One of the kinds on hand or in the plan, half way between any two who play in one room, square to the line of both. */
function extra(scene: Scene, plan: PlanData): SetUpCause[] {
  const between = pairsOf(standing(scene)).filter(([a, b]) => a.room === b.room);
  return kindsOf(plan).flatMap((kind) =>
    between.map(
      ([a, b]): SetUpCause => [
        { kind: 'baffle-extra', about: [a.name, b.name], how: null },
        { baffles: new Map(plan.baffles).set(EXTRA, across(kind, a.at, b.at)) },
      ],
    ),
  );
}

type Kind = Pick<BaffleEntry, 'madeOf' | 'height' | 'gap'> & { readonly width: number };

/** Without repeats: a stack of ten alike is one kind. */
function kindsOf({ onHand, baffles }: PlanData): Kind[] {
  const stacked = onHand.baffles.map(({ madeOf, width, height }) => ({ madeOf, width, height, gap: 0 }));
  const placed = [...baffles.values()].map(({ madeOf, height, gap, from, to }) => {
    return { madeOf, height, gap, width: geo.span(from, to) };
  });
  return [...new Map([...stacked, ...placed].map((kind) => [JSON.stringify(kind), kind])).values()];
}

function across({ width, ...made }: Kind, a: geo.Planar, b: geo.Planar): BaffleEntry {
  const far = Math.max(1e-6, geo.span(a, b));
  const [ex, ey] = [(((a[1] - b[1]) / far) * width) / 2, (((b[0] - a[0]) / far) * width) / 2];
  const [x, y] = geo.midpoint(a, b);
  return { ...made, from: [x - ex, y - ey], to: [x + ex, y + ey], fixed: false };
}
