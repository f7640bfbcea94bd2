/** What would explain readings that differ from the plan: causes scored by chi-square against simulated sessions. */
import type { Bands } from '../acoustics/bands.ts';
import { BAND_COUNT, decibels, sameInAllBands, WEIGHTS, weightedSum } from '../acoustics/bands.ts';
import { perturb } from '../scene/perturbation.ts';
import type { Capsule, Scene, Source } from '../scene/scene.ts';
import { ascending, cholesky, forward, groupBy, quantile } from '../statistics.ts';
import { type PreparedScene, prepareEmitters, prepareScene } from '../transfer/prepared-scene.ts';
import { PAIR_SIZE, pairEnergy } from '../transfer/transfer.ts';
import { rootMeanSquare, twoWay } from './fit.ts';
import { type Cell, cellAt, cellCount, type Readings } from './readings.ts';

/** What may differ from the plan in a session, one thing at a time. */
export const CAUSE_KINDS = [
  'pattern', // a microphone has another pattern
  'aim', // a microphone, or a pair as a whole, looks elsewhere
  'mics', // two microphones stand in each other's place
  'channels', // two channels are in each other's place
  'facing', // a player, or what stands by itself, faces elsewhere
  'place', // a microphone, a player, or what stands by itself, stands elsewhere
  'door', // a door or window stands otherwise
  'baffle-missing', // a baffle of the plan is absent
  'baffle-extra', // a baffle stands where the plan has none
  'reading', // one reading by itself is off
] as const;
export type CauseKind = (typeof CAUSE_KINDS)[number];

export type Cause = {
  readonly kind: CauseKind;
  /** Whose it is: one name, or two. Causes of one kind and the same names differ in `how` alone. */
  readonly about: readonly string[];
  readonly how: How;
};

export type How =
  | { readonly pattern: string }
  /** Seen along the aim, or from above for a player. */
  | { readonly degrees: number; readonly toward: 'left' | 'right' | 'up' | 'down' }
  | { readonly state: 'closed' | 'ajar' | 'open' }
  /** Distance of a mic from its source, or of a source from its mic, over that of the plan. */
  | { readonly times: number }
  /** How far one reading is from what fits, dB, in all octaves alike. */
  | { readonly off: number }
  | null;

/** A cause with the levels it would give, packed as the readings are. */
export type Tried = {
  readonly cause: Cause;
  readonly predicted: Float64Array;
  /** The same cause a little more to each side, by a share of the step that its kind begins with. */
  readonly around?: (finer: number) => Iterable<Tried>;
};

export type Candidate = {
  /** The likeliest of its kind and name, and others of them that do as well. */
  readonly cause: Cause;
  readonly others: readonly Cause[];
  /** Fall of χ² less what its kind reaches by chance. */
  readonly score: number;
  /** Root mean square of what is left with it, dB. */
  readonly after: number;
};

export type Diagnosis = {
  /** Root mean square of what is left of the readings with the plan as it stands, dB; least squares. */
  readonly before: number;
  /** Whether readings are further from the plan than in 98 of 100 sessions within the tolerance. */
  readonly beyond: boolean;
  /** Causes that explain it, which the readings cannot tell apart; likeliest first, none where none is sure enough. */
  readonly candidates: readonly Candidate[];
  /** Whether what is left with the likeliest is still further off than that. */
  readonly more: boolean;
  readonly tried: number;
  /** Sessions simulated, half of them to set the threshold. */
  readonly sessions: number;
  /** Score that a cause must pass. */
  readonly threshold: number;
};

/** Sessions that say what the tolerance makes likely, and as many again that set the threshold. */
const SESSIONS = 150;
/** Each of these is read several times over. */
const READ_AGAIN = 4;
/** Share of sound sessions in which no cause may be named. */
const ALL_BUT = 0.98;

/** `next` gives numbers from −1 to 1. What is returned takes levels without the noise, packed as the readings are. */
export function diagnoser(
  baseline: Baseline,
  all: readonly Cell[],
  tried: Iterable<Tried>,
  next: () => number,
): (levels: Float64Array) => Diagnosis {
  const { predicted } = baseline;
  const cells = all.filter(({ at }) => Number.isFinite(predicted[at]));
  const prepared = prepare(baseline, cells, tried, next);
  return (levels) => {
    const gaps = Float64Array.from(cells, ({ at }) => (levels[at] as number) - (predicted[at] as number));
    return diagnosis(prepared, gaps);
  };
}

