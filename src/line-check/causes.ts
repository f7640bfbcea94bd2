/** Causes that are tried, each with the levels it would give. */
import { sameInAllBands } from '../acoustics/bands.ts';
import { efficiencyByBand } from '../acoustics/pattern.ts';
import {
  add,
  angleBetween,
  cross,
  distance,
  dot,
  meanOf,
  middleOf,
  midpoint,
  rightOf,
  rotateAbout,
  rotateOnPlan,
  span,
  subtract,
  unit,
  type Vec2,
  type Vec3,
} from '../geometry.ts';
import type { PlanData } from '../plan/plan.ts';
import type { BaffleEntry, LeafEntry, PartitionEntry } from '../plan/rooms.ts';
import { CLOSE, type Move, movementLimit } from '../scene/perturbation.ts';
import type { Capsule, Mic, Scene, Source, SourcePoint } from '../scene/scene.ts';
import { type PreparedScene, prepareEmitters } from '../transfer/prepared-scene.ts';
import {
  type Baseline,
  type Cause,
  columnsOf,
  type How,
  predict,
  predictScene,
  type Tried,
  withCapsules,
} from './diagnose.ts';
import { cellAt, type Readings } from './readings.ts';

export function* causesOf(baseline: Baseline, setUp: SetUp): Generator<Tried> {
  yield* otherPatterns(baseline);
  yield* otherAims(baseline);
  yield* exchangedMics(baseline);
  yield* exchangedChannels(baseline);
  yield* otherFacings(baseline, setUp.plan);
  yield* otherSetUps(baseline, setUp);
}

// Players, and what stands by itself, that face elsewhere than the plan says.

type Turnable = { readonly name: string; readonly pivot: Vec3; readonly sources: readonly number[] };

/** In steps of 15° to 180°; `plan` says which microphones go by their source. */
function* otherFacings(baseline: Baseline, plan: PlanData): Generator<Tried> {
  for (const turnable of turnables(baseline.scene)) {
    for (let degrees = STEP; degrees <= 180; degrees += STEP) {
      for (const toward of degrees === 180 ? (['right'] as const) : (['left', 'right'] as const)) {
        const how = { degrees, toward };
        for (const predicted of turned(baseline, plan, turnable, toward === 'right' ? degrees : -degrees))
          yield { cause: { kind: 'facing', about: [turnable.name], how }, predicted };
      }
    }
  }
}

/** Sections, which are many points, do not turn as one. */
function turnables({ players, sources }: Scene): Turnable[] {
  const own = players.map(({ name, at }, player) => ({
    name,
    pivot: at,
    sources: indices(sources, (source) => source.player === player && source.path[0] !== 'sources'),
  }));
  const alone = sources.flatMap(({ name, path, points }, i) =>
    path[0] === 'sources' && points.length === 1 ? [{ name, pivot: middleOf(points), sources: [i] }] : [],
  );
  return [...own, ...alone].filter((turnable) => turnable.sources.length > 0);
}

const indices = (sources: readonly Source[], holds: (source: Source) => boolean): number[] =>
  sources.flatMap((source, i) => (holds(source) ? [i] : []));

/** As microphones may follow in two ways; none where the instrument would go through a wall or a screen. */
function turned(
  baseline: Baseline,
  plan: PlanData,
  { pivot, sources }: Turnable,
  degrees: number,
): Float64Array[] {
  const { scene } = baseline;
  const move: Move = (at, share) => add(pivot, rotateOnPlan(subtract(at, pivot), degrees * share));
  const points = sources.flatMap((i) => scene.sources[i]?.points ?? []);
  if (movementLimit(scene, points, move) < 1) return [];
  const around = new Map(sources.map((i) => [i, turnedSource(scene.sources[i] as Source, move, degrees)]));
  const { along, beside } = sourceMountedMics(scene, plan, around, { move, degrees });
  return (along.size === 0 ? [along] : [along, beside]).map((riding) => levelsWith(baseline, around, riding));
}

