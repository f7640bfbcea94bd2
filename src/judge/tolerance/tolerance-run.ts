/** Running draws to their end: at once, or with pauses, progress and a way to stop. */
import type { Scene } from '../../scene/scene.ts';
import type { Gauge } from './gauge.ts';
import { bleedGauge } from './gauge-bleed.ts';
import { editableGauge } from './gauge-editable.ts';
import { ghostGauge } from './gauge-ghost.ts';
import { spacingGauge } from './gauge-spacing.ts';
import { drawing, type Progress, type Tolerances } from './tolerance.ts';

/** Whatever a plan sets limits to and a draw can tell. */
export const gaugesOf = (scene: Scene): Gauge[] => [
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

export type RunOptions = {
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
