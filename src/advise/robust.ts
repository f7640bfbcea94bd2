/** What a suggestion still does on a day on which everything is somewhat off. */
import { transfer } from '../acoustics/transfer.ts';
import { percentile } from '../judge/tolerance/percentile.ts';
import { evenly } from '../judge/tolerance/random.ts';
import type { Scene } from '../scene/scene.ts';
import { vary } from '../scene/vary.ts';
import { type Goal, wanting } from './goal.ts';
import { standingOf, summed } from './standing.ts';

/** Enough to rank by: the 10th percentile of 60 draws is the seventh from below. */
const DRAWS = 60;
const UNLUCKY = 0.1;

/** What is wanting, dB, where each margin is the 10th percentile of its draws within the plan's tolerance and by its seed. */
export function wantingOnBadDays(scene: Scene, goal: Goal): number {
  const next = evenly(scene.tolerance.seed);
  const luck = { roll: next, rests: () => false };
  const margins = new Map<string, number[]>();
  const kinds = new Map<string, Parameters<typeof summed>[0][number]>();
  for (let draw = 0; draw < DRAWS; draw++) {
    const varied = vary(scene, luck);
    for (const row of standingOf(varied, transfer(varied)).rows) {
      const key = `${row.kind}\n${row.name}`;
      kinds.set(key, row);
      margins.set(key, [...(margins.get(key) ?? []), row.margin]);
    }
  }
  const rows = [...kinds].map(([key, row]) => ({
    ...row,
    margin: percentile(Float64Array.from(margins.get(key) ?? []).sort(), UNLUCKY),
  }));
  return wanting(summed(rows), goal);
}