function levelsWith(
  { prepared, readings, predicted }: Baseline,
  around: ReadonlyMap<number, Source>,
  riding: ReadonlyMap<number, Capsule>,
): Float64Array {
  const other = preparedWith(prepared, around, riding);
  const rows = [...readings.rows.keys()].filter((row) =>
    readings.rows[row]?.sources.some((i) => around.has(i)),
  );
  const byRow = predict(other, readings, { rows, base: predicted });
  return predict(other, readings, { columns: columnsOf(readings, riding), base: byRow });
}

const turnedSource = (source: Source, move: Move, degrees: number): Source => ({
  ...source,
  points: source.points.map(
    (point): SourcePoint => ({ ...point, at: move(point.at, 1), axis: rotateOnPlan(point.axis, degrees) }),
  ),
});

function preparedWith(
  prepared: PreparedScene,
  around: ReadonlyMap<number, Source>,
  riding: ReadonlyMap<number, Capsule>,
): PreparedScene {
  const scene = {
    ...prepared.scene,
    sources: prepared.scene.sources.map((source, i) => around.get(i) ?? source),
    capsules: prepared.scene.capsules.map((capsule, i) => riding.get(i) ?? capsule),
  };
  const emitters = prepared.emitters.map((sourceEmitters, i) => {
    const source = around.get(i);
    return source ? prepareEmitters(source, prepared) : sourceEmitters;
  });
  return { ...prepared, scene, emitters };
}

// Microphones that go by a source, when a player turns with it.

/** The turn of a source: each point of what turns, and by how many degrees. */
type Turn = { readonly move: Move; readonly degrees: number };

type SourceMountedMics = {
  /** Those close turn along, those further away that look at the source go on looking at it: as if set up by the player. */
  readonly along: ReadonlyMap<number, Capsule>;
  /** Those close keep their side of the source, those further away stay as they are. */
  readonly beside: ReadonlyMap<number, Capsule>;
};

function sourceMountedMics(
  scene: Scene,
  plan: PlanData,
  around: ReadonlyMap<number, Source>,
  turn: Turn,
): SourceMountedMics {
  const along = new Map<number, Capsule>();
  const beside = new Map<number, Capsule>();
  for (const mic of scene.mics) {
    const shift = mic.purpose === 'parts' ? shiftOf(scene, mic, around) : null;
    if (!shift) continue;
    const isClose = plan.mics.get(mic.name)?.near !== undefined || shift.away < CLOSE;
    for (const i of mic.capsules) {
      const capsule = scene.capsules[i] as Capsule;
      if (isClose) {
        along.set(i, turnedAlong(capsule, turn));
        beside.set(i, { ...capsule, at: add(capsule.at, subtract(shift.to, shift.from)) });
      } else if (shift.looks) along.set(i, lookingOn(capsule, shift));
    }
  }
  return { along, beside };
}

/** Whence and whither a mic's own source goes, as seen from the middle of its capsules. */
type Shift = {
  readonly middle: Vec3;
  readonly from: Vec3;
  readonly to: Vec3;
  readonly away: number;
  /** Whether it looks straight at the source. */
  readonly looks: boolean;
};

/** A mic aims at what it looks at to within this, degrees. */
const STRAIGHT = 1;

/** Null where what turns is not what the mic is for. */
function shiftOf({ sources, capsules }: Scene, mic: Mic, around: ReadonlyMap<number, Source>): Shift | null {
  const turning = mic.wanted.filter((i) => around.has(i));
  const own = mic.capsules.flatMap((i) => capsules[i] ?? []);
  if (turning.length === 0 || turning.length < mic.wanted.length || own.length === 0) return null;
  const middle = middleOf(own);
  const from = middleOf(turning.flatMap((i) => sources[i]?.points ?? []));
  const to = middleOf(turning.flatMap((i) => around.get(i)?.points ?? []));
  const nearest = turning.flatMap((i) => sources[i]?.points ?? []).map(({ at }) => distance(at, middle));
  const aim = meanOf(own.map((one) => one.aim));
  const looks = angleBetween(aim, subtract(from, middle)) < STRAIGHT;
  return { middle, from, to, away: Math.min(...nearest), looks };
}

