/** As many suggestions as go together, each still worth it beside the others. */
import type { Catalogue } from '../scene/catalogue.ts';
import { benchOf, type Computed } from './bench-plan.ts';
import { groundOf, tryMove } from './evaluate.ts';
import { type Goal, wanting } from './goal.ts';
import { canJoin } from './joinable.ts';
import type { Move } from './move.ts';
import { standingOf } from './standing.ts';
import { isHarmless, LEAST_GAIN } from './suggestion.ts';

type Taken = { readonly moves: readonly Move[]; readonly wanting: number };

/**
 * Of suggestions, best for their effort first: one after another in that order; or the one that does most, then the others. What
 * leaves less wanting is taken, less the moves that the later ones have made idle.
 */
export function allTogether(
  base: Computed,
  catalogue: Catalogue,
  suggestions: readonly { readonly moves: readonly Move[]; readonly gain: number }[],
  goal: Goal,
): readonly Move[] {
  const most = suggestions.reduce(
    (a, b) => (b.gain > a.gain ? b : a),
    suggestions[0] ?? { moves: [], gain: 0 },
  );
  const orders = [suggestions, [most, ...suggestions]].map((order) => [
    ...new Set(order.flatMap(({ moves }) => moves)),
  ]);
  const [first, second] = orders.map((moves) => oneAfterAnother(base, catalogue, moves, goal));
  if (!first || !second) return [];
  const better = second.wanting < first.wanting - LEAST_GAIN ? second : first;
  return withoutIdle(base, catalogue, better, goal);
}

/** The moves that are left out would do nothing more, or harm. */
function oneAfterAnother(base: Computed, catalogue: Catalogue, moves: readonly Move[], goal: Goal): Taken {
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
  return { moves: taken, wanting: wanting(ground.reading.standing, goal) };
}

/** Each move is left out in turn, and stays out where the rest do as well without it. */
function withoutIdle(
  base: Computed,
  catalogue: Catalogue,
  { moves, wanting: reached }: Taken,
  goal: Goal,
): readonly Move[] {
  return moves.reduce((kept, move) => {
    const rest = kept.filter((one) => one !== move);
    const made = benchOf(base, catalogue).commit(rest.flatMap(({ edits }) => edits));
    if ('faults' in made) return kept;
    const standing = standingOf(made.scene, made.result);
    return wanting(standing, goal) <= reached + LEAST_GAIN ? rest : kept;
  }, moves);
}
