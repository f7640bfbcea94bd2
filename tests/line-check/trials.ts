/** Many seeded days, sound or with one fault planted, read with 1 dB of noise, and what the diagnosis makes of them. */

import { causesOf } from '../../src/line-check/causes.ts';
import type { Cause, CauseKind } from '../../src/line-check/diagnose.ts';
import {
  baselineOf,
  type Diagnosis,
  diagnoser,
  differencesOf,
  metricOf,
  normal,
  predictScene,
  simulatedSession,
} from '../../src/line-check/diagnose.ts';
import { rootMeanSquare } from '../../src/line-check/fit.ts';
import type { Readings } from '../../src/line-check/readings.ts';
import { cellAt, cellCount, normalizedReadings, READING_SIGMA } from '../../src/line-check/readings.ts';
import type { PlanData } from '../../src/plan/plan.ts';
import type { Scene } from '../../src/scene/scene.ts';
import { uniform } from '../../src/statistics.ts';
import { PLANTERS, type Planted } from './planted.ts';

type Resolve = (plan: PlanData) => Scene | null;

export type Trial = {
  readonly planted: Planted | null;
  readonly diagnosis: Diagnosis;
  /** By what the fault changes readings that no level or gain explains, dB rms; 0 without one. */
  readonly size: number;
};

/** Every capsule and every player and standing source. `byBand`: all eight octaves, else all together. */
export function readingsFor(scene: Scene, byBand: boolean): Readings {
  const rows = [
    ...scene.players.flatMap(({ name }, i) => {
      const sources = scene.sources.flatMap(({ player, path }, s) =>
        player === i && path[0] !== 'sources' ? [s] : [],
      );
      return sources.length > 0 ? [{ name, sources }] : [];
    }),
    ...scene.sources.flatMap(({ name, path }, s) => (path[0] === 'sources' ? [{ name, sources: [s] }] : [])),
  ];
  const columns = scene.capsules.map(({ name, mic }, i) => ({ name, mic, capsules: [i] }));
  const layers = byBand ? [0, 1, 2, 3, 4, 5, 6, 7] : [null];
  const frame = { rows, columns, layers, weighting: 'Z' as const, skipped: [] };
  const empty = {
    ...frame,
    levels: new Float64Array(0),
    noise: new Float64Array(columns.length * layers.length).fill(Number.NaN),
  };
  return { ...empty, levels: new Float64Array(cellCount(empty)) };
}

export type Bench = {
  readonly plan: PlanData;
  readonly scene: Scene;
  readonly readings: Readings;
  readonly plain: ReturnType<typeof baselineOf>;
  readonly diagnose: (levels: Float64Array) => Diagnosis;
  readonly resolve: Resolve;
  /** dB rms of what is left of a change when levels and gains are taken out. */
  readonly sizeOf: (levels: Float64Array) => number;
};

export function benchOf(plan: PlanData, resolve: Resolve, byBand: boolean): Bench {
  const scene = resolve(plan);
  if (!scene) throw new Error('the plan does not resolve');
  const readings = readingsFor(scene, byBand);
  const plain = baselineOf(scene, readings);
  const { cells } = normalizedReadings(readings);
  const diagnose = diagnoser(plain, cells, causesOf(plain, { plan, resolve }), uniform(1));
  const { left } = metricOf(cells, readings, []);
  const sizeOf = (levels: Float64Array) =>
    rootMeanSquare(left(differencesOf(cells, levels, plain.predicted)));
  return { plan, scene, readings, plain, diagnose, resolve, sizeOf };
}

/** Levels as read: each source and channel off by its own 5 dB or so, each reading by 1 dB. */
function readWith({ readings }: Bench, levels: Float64Array, next: () => number): Float64Array {
  const { rows, columns, layers } = readings;
  const read = levels.slice();
  const sources = rows.map(() => 5 * normal(next));
  const gains = columns.map(() => -60 + 5 * normal(next));
  for (const row of rows.keys())
    for (const column of columns.keys())
      for (const layer of layers.keys()) {
        const at = cellAt(readings, row, column, layer);
        const off = (sources[row] as number) + (gains[column] as number) + READING_SIGMA * normal(next);
        read[at] = (read[at] as number) + off;
      }
  return read;
}

/** A day exactly as planned, or one within the tolerance. */
export function soundTrial(bench: Bench, seed: number, within: boolean): Trial {
  const next = uniform(1000 + seed);
  const levels = within ? simulatedSession(bench.plain, next) : bench.plain.predicted;
  return { planted: null, diagnosis: bench.diagnose(readWith(bench, levels, next)), size: 0 };
}

export type Wanted = {
  /** Besides the fault the day is off by as much as the tolerance allows. */
  readonly within?: boolean;
  /** Smaller faults are drawn again. */
  readonly atLeast?: number;
};

export function faultTrial(bench: Bench, kind: CauseKind, seed: number, wanted: Wanted = {}): Trial {
  const { within = false, atLeast = 0 } = wanted;
  const next = uniform(5000 + seed);
  const { planted, day, size } = plantedFault(bench, kind, next, atLeast);
  const levels = within
    ? simulatedSession({ ...bench.plain, scene: day }, next)
    : predictScene(day, bench.readings);
  const read = readWith(bench, withSlip(bench.readings, levels, planted), next);
  return { planted, diagnosis: bench.diagnose(read), size };
}

/** More draws than this, and there is none of that size. */
const DRAWS = 500;

function plantedFault(bench: Bench, kind: CauseKind, next: () => number, atLeast: number) {
  for (let draw = 0; draw < DRAWS; draw++) {
    const planted = PLANTERS[kind](bench.plan, bench.scene, () => (next() + 1) / 2);
    const day = bench.resolve(planted.plan);
    // nobody can stand in a baffle or in another
    if (!day && kind === 'place') continue;
    if (!day) throw new Error(`the day with ${kind} ${planted.about.join(', ')} does not resolve`);
    const size = bench.sizeOf(withSlip(bench.readings, predictScene(day, bench.readings), planted));
    if (size >= atLeast) return { planted, day, size };
  }
  throw new Error(`no ${kind} of ${atLeast} dB`);
}

function withSlip(readings: Readings, levels: Float64Array, { swap, off }: Planted): Float64Array {
  const { rows, columns, layers } = readings;
  const column = (name: string) => columns.findIndex((one) => one.name === name);
  const slipped = levels.slice();
  for (const [row, { name }] of rows.entries())
    for (const layer of layers.keys()) {
      if (swap) {
        const [a, b] = swap.map((one) => cellAt(readings, row, column(one), layer)) as [number, number];
        [slipped[a], slipped[b]] = [levels[b] as number, levels[a] as number];
      }
      if (off && off.row === name) {
        const at = cellAt(readings, row, column(off.column), layer);
        slipped[at] = (levels[at] as number) + off.by;
      }
    }
  return slipped;
}

/** Whether what was planted is among what is named. */
export const isNamed = ({ planted, diagnosis }: Trial): boolean =>
  diagnosis.candidates.some(({ cause }) => isPlanted(cause, planted));

/** Whether it is named first. */
export const isFirst = ({ planted, diagnosis: { candidates } }: Trial): boolean =>
  candidates[0] !== undefined && isPlanted(candidates[0].cause, planted);

const isPlanted = ({ kind, about }: Cause, planted: Planted | null): boolean =>
  kind === planted?.kind && about.toSorted().join() === planted.about.toSorted().join();