const turnedAlong = (capsule: Capsule, { move, degrees }: Turn): Capsule => ({
  ...capsule,
  at: move(capsule.at, 1),
  aim: rotateOnPlan(capsule.aim, degrees),
});

/** Rotated about the middle of its pair as the direction to the source rotates. */
function lookingOn(capsule: Capsule, { middle, from, to }: Shift): Capsule {
  const [before, after] = [unit(subtract(from, middle)), unit(subtract(to, middle))];
  const pole = cross(before, after);
  if (dot(pole, pole) < 1e-12) return capsule;
  return turnedAbout(capsule, { middle, pole: unit(pole), degrees: angleBetween(before, after) });
}

type Rotation = { readonly middle: Vec3; readonly pole: Vec3; readonly degrees: number };

const turnedAbout = (capsule: Capsule, { middle, pole, degrees }: Rotation): Capsule => ({
  ...capsule,
  at: add(middle, rotateAbout(subtract(capsule.at, middle), pole, degrees)),
  aim: rotateAbout(capsule.aim, pole, degrees),
});

// Microphones that are not what the plan says: another pattern, another aim, stands exchanged.

/** A of the textbook patterns: what a switchable microphone may have been left at. */
const PATTERNS = {
  omni: 1,
  'wide-cardioid': 0.7,
  cardioid: 0.5,
  supercardioid: 0.366,
  hypercardioid: 0.25,
  'figure-8': 0,
} as const;

/** Kilohertz band: what a pattern that drifts with frequency is called by. */
const KILOHERTZ = 4;

const STEP = 15;

/** Mics that were read, with their capsules by number. */
function measuredMics({ scene, readings }: Baseline): { mic: Mic; capsules: ReadonlyMap<number, Capsule> }[] {
  return scene.mics.flatMap((mic) => {
    const capsules = new Map(mic.capsules.map((i) => [i, scene.capsules[i] as Capsule]));
    return columnsOf(readings, capsules).length > 0 ? [{ mic, capsules }] : [];
  });
}

/** Mid-side is left out: its two channels are decoded from two patterns at once. */
function* otherPatterns(baseline: Baseline): Generator<Tried> {
  for (const { mic, capsules } of measuredMics(baseline)) {
    if (mic.stereo === 'mid-side') continue;
    const own = [...capsules.values()].map(({ pattern }) => pattern)[0];
    for (const [pattern, a] of Object.entries(PATTERNS)) {
      if (own?.name === pattern || (!own?.table && own?.a[KILOHERTZ] === a)) continue;
      const changed = new Map([...capsules].map(([i, capsule]) => [i, withPattern(capsule, pattern, a)]));
      yield {
        cause: { kind: 'pattern', about: [mic.name], how: { pattern } },
        predicted: withCapsules(baseline, changed),
      };
    }
  }
}

function withPattern(capsule: Capsule, name: string, a: number): Capsule {
  const pattern = { name, a: sameInAllBands(a), table: null };
  return { ...capsule, pattern, ree: efficiencyByBand(pattern.a, null, capsule.nullFloor) };
}

/** Turned sideways and up or down, in steps of 15° to 180°; a pair as a whole about its middle. */
function* otherAims(baseline: Baseline): Generator<Tried> {
  for (const { mic, capsules } of measuredMics(baseline)) {
    const { middle, level, upright } = frameOf([...capsules.values()]);
    for (let degrees = STEP; degrees <= 180; degrees += STEP) {
      for (const [toward, pole, sign] of WAYS) {
        if (degrees === 180 && toward !== 'left') continue;
        const about = pole === 'upright' ? upright : level;
        const turned = new Map(
          [...capsules].map(([i, one]) => [
            i,
            turnedAbout(one, { middle, pole: about, degrees: sign * degrees }),
          ]),
        );
        const how: How = { degrees, toward };
        yield { cause: { kind: 'aim', about: [mic.name], how }, predicted: withCapsules(baseline, turned) };
      }
    }
  }
}

