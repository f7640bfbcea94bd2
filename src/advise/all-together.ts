/** As many suggestions as go together, each still worth it after those before. */
import type { Catalogue } from '../scene/catalogue.ts';
import { benchOf, type Computed } from './bench-plan.ts';
import { groundOf, tryMove } from './evaluate.ts';
import { type Goal, wanting } from './goal.ts';
import { canJoin } from './joinable.ts';
import type { Move } from './move.ts';
import { isHarmless, LEAST_GAIN } from './suggestion.ts';

/** In the order given; the moves that are left out would do nothing more, or harm. */
export function allTogether(
  base: Computed,
  catalogue: Catalogue,
  moves: readonly Move[],
  goal: Goal,
): Move[] {
  let ground = groundOf(benchOf(base, catalogue));
  const taken: Move[] = [];
  for (const move of moves) {
    if (!canJoin(taken, move, base.plan)) continue;
    const tried = tryMove(ground, move, goal);
    const { standing } = ground.reading;
    if (!tried || wanting(standing, goal) - tried.wanting <= LEAST_GAIN) continue;
    if (!isHarmless(tried.standing, standing)) continue;
    const next = ground.bench.commit(move.edits);
    if ('faults' in next) continue;
    ground = groundOf(benchOf(next, catalogue));
    taken.push(move);
  }
  return taken;
}
