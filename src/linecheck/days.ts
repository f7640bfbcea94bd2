/** Days within the tolerance of the plan, as differences from what it predicts. */
import { stageOf } from '../acoustics/stage.ts';
import type { Luck } from '../scene/luck.ts';
import { vary } from '../scene/vary.ts';
import type { Cell } from './cells.ts';
import type { Plain } from './plain-scene.ts';
import { predict } from './predict.ts';

/** Levels stay: the fit takes them out of the readings anyway. `next` gives numbers from −1 to 1, evenly. */
export function dayWithin({ scene, readings }: Plain, next: () => number): Float64Array {
  const luck: Luck = {
    rests: (cause) => cause === 'level',
    roll: (cause) => {
      const number = next();
      return cause === 'level' ? 0 : number;
    },
  };
  return predict(stageOf(vary(scene, luck)), readings);
}

/** No way is deeper than this, dB: beyond it a difference is as good as endless. */
const FURTHEST = 60;

/** Differences between two predictions at the cells, dB. */
export function differencesOf(
  cells: readonly Cell[],
  levels: Float64Array,
  from: Float64Array,
): Float64Array {
  return Float64Array.from(cells, ({ at }) => {
    const difference = (levels[at] as number) - (from[at] as number);
    return Number.isNaN(difference) ? 0 : Math.min(FURTHEST, Math.max(-FURTHEST, difference));
  });
}

/** One number of the normal distribution, from two even ones. Box and Muller 1958. */
export function normal(next: () => number): number {
  const radius = Math.sqrt(-2 * Math.log(Math.max(1e-12, (next() + 1) / 2)));
  return radius * Math.cos(Math.PI * next());
}