/** By the right-hand rule a turn about the upright pole goes left, one about the level pole, which points right, up. */
const WAYS = [
  ['left', 'upright', 1],
  ['right', 'upright', -1],
  ['up', 'level', 1],
  ['down', 'level', -1],
] as const;

type Frame = { readonly middle: Vec3; readonly level: Vec3; readonly upright: Vec3 };

/** Middle of a mic's capsules; the pole to the right of the aim, and the one square to both. */
function frameOf(capsules: readonly Capsule[]): Frame {
  const aim = unit(meanOf(capsules.map((one) => one.aim)));
  const level = rightOf(aim);
  return { middle: middleOf(capsules), level, upright: unit(cross(level, aim)) };
}

/** Single microphones of unlike patterns, each on the other's stand, every channel still with its stand. */
function* exchangedMics(baseline: Baseline): Generator<Tried> {
  const single = measuredMics(baseline).filter(({ capsules }) => capsules.size === 1);
  for (const [k, a] of single.entries()) {
    for (const b of single.slice(k + 1)) {
      const [[i, first], [j, second]] = [...a.capsules, ...b.capsules] as [
        [number, Capsule],
        [number, Capsule],
      ];
      if (first.pattern.name === second.pattern.name && first.pattern.name !== 'custom') continue;
      const changed = new Map([
        [i, likeOf(first, second)],
        [j, likeOf(second, first)],
      ]);
      const cause = { kind: 'mics', about: [a.mic.name, b.mic.name], how: null } as const;
      yield { cause, predicted: withCapsules(baseline, changed) };
    }
  }
}

/** A capsule in its place, of the make of another. */
const likeOf = (place: Capsule, { pattern, nullFloor, proximity, ree }: Capsule): Capsule => ({
  ...place,
  pattern,
  nullFloor,
  proximity,
  ree,
});

// Two channels in each other's place: each column reads what the other was to.

function* exchangedChannels({ readings, predicted }: Baseline): Generator<Tried> {
  for (const [i, a] of readings.columns.entries()) {
    for (const [k, b] of readings.columns.slice(i + 1).entries()) {
      if (a.capsules.length !== b.capsules.length) continue;
      const cause = { kind: 'channels', about: [a.name, b.name], how: null } as const;
      yield { cause, predicted: exchanged(readings, predicted, i, i + 1 + k) };
    }
  }
}

function exchanged(readings: Readings, levels: Float64Array, a: number, b: number): Float64Array {
  const swapped = levels.slice();
  for (const row of readings.rows.keys()) {
    for (const layer of readings.layers.keys()) {
      const [first, second] = [cellAt(readings, row, a, layer), cellAt(readings, row, b, layer)];
      swapped[first] = levels[second] as number;
      swapped[second] = levels[first] as number;
    }
  }
  return swapped;
}

// Doors that stand otherwise than the plan says, baffles that are not there, and one more than it has.

/** A plan, and how to make a scene of one that was changed; null where that is none. */
export type SetUp = { readonly plan: PlanData; readonly resolve: (plan: PlanData) => Scene | null };

function* otherSetUps(baseline: Baseline, setUp: SetUp): Generator<Tried> {
  for (const { cause, plan } of [
    ...otherDoors(setUp.plan),
    ...missing(setUp.plan),
    ...extra(baseline.scene, setUp.plan),
  ]) {
    const scene = setUp.resolve(plan);
    // readings go by the numbers of sources and capsules, which doors and baffles do not change
    if (scene) yield { cause, predicted: predictScene(scene, baseline.readings, baseline.prepared) };
  }
}

type Changed = { readonly cause: Cause; readonly plan: PlanData };

const STATES = ['closed', 'ajar', 'open'] as const;

