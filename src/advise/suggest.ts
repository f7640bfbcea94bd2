/** From a plan to advice: the search, the order, and the telling. */
import type { Catalogue } from '../scene/catalogue.ts';
import { type Advice, toldSuggestions } from './advice.ts';
import type { Computed } from './bench-plan.ts';
import { type Goal, wanting } from './goal.ts';
import { wantingOnBadDays } from './robust.ts';
import { type Found, searching } from './search.ts';
import { byWorth, type Minutes, type Suggestion } from './suggestion.ts';

export type SuggestOptions = {
  /** Whose limits count; all of the plan's where left out. */
  readonly counts?: Goal['counts'];
  readonly minutes?: Minutes;
  /** Most moves in a set; 1 where left out. */
  readonly most?: number;
  /** Most suggestions told; ten where left out. */
  readonly show?: number;
  /** Ranked by what holds on nine of ten days within the plan's tolerance. */
  readonly robust?: boolean;
};

const SHOWN = 10;
/** Suggestions that are looked at again for bad days. */
const LOOKED_AT_AGAIN = 16;

/** All at once: some seconds for a large plan. */
export function suggest(base: Computed, catalogue: Catalogue, options: SuggestOptions = {}): Advice {
  const steps = suggesting(base, catalogue, options);
  let step = steps.next();
  while (!step.done) step = steps.next();
  return adviceOf(base, catalogue, options, { found: step.value, whole: true });
}

/** The search alone, with pauses; what it has found at any of them makes advice. */
export function suggesting(
  base: Computed,
  catalogue: Catalogue,
  options: SuggestOptions,
): Generator<Found, Found> {
  const { counts, minutes, most } = options;
  return searching(base, catalogue, {
    ...(counts && { counts }),
    ...(minutes && { minutes }),
    ...(most && { most }),
  });
}

export function adviceOf(
  base: Computed,
  catalogue: Catalogue,
  options: SuggestOptions,
  { found, whole }: { readonly found: Found; readonly whole: boolean },
): Advice {
  const { standing, goal } = found;
  const ranked = options.robust ? forBadDays(base, found.suggestions, goal) : found.suggestions;
  const shown = ranked.slice(0, options.show ?? SHOWN);
  return {
    title: base.scene.title,
    standing,
    asked: standing.rows.some(goal.counts),
    wanting: wanting(standing, goal),
    suggestions: toldSuggestions(base, catalogue, standing, shown),
    more: ranked.length - shown.length,
    tried: found.tried,
    whole,
    plain: base.scene.limits.confidence === null,
  };
}

/** Gains are then those of bad days, too. */
function forBadDays(base: Computed, suggestions: readonly Suggestion[], goal: Goal): Suggestion[] {
  const before = wantingOnBadDays(base.scene, goal);
  return suggestions
    .slice(0, LOOKED_AT_AGAIN)
    .map((one) => ({ ...one, gain: before - wantingOnBadDays(one.tried.again().scene, goal) }))
    .filter(({ gain }) => gain > 0)
    .sort(byWorth);
}
