import { announce } from '../io/progress.ts';
import type { Progress, ToleranceRow } from '../judge/tolerance/tolerance.ts';
import { runTolerances } from '../judge/tolerance/tolerance-run.ts';
import type { ToldTolerance, ToldTolerances } from '../render/answer.ts';
import type { Scene } from '../scene/scene.ts';

/** Draws the tolerance of every figure with a limit, saying on a terminal how far it has come. */
export async function drawTolerances(scene: Scene): Promise<ToldTolerances | null> {
  let done = announce('drawing tolerances …');
  const onProgress = ({ done: drawn, total }: Progress) => {
    done();
    done = announce(`drawing tolerances: ${Math.floor((100 * drawn) / total)}%`);
  };
  const tolerances = await runTolerances(scene, { onProgress });
  done();
  return tolerances && { ...tolerances, rows: tolerances.rows.map(told) };
}

/** Two microphones beside each other are named on two lines. */
const told = ({ name, sorted: _, ...row }: ToleranceRow): ToldTolerance => ({
  ...row,
  about: name.split('\n'),
});