function otherDoors(plan: PlanData): Changed[] {
  return [...plan.partitions].flatMap(([name, partition]) =>
    (['doors', 'windows'] as const).flatMap((list) =>
      partition[list].flatMap((leaf, i) => {
        const one = list === 'doors' ? 'door' : 'window';
        const about = [partition[list].length > 1 ? `${name}, ${one} ${i + 1}` : `${name}, ${one}`];
        return STATES.filter((state) => state !== leaf.state && (state === 'open' || leaf.made)).map(
          (state) => ({
            cause: { kind: 'door' as const, about, how: { state } satisfies How },
            plan: {
              ...plan,
              partitions: withLeaf(plan, name, partition, { list, i, leaf: { ...leaf, state } }),
            },
          }),
        );
      }),
    ),
  );
}

type LeafAt = { readonly list: 'doors' | 'windows'; readonly i: number; readonly leaf: LeafEntry };

function withLeaf(plan: PlanData, name: string, partition: PartitionEntry, { list, i, leaf }: LeafAt) {
  const leaves = partition[list].map((one, k) => (k === i ? leaf : one));
  return new Map([...plan.partitions, [name, { ...partition, [list]: leaves }]]);
}

function missing(plan: PlanData): Changed[] {
  return [...plan.baffles.keys()].map((name) => ({
    cause: { kind: 'baffle-missing', about: [name], how: null },
    plan: { ...plan, baffles: new Map([...plan.baffles].filter(([other]) => other !== name)) },
  }));
}

/** A name that no plan can give: it holds a dot. */
const EXTRA = 'one.more';

/** One of the kinds on hand or in the plan, half way between any two who play in one room, square to the line of both. */
function extra(scene: Scene, plan: PlanData): Changed[] {
  const places = standing(scene);
  const between = places.flatMap((a, i) =>
    places.slice(i + 1).flatMap((b) => (a.room === b.room ? [[a, b] as const] : [])),
  );
  return kindsOf(plan).flatMap((kind) =>
    between.map(([a, b]) => ({
      cause: { kind: 'baffle-extra' as const, about: [a.name, b.name], how: null },
      plan: { ...plan, baffles: new Map([...plan.baffles, [EXTRA, across(kind, a.at, b.at)]]) },
    })),
  );
}

type Standing = { readonly name: string; readonly at: Vec2; readonly room: number };

function standing({ players, sources }: Scene): Standing[] {
  const playing = players.flatMap(({ name, at, room }, i) =>
    sources.some(({ player, path }) => player === i && path[0] !== 'sources')
      ? [{ name, at: [at[0], at[1]] as const, room }]
      : [],
  );
  const alone = sources.flatMap(({ name, path, points }) => {
    const [x, y] = middleOf(points);
    return path[0] === 'sources' && points[0] ? [{ name, at: [x, y] as const, room: points[0].room }] : [];
  });
  return [...playing, ...alone];
}

type Kind = Pick<BaffleEntry, 'madeOf' | 'height' | 'gap'> & { readonly width: number };

/** Without repeats: a stack of ten alike is one kind. */
function kindsOf({ onHand, baffles }: PlanData): Kind[] {
  const stacked = onHand.baffles.map(({ madeOf, width, height }) => ({ madeOf, width, height, gap: 0 }));
  const placed = [...baffles.values()].map(({ madeOf, height, gap, from, to }) => ({
    madeOf,
    height,
    gap,
    width: span(from, to),
  }));
  return [...new Map([...stacked, ...placed].map((kind) => [JSON.stringify(kind), kind])).values()];
}

function across({ width, ...made }: Kind, a: Vec2, b: Vec2): BaffleEntry {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const far = Math.max(1e-6, Math.hypot(dx, dy));
  const [ex, ey] = [((-dy / far) * width) / 2, ((dx / far) * width) / 2];
  const [x, y] = midpoint(a, b);
  return { ...made, from: [x - ex, y - ey], to: [x + ex, y + ey], fixed: false };
}
