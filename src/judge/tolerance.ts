/** Draws, percentiles, causes, confidence. */

import { CAUSES, type Cause, perturb, type Sample } from '../scene/perturbation.ts';
import type { Scene } from '../scene/scene.ts';
import { quantile, uniform } from '../statistics.ts';
import { type PreparedScene, prepareScene } from '../transfer/prepared-scene.ts';
import { transferOn } from '../transfer/transfer.ts';
import { bleedGauge, editableGauge, ghostGauge, spacingGauge } from './criteria.ts';
import type { Gauge, ToleranceRow, Tolerances } from './report.ts';
import { verdictOf } from './verdict.ts';

// Running draws to their end: at once, or with pauses, progress and a way to stop.
/** Whatever a plan sets limits to and a draw can tell. */
const gaugesOf = (scene: Scene): Gauge[] => [
  bleedGauge(scene),
  ghostGauge(scene),
  editableGauge(scene),
  spacingGauge(scene),
];

/** The tolerance of every figure at once: some seconds for a large plan. */
export function tolerancesOf(scene: Scene, gauges: readonly Gauge[] = gaugesOf(scene)): Tolerances {
  const steps = drawing(scene, gauges);
  let step = steps.next();
  while (!step.done) step = steps.next();
  return step.value;
}

type RunOptions = {
  readonly gauges?: readonly Gauge[];
  readonly onProgress?: (progress: Progress) => void;
  readonly signal?: AbortSignal;
};

/** Milliseconds of work between two pauses. */
const STRETCH = 50;

/** The same with pauses, in which others work and the signal may come; null where it came. */
export async function runTolerances(
  scene: Scene,
  { gauges = gaugesOf(scene), onProgress, signal }: RunOptions = {},
): Promise<Tolerances | null> {
  const steps = drawing(scene, gauges);
  let paused = performance.now();
  for (let step = steps.next(); ; step = steps.next()) {
    if (step.done) return step.value;
    if (signal?.aborted) return null;
    if (performance.now() - paused < STRETCH) continue;
    onProgress?.(step.value);
    await new Promise((resume) => setTimeout(resume));
    paused = performance.now();
  }
}

/** Draws computed, of how many. */
export type Progress = { readonly done: number; readonly total: number };

/** For one cause alone fewer draws do: they only rank. */
const FEWER = 100;

/**
 * Draws as the scene's tolerance says, then each cause by itself with the same seed. A generator, so that whoever runs it can
 * show its progress, let others have the processor, or stop: it pauses after each draw.
 */
export function* drawing(scene: Scene, gauges: readonly Gauge[]): Generator<Progress, Tolerances> {
  const { draws, seed } = scene.tolerance;
  const causes = CAUSES.filter((cause) => canVary(scene, cause));
  const few = Math.min(FEWER, draws);
  const total = draws + few * causes.length;
  const together = yield* sample(scene, gauges, { causes, draws, done: 0, total });
  const alone: (readonly Float64Array[])[] = [];
  for (const [i, cause] of causes.entries()) {
    alone.push(yield* sample(scene, gauges, { causes: [cause], draws: few, done: draws + i * few, total }));
  }
  const asked = gauges.flatMap((gauge) => gauge.rows.map((row) => ({ ...row, gauge })));
  const rows = asked.map(({ gauge, ...row }, i) => {
    const spreads = causes.map((cause, c) => ({ cause, spread: spreadOf(alone[c]?.[i]) }));
    return toleranceRow(gauge, row, together[i] as Float64Array, spreads);
  });
  return { draws, seed, rows };
}

type Task = {
  readonly causes: readonly Cause[];
  readonly draws: number;
  readonly done: number;
  readonly total: number;
};

/** Sorted figures of each row of all gauges. */
function* sample(
  scene: Scene,
  gauges: readonly Gauge[],
  { causes, draws, done, total }: Task,
): Generator<Progress, readonly Float64Array[]> {
  const figures = gauges.flatMap(({ rows }) => rows.map(() => new Float64Array(draws)));
  const sample = sampleOf(scene.tolerance.seed, causes);
  const plain = prepareScene(scene);
  for (let draw = 0; draw < draws; draw++) {
    const varied = perturb(scene, sample);
    const result = transferOn(preparedFor(varied, causes, plain));
    const read = gauges.flatMap((gauge) => gauge.read(varied, result));
    for (const [i, row] of figures.entries()) row[draw] = read[i] ?? Number.NaN;
    yield { done: done + draw + 1, total };
  }
  return figures.map((row) => row.sort());
}

/** Causes that act on mics alone: rooms, screens and what the sources give them stay, which is most of the work. */
const OF_MICS: readonly Cause[] = ['aim', 'null-depth'];

const preparedFor = (scene: Scene, causes: readonly Cause[], plain: PreparedScene): PreparedScene =>
  causes.every((cause) => OF_MICS.includes(cause)) ? { ...plain, scene } : prepareScene(scene);

function sampleOf(seed: number, causes: readonly Cause[]): Sample {
  const next = uniform(seed);
  const isHeld = (cause: Cause) => !causes.includes(cause);
  return {
    isHeld,
    draw: (cause) => {
      const value = next();
      return isHeld(cause) ? 0 : value;
    },
  };
}

/** Whether the scene has anything for a cause to act on. */
function canVary({ capsules, panels, partitions, rooms }: Scene, cause: Cause): boolean {
  if (cause === 'panel') return panels.length + partitions.length > 0;
  if (cause === 'absorption') return rooms.length > 0;
  return cause !== 'null-depth' || capsules.some(({ usualNull }) => usualNull);
}

function toleranceRow(
  { kind, limitIs }: Gauge,
  { name, limit }: Gauge['rows'][number],
  figures: Float64Array,
  spreads: ToleranceRow['causes'],
): ToleranceRow {
  const sorted = figures.some(Number.isNaN) ? new Float64Array(0) : figures;
  const at = (p: number) => (sorted.length > 0 ? finite(quantile(sorted, p)) : null);
  const over = (figure: number) => (limitIs === 'least' ? figure - (limit ?? 0) : (limit ?? 0) - figure);
  const met = (figure: number) => verdictOf(over(figure)) !== 'short';
  const holds = limit === null || sorted.length === 0 ? null : sorted.filter(met).length / sorted.length;
  const causes = spreads.filter(({ spread }) => spread > 1e-9).sort((a, b) => b.spread - a.spread);
  return { kind, name, p10: at(0.1), p50: at(0.5), p90: at(0.9), limit, limitIs, holds, causes, sorted };
}

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);

/** 0 where there is no finite one. */
function spreadOf(sorted: Float64Array | undefined): number {
  if (!sorted || sorted.some(Number.isNaN)) return 0;
  return finite(quantile(sorted, 0.9) - quantile(sorted, 0.1)) ?? 0;
}
