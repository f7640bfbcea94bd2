/** A move tried: what it does for the whole plan, computed with the full model. */
import { decibels } from '../acoustics/bands.ts';
import type { Transfer } from '../acoustics/transfer.ts';
import { heard, listenAt } from '../judge/listening.ts';
import type { Scene } from '../scene/scene.ts';
import type { Bench } from './bench-plan.ts';
import { mayStand } from './floor-rules.ts';
import { type Goal, wanting } from './goal.ts';
import type { Move } from './move.ts';
import { type Reading, readingOf } from './standing.ts';
import { rereading } from './standing-mics.ts';

/** A plan from which moves are tried. */
export type Ground = { readonly bench: Bench; readonly reading: Reading };

export type Tried = {
  readonly scene: Scene;
  readonly result: Transfer;
  readonly reading: Reading;
  /** What is wanting afterwards, dB. */
  readonly wanting: number;
};

/** Most that turning a mic may cost of its own source, dB. */
const MOST_LOST = 2;

export const groundOf = (bench: Bench): Ground => ({
  bench,
  reading: readingOf(bench.base.scene, bench.base.result),
});

/** Null where the plan would not stand, or the move would cost what it must not. */
export function tryMove({ bench, reading }: Ground, move: Move, goal: Goal): Tried | null {
  const made = bench.attempt(move.edits);
  if ('faults' in made) return null;
  const { scene, result, mics } = made;
  const { base } = bench;
  if (mics === null && !mayStand(base.plan.floor, base.scene, scene)) return null;
  if (mics !== null && move.kind === 'closer' && !mayStand(base.plan.floor, base.scene, scene)) return null;
  if (
    move.keeps !== undefined &&
    ownLevel(scene, result, move.keeps) < ownLevel(base.scene, base.result, move.keeps) - MOST_LOST
  )
    return null;
  const after = mics ? rereading(reading, mics, scene, result) : readingOf(scene, result);
  return { scene, result, reading: after, wanting: wanting(after.standing, goal) };
}

/** Level of what a mic is for, before its filters, dB. */
function ownLevel({ mics }: Scene, result: Transfer, name: string): number {
  const mic = mics.find((one) => one.name === name);
  if (!mic) return Number.NEGATIVE_INFINITY;
  const energies = heard(listenAt(result, mic, mic.capsules), mic.wanted, { filtered: false });
  const sum = energies.reduce((a, b) => a + b, 0);
  return sum > 0 ? decibels(sum) : Number.NEGATIVE_INFINITY;
}