/** What is prepared once for readings of one shape: rows, columns, gaps, uncertainties. */
function prepare(baseline: Baseline, cells: readonly Cell[], tried: Iterable<Tried>, next: () => number) {
  const session = () => differencesOf(cells, simulatedSession(baseline, next), baseline.predicted);
  const simulate = () => Array.from({ length: SESSIONS }, session);
  const metric = metricOf(cells, baseline.readings, simulate());
  const hypotheses = [
    ...hypothesesOf(baseline.predicted, cells, tried, metric),
    ...wrongReadings(cells, baseline.readings, metric),
  ];
  const sound = simulate().flatMap((session) =>
    Array.from({ length: READ_AGAIN }, () =>
      metric.of(session.map((one, i) => one + (cells[i] as Cell).sigma * normal(next))),
    ),
  );
  const costs = costsOf(hypotheses, sound);
  const best = (seen: Deviation) =>
    hypotheses.reduce((most, one) => Math.max(most, scoreOf(one, seen, costs)), 0);
  const threshold = quantile(ascending(sound.map(best)), ALL_BUT);
  // χ² that readings of a sound session stay below
  const furthest = quantile(ascending(sound.map(chiSquare)), ALL_BUT);
  return { metric, hypotheses, costs, threshold, furthest };
}

/** χ². */
const chiSquare = (seen: Deviation): number => product(seen, seen);

function diagnosis(prepared: ReturnType<typeof prepare>, differences: Float64Array): Diagnosis {
  const { metric, hypotheses, costs, threshold, furthest } = prepared;
  const without = ({ shift }: Scored) => differences.map((one, i) => one - (shift[i] as number));
  const seen = metric.of(differences);
  const best = hypotheses.reduce((most, one) => Math.max(most, scoreOf(one, seen, costs)), 0);
  const tuned = best > threshold ? [...hypotheses, ...followed(hypotheses, seen)] : hypotheses;
  const scored = withoutMoved(
    tuned.map((one) => ({ ...one.told(seen), fall: one.fall(seen), score: scoreOf(one, seen, costs) })),
  );
  const good = asLikely(scored, threshold);
  const [first] = good;
  return {
    before: rootMeanSquare(metric.left(differences)),
    beyond: chiSquare(seen) > furthest,
    candidates: good.map((one) => {
      const { cause, others, score } = one;
      return { cause, others, score, after: rootMeanSquare(metric.left(without(one))) };
    }),
    more: first !== undefined && chiSquare(metric.of(without(first))) > furthest,
    tried: hypotheses.length,
    sessions: 2 * SESSIONS,
    threshold,
  };
}

/** A cell that alone links its row or column shows nothing: the fit takes it whole. */
const SHOWS = 1e-3;

/** One reading by itself, of one source at one microphone, that is off by any amount: a slip of the pen, a wrong take. */
function wrongReadings(cells: readonly Cell[], readings: Readings, metric: Metric): Hypothesis[] {
  const places = groupBy(cells.keys(), (i) => `${cells[i]?.row} ${cells[i]?.column}`);
  return [...places.values()].flatMap((held) => {
    const { row, column } = cells[held[0] ?? 0] as Cell;
    const one = new Float64Array(cells.length);
    for (const i of held) one[i] = 1;
    const shift = metric.of(one);
    const self = product(shift, shift);
    const about = [readings.rows[row]?.name ?? '', readings.columns[column]?.name ?? ''];
    const offBy = (seen: Deviation) => product(seen, shift) / self;
    const told: Hypothesis['told'] = (seen) => {
      const off = offBy(seen);
      return { cause: { kind: 'reading', about, how: { off } }, shift: one.map((share) => share * off) };
    };
    return self > SHOWS ? [{ kind: 'reading', about, fall: (seen) => offBy(seen) ** 2 * self, told }] : [];
  });
}

/** A cause, or one reading that may be off by any amount. */
type Hypothesis = Pick<Cause, 'kind' | 'about'> & {
  /** By how much it brings prediction and readings nearer: the fall of χ², `2·aᵀC⁻¹d − dᵀC⁻¹d` of readings a and change d. */
  readonly fall: (seen: Deviation) => number;
  /** What it is, and what it changes at the cells, dB. */
  readonly told: (seen: Deviation) => { readonly cause: Cause; readonly shift: Float64Array };
  readonly around?: (finer: number) => Hypothesis[];
};

