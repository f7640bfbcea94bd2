/** Single moves, every one tried; and sets of moves, grown from the best by beam. */
import type { Catalogue } from '../scene/catalogue.ts';
import { benchOf, type Computed } from './bench-plan.ts';
import { type Ground, groundOf, tryMove } from './evaluate.ts';
import { focusOf } from './focus.ts';
import { type Goal, goalFor, wanting } from './goal.ts';
import { canJoin } from './joinable.ts';
import { MINUTES, type Move } from './move.ts';
import { movesOf } from './moves.ts';
import type { Standing } from './standing.ts';
import {
  bestOfEach,
  byGain,
  byWorth,
  isHarmless,
  keyOf,
  LEAST_GAIN,
  type Minutes,
  minutesOf,
  type Suggestion,
} from './suggestion.ts';

export type SearchOptions = {
  /** Whose limits count; all of the plan's where left out. */
  readonly counts?: Goal['counts'];
  readonly minutes?: Minutes;
  /** Most moves in a set. */
  readonly most?: number;
  /** Sets that are grown further at each size. */
  readonly beam?: number;
  /** Moves that sets are grown by. */
  readonly pool?: number;
};

/** What is found so far, best first. */
export type Found = {
  /** How the plan stands as it is, and what was to be bettered of that. */
  readonly standing: Standing;
  readonly goal: Goal;
  readonly suggestions: readonly Suggestion[];
  readonly tried: number;
  readonly size: number;
};

const BEAM = 12;
const POOL = 48;
/** Moves tried between two looks up. */
const PAUSE = 8;

type Search = SearchOptions & {
  readonly base: Computed;
  readonly catalogue: Catalogue;
  readonly ground: Ground;
  readonly goal: Goal;
  readonly wantingBefore: number;
  readonly found: Suggestion[];
  tried: number;
};

/**
 * Tries every single move. Then, for sets, joins each of the best `beam` sets of one size with each of the best `pool` moves,
 * up to `most` moves, and computes every set as one plan. It pauses as it goes, so that whoever waits can stop and keep what
 * there is. Nothing is drawn: the same plan gives the same answer.
 */
export function* searching(
  base: Computed,
  catalogue: Catalogue,
  options: SearchOptions,
): Generator<Found, Found> {
  const ground = groundOf(benchOf(base, catalogue));
  const goal = goalFor(ground.reading.standing, options.counts);
  const wantingBefore = wanting(ground.reading.standing, goal);
  const search: Search = { ...options, base, catalogue, ground, goal, wantingBefore, found: [], tried: 0 };
  const singles = yield* trySingles(search);
  const pool = poolOf(singles, options.pool ?? POOL);
  let beam = beamOf(singles, options.beam ?? BEAM);
  for (let size = 2; size <= (options.most ?? 1); size++) {
    const grown = yield* grow(search, beam, pool, size);
    if (size === 2) grown.push(...(yield* assignRooms(search, singles)));
    beam = beamOf(grown, options.beam ?? BEAM);
  }
  return foundSoFar(search, options.most ?? 1);
}

function* trySingles(search: Search): Generator<Found, Suggestion[]> {
  const tried: Suggestion[] = [];
  const { base, ground, goal } = search;
  const focus = focusOf(base.scene, base.result, ground.reading.standing, goal);
  for (const move of movesOf(base, focus)) {
    const made = attempt(search, ground, [move]);
    if (made) tried.push(made);
    if (search.tried % PAUSE === 0) yield foundSoFar(search, 1);
  }
  return tried;
}

function* grow(
  search: Search,
  beam: readonly Suggestion[],
  pool: readonly Move[],
  size: number,
): Generator<Found, Suggestion[]> {
  const seen = new Set<string>();
  const grown: Suggestion[] = [];
  for (const { moves, gain } of beam) {
    const set = search.ground.bench.commit(moves.flatMap(({ edits }) => edits));
    if ('faults' in set) continue;
    const ground = groundOf(benchOf(set, search.catalogue));
    for (const move of pool) {
      const key = keyOf([...moves, move]);
      if (seen.has(key) || !canJoin(moves, move, search.base.plan)) continue;
      seen.add(key);
      const made = attempt(search, ground, [...moves, move], gain);
      if (made) grown.push(made);
      if (search.tried % PAUSE === 0) yield foundSoFar(search, size);
    }
  }
  return grown;
}

/** Up to so many ways to put one player into one room are joined each with each. */
const ALL_ROOMS = 24;

/** Who gets which room or booth: every two of them, where there are not too many. */
function* assignRooms(search: Search, singles: readonly Suggestion[]): Generator<Found, Suggestion[]> {
  const moved = singles.filter(({ moves: [move] }) => move?.kind === 'other-room');
  const best = bestOfEach(moved, byGain);
  if (best.length > ALL_ROOMS) return [];
  return yield* grow(
    search,
    best,
    best.flatMap(({ moves }) => moves),
    2,
  );
}

/** The last of the moves on a ground on which the others have been made; each must do something for the whole. */
function attempt(search: Search, ground: Ground, moves: readonly Move[], gainBefore = 0): Suggestion | null {
  const { goal, minutes = MINUTES, wantingBefore, found } = search;
  search.tried++;
  const tried = tryMove(ground, moves.at(-1) as Move, goal);
  if (!tried) return null;
  const made = { moves, minutes: minutesOf(moves, minutes), gain: wantingBefore - tried.wanting, tried };
  const isWorthIt = made.gain > Math.max(0, gainBefore) + LEAST_GAIN;
  if (isWorthIt && isHarmless(tried.standing, search.ground.reading.standing)) found.push(made);
  return made;
}

const foundSoFar = ({ found, tried, ground, goal }: Search, size: number): Found => ({
  standing: ground.reading.standing,
  goal,
  get suggestions() {
    return bestOfEach(found, byWorth);
  },
  tried,
  size,
});

/** Sets from which larger ones are grown: whatever does most, harmless yet or not. */
const beamOf = (tried: readonly Suggestion[], width: number): Suggestion[] =>
  bestOfEach(tried, byGain).slice(0, width);

/** The best move of each kind about each thing, as many as there is room for. */
const poolOf = (singles: readonly Suggestion[], size: number): Move[] =>
  bestOfEach(singles, byGain)
    .slice(0, size)
    .flatMap(({ moves }) => moves);
