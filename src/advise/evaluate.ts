/** A move tried: what it does for the whole plan, computed with the full model. */
import { decibels } from '../acoustics/bands.ts';
import type { Transfer } from '../acoustics/transfer.ts';
import { heard, listenAt } from '../judge/listening.ts';
import type { Scene } from '../scene/scene.ts';
import type { Bench, Changed } from './bench-plan.ts';
import { mayStand } from './floor-rules.ts';
import { type Goal, wanting } from './goal.ts';
import type { Move } from './move.ts';
import { type Reading, readingOf, type Standing } from './standing.ts';
import { rereading } from './standing-mics.ts';

/** A plan from which moves are tried. */
export type Ground = { readonly bench: Bench; readonly reading: Reading };

export type Tried = {
  readonly standing: Standing;
  /** What is wanting afterwards, dB. */
  readonly wanting: number;
  /** The changed plan, computed once more: of the thousand that are tried a dozen are told of, and each takes a third of a megabyte. */
  readonly again: () => Pick<Changed, 'scene' | 'result'>;
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
  const { scene, mics } = made;
  const { base } = bench;
  const moved = mics === null || move.kind === 'closer';
  // before its energies are asked for, which cost far more
  if (moved && !mayStand(base.plan.floor, base.scene, scene)) return null;
  const { result } = made;
  if (
    move.keeps !== undefined &&
    ownLevel(scene, result, move.keeps) < ownLevel(base.scene, base.result, move.keeps) - MOST_LOST
  )
    return null;
  const { standing } = mics ? rereading(reading, mics, scene, result) : readingOf(scene, result);
  return { standing, wanting: wanting(standing, goal), again: () => standingPlan(bench, move) };
}

function standingPlan(bench: Bench, { edits }: Move): Changed {
  const made = bench.attempt(edits);
  if ('faults' in made) throw new Error('a move that stood stands no more');
  return made;
}

/** Level of what a mic is for, before its filters, dB. */
function ownLevel({ mics }: Scene, result: Transfer, name: string): number {
  const mic = mics.find((one) => one.name === name);
  if (!mic) return Number.NEGATIVE_INFINITY;
  const energies = heard(listenAt(result, mic, mic.capsules), mic.wanted, { filtered: false });
  const sum = energies.reduce((a, b) => a + b, 0);
  return sum > 0 ? decibels(sum) : Number.NEGATIVE_INFINITY;
}