type Scored = ReturnType<Hypothesis['told']> & { readonly fall: number; readonly score: number };
/** A cause that changes no more than this of what is seen, in squares of standard deviations, explains nothing. */
const CHANGES = 1e-6;

const hypothesesOf = (from: Float64Array, cells: readonly Cell[], tried: Iterable<Tried>, metric: Metric) =>
  [...tried].flatMap((one) => hypothesisOf(from, cells, one, metric));

function hypothesisOf(
  from: Float64Array,
  cells: readonly Cell[],
  tried: Tried,
  metric: Metric,
): Hypothesis[] {
  const { cause, predicted, around } = tried;
  const shift = differencesOf(cells, predicted, from);
  const change = metric.of(shift);
  const self = product(change, change);
  if (!(self > CHANGES)) return [];
  return [
    {
      kind: cause.kind,
      about: cause.about,
      fall: (seen) => 2 * product(seen, change) - self,
      told: () => ({ cause, shift }),
      ...(around && { around: (finer) => hypothesesOf(from, cells, around(finer), metric) }),
    },
  ];
}

/** So many that may stand or be aimed elsewhere are followed from the two likeliest tried, in ever smaller steps. */
const [FOLLOWED, FINER] = [6, [1, 0.5, 0.25]] as const;

/** The likeliest of causes that have more and less, each as it fits best. */
function followed(hypotheses: readonly Hypothesis[], seen: Deviation): Hypothesis[] {
  const sorted = hypotheses.filter(({ around }) => around).sort((a, b) => b.fall(seen) - a.fall(seen));
  const groups = groupBy(sorted, ({ kind, about }) => `${kind} ${about.join()}`);
  return [...groups.values()].slice(0, FOLLOWED).flatMap((group) =>
    group.slice(0, 2).flatMap((start) => {
      let best = start;
      for (const finer of FINER) {
        for (let next: Hypothesis | undefined = best; next; ) {
          best = next;
          const fall = best.fall(seen);
          next = best.around?.(finer).find((one) => one.fall(seen) > fall);
        }
      }
      return best === start ? [] : [best];
    }),
  );
}

/** A reading is not wrong where its mic or source need only stand elsewhere. */
function withoutMoved(scored: readonly Scored[]): Scored[] {
  const moved = scored.filter(({ cause }) => cause.kind === 'place');
  return scored.filter(
    ({ cause: { kind, about }, fall }) =>
      kind !== 'reading' ||
      !moved.some((one) => one.fall > fall - AS_LIKELY && one.cause.about.some((name) => isOf(name, about))),
  );
}

/** Whether a name is that of a reading's source or mic: a pair's channels are called after it. */
const isOf = (name: string, reading: readonly string[]): boolean =>
  reading.some((one) => one === name || one.startsWith(`${name}.`));

/** Share of sound sessions in which the best of each kind stays below what the kind costs. */
const COMMON = 0.9;
type Costs = ReadonlyMap<Cause['kind'], number>;

/**
 * What a cause must bring to be no worse a find than one of another kind: the more causes of a kind there are, and the less
 * alike, the nearer one of them comes to any reading by chance.
 */
function costsOf(hypotheses: readonly Hypothesis[], sound: readonly Deviation[]): Costs {
  const costs = [...groupBy(hypotheses, ({ kind }) => kind)].map(([kind, own]) => {
    const best = sound.map((seen) => own.reduce((most, { fall }) => Math.max(most, fall(seen)), 0));
    return [kind, quantile(ascending(best), COMMON)] as const;
  });
  return new Map(costs);
}

const scoreOf = ({ kind, fall }: Hypothesis, seen: Deviation, costs: Costs): number =>
  fall(seen) - (costs.get(kind) ?? 0);

/** A cause that scores this much less than the best is 20 times less likely: 2·ln 20. */
const AS_LIKELY = 6;

/** The best and all as good, one for each kind and name; none where the best does not pass. */
function asLikely(scored: readonly Scored[], threshold: number): (Scored & { readonly others: Cause[] })[] {
  const sorted = [...scored].sort((a, b) => b.score - a.score);
  const [best] = sorted;
  if (!best || best.score <= threshold) return [];
  const good = sorted.filter(({ score }) => score >= best.score - AS_LIKELY);
  const groups = groupBy(good, ({ cause: { kind, about } }) => JSON.stringify([kind, ...about]));
  return [...groups.values()].map(([first, ...others]) => {
    return { ...(first as Scored), others: others.map(({ cause }) => cause) };
  });
}

// How far readings are from what is predicted, measured by what the tolerance makes likely: levels of sources and gains of
// channels taken out, each cell over its own uncertainty, and ways in which a session within the tolerance differs from the plan
// counted little. With C the covariance of such sessions and of reading, over that of reading alone, distances are `aᵀC⁻¹b`.

/** A difference in dB per cell, made ready for `product`. */
type Deviation = {
  /** What no level or gain explains, in standard deviations of reading. */
  readonly rest: Float64Array;
  /** Its part along each session simulated. */
  readonly along: Float64Array;
};

type Metric = {
  readonly of: (differences: Float64Array) => Deviation;
  /** What no level or gain explains, dB per cell, plain least squares. */
  readonly left: (differences: Float64Array) => Float64Array;
};

/** `sessions` are differences from the plan, dB per cell, in sessions within the tolerance. */
export function metricOf(cells: readonly Cell[], readings: Readings, sessions: Float64Array[]): Metric {
  const left = remover(cells, readings);
  const inSigmas = (differences: Float64Array) =>
    left(differences).map((one, i) => one / (cells[i] as Cell).sigma);
  const count = sessions.length;
  const spread = sessions.map(inSigmas);
  // Woodbury: C = 1 + XXᵀ/K has C⁻¹ = 1 − X(K + XᵀX)⁻¹Xᵀ
  const inner = new Float64Array(count * count);
  for (let i = 0; i < count; i++)
    for (let k = 0; k <= i; k++)
      inner[i * count + k] =
        dot(spread[i] as Float64Array, spread[k] as Float64Array) + (i === k ? count : 0);
  const l = cholesky(inner, count);
  return {
    left,
    of: (differences) => {
      const rest = inSigmas(differences);
      const shares = Float64Array.from(spread, (session) => dot(session, rest));
      return { rest, along: forward(l, count, shares) };
    },
  };
}

/** aᵀC⁻¹b. */
const product = (a: Deviation, b: Deviation): number => dot(a.rest, b.rest) - dot(a.along, b.along);

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] as number) * (b[i] as number);
  return sum;
}

/** Takes levels and gains out of differences, layer by layer. */
function remover(cells: readonly Cell[], readings: Readings): Metric['left'] {
  const size = { rows: readings.rows.length, columns: readings.columns.length };
  const layers = readings.layers.map((_, layer) => {
    const held = [...cells.keys()].filter((i) => cells[i]?.layer === layer);
    const own = held.map((i) => cells[i] as Cell);
    const weights = Float64Array.from(own, ({ sigma }) => 1 / sigma ** 2);
    return { held, own, ...twoWay(own, weights, size) };
  });
  return (differences) => {
    const left = new Float64Array(cells.length);
    for (const { held, own, fit } of layers) {
      const fitted = fit(Float64Array.from(held, (i) => differences[i] as number));
      for (const [k, i] of held.entries()) {
        const { row, column } = own[k] as Cell;
        left[i] =
          (differences[i] as number) - (fitted[row] as number) - (fitted[size.rows + column] as number);
      }
    }
    return left;
  };
}

/** Levels stay: the fit takes them out of the readings anyway. `next` gives numbers from −1 to 1, uniform. */
export function simulatedSession({ scene, prepared, readings }: Baseline, next: () => number): Float64Array {
  // a number is drawn for a level too, so that what is held shifts none of the others
  const isHeld = (cause: string) => cause === 'level';
  const draw = (cause: string) => next() * (isHeld(cause) ? 0 : 1);
  return predictScene(perturb(scene, { isHeld, draw }), readings, prepared);
}

/** No path is weaker than this, dB: beyond it a difference is as good as endless. */
const FURTHEST = 60;

/** Differences between two predictions at the cells, dB. */
export const differencesOf = (cells: readonly Cell[], levels: Float64Array, from: Float64Array) =>
  Float64Array.from(cells, ({ at }) => {
    const difference = (levels[at] as number) - (from[at] as number);
    return Number.isNaN(difference) ? 0 : Math.min(FURTHEST, Math.max(-FURTHEST, difference));
  });

/** One number of the normal distribution, from two even ones. Box and Muller 1958. */
export function normal(next: () => number): number {
  const radius = Math.sqrt(-2 * Math.log(Math.max(1e-12, (next() + 1) / 2)));
  return radius * Math.cos(Math.PI * next());
}

/** The plan as it is, computed, for causes that change little of it. */
export type Baseline = {
  readonly scene: Scene;
  readonly prepared: PreparedScene;
  readonly readings: Readings;
  readonly predicted: Float64Array;
};

export function baselineOf(scene: Scene, readings: Readings): Baseline {
  const prepared = prepareScene(scene);
  return { scene, prepared, readings, predicted: predict(prepared, readings) };
}

export type Changed<T> = ReadonlyMap<number, T>;

/** The same with other capsules and sources: only columns and rows that hold one of them are computed anew. */
export function withChanged(
  { prepared, readings, predicted }: Baseline,
  capsules: Changed<Capsule>,
  sources: Changed<Source> = new Map(),
): Float64Array {
  const { scene, emitters } = prepared;
  const other: PreparedScene = {
    ...prepared,
    scene: {
      ...scene,
      sources: scene.sources.map((source, i) => sources.get(i) ?? source),
      capsules: scene.capsules.map((capsule, i) => capsules.get(i) ?? capsule),
    },
    emitters: emitters.map((own, i) => {
      const source = sources.get(i);
      return source ? prepareEmitters(source, prepared) : own;
    }),
  };
  const rows = [...readings.rows.keys()].filter((row) =>
    readings.rows[row]?.sources.some((i) => sources.has(i)),
  );
  const byRow = predict(other, readings, { rows, base: predicted });
  return predict(other, readings, { columns: columnsOf(readings, capsules), base: byRow });
}

/** Columns that hold any of these capsules. */
export const columnsOf = ({ columns }: Readings, changed: ReadonlyMap<number, unknown>): number[] =>
  [...columns.keys()].filter((i) => columns[i]?.capsules.some((capsule) => changed.has(capsule)));

/** Rows and columns to compute; all where left out. The others are as in `base`. */
type Anew = { readonly rows?: number[]; readonly columns?: number[]; readonly base: Float64Array };

/**
 * Levels in dB, packed as the readings are, after the channels' filters; −Infinity where nothing arrives. `prepared` may hold
 * other capsules than it was made for.
 */
export function predict(prepared: PreparedScene, readings: Readings, anew?: Anew): Float64Array {
  const levels = anew ? anew.base.slice() : new Float64Array(cellCount(readings));
  const rows = anew?.rows ?? [...readings.rows.keys()];
  const columns = anew?.columns ?? [...readings.columns.keys()];
  const energiesAt = arrivals(prepared, readings);
  const weights = WEIGHTS[readings.weighting];
  for (const row of rows) {
    for (const column of columns) {
      const energies = energiesAt(row, column);
      for (const [layer, band] of readings.layers.entries()) {
        const energy = band === null ? weightedSum(energies, weights) : (energies[band] ?? 0);
        levels[cellAt(readings, row, column, layer)] = decibels(energy);
      }
    }
  }
  return levels;
}

/** The same of a scene; `known` is one like it that is already prepared. */
export const predictScene = (scene: Scene, readings: Readings, known?: PreparedScene): Float64Array =>
  predict(prepareScene(scene, known), readings);

/**
 * Energies by band of all sources of a row at all capsules of a column, after the filter of the channel; the next call
 * overwrites them.
 */
function arrivals(prepared: PreparedScene, { rows, columns }: Readings) {
  const pair = new Float64Array(PAIR_SIZE);
  const energies = sameInAllBands(0);
  return (row: number, column: number): Bands => {
    energies.fill(0);
    const { capsules, mic } = columns[column] ?? { capsules: [], mic: -1 };
    for (const source of rows[row]?.sources ?? []) {
      for (const capsule of capsules) {
        pairEnergy(pair, prepared, source, capsule);
        for (let i = 0; i < PAIR_SIZE; i++)
          energies[i % BAND_COUNT] = (energies[i % BAND_COUNT] as number) + (pair[i] as number);
      }
    }
    const filter = prepared.scene.mics[mic]?.filter;
    if (filter)
      for (let band = 0; band < BAND_COUNT; band++)
        energies[band] = (energies[band] as number) * (filter[band] as number);
    return energies;
  };
}
