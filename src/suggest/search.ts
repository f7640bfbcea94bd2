/** Single moves, beam search, ranking, price. */
import type { Catalogue } from '../catalogue/catalogue.ts';
import type { Path } from '../finding.ts';
import { type LimitKind, type Standing, standingOf, summed } from '../judge/criteria.ts';
import { judge } from '../judge/judge.ts';
import type { Report } from '../judge/report.ts';
import { type Basis, CLEAR } from '../judge/verdict.ts';
import { flowText } from '../plan/nodes.ts';
import type { PlanData } from '../plan/plan.ts';
import { perturb } from '../scene/perturbation.ts';
import type { Scene } from '../scene/scene.ts';
import { ascending, quantile, uniform } from '../statistics.ts';
import { transfer } from '../transfer/transfer.ts';
import { compare, type Worse, worseThan } from './compare.ts';
import {
  benchOf,
  type Computed,
  type Ground,
  groundOf,
  type MoveMaker,
  type Tried,
  tryMove,
} from './evaluate.ts';
import { MINUTES, MOVE_KINDS, type Move, type MoveKind } from './moves.ts';
import {
  absorptionMoves,
  doorMoves,
  moveBaffleMoves,
  placeBaffleMoves,
  takeBaffleAwayMoves,
  turnBaffleMoves,
} from './moves-building.ts';
import {
  closerMoves,
  filterMoves,
  nullMoves,
  patternMoves,
  swapMicMoves,
  turnMicMoves,
} from './moves-mics.ts';
import {
  otherRoomMoves,
  shiftPlayerMoves,
  softerMoves,
  swapPlayersMoves,
  turnPlayerMoves,
} from './moves-people.ts';
import { type Focus, focusOf, type Goal, goalFor, wanting } from './objective.ts';

// From a plan to advice: the search, the order, and the telling.
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

type SearchOptions = {
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
function* searching(base: Computed, catalogue: Catalogue, options: SearchOptions): Generator<Found, Found> {
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

// Every move that is worth a try in a plan, in order of effort.

const MAKERS: Readonly<Record<MoveKind, MoveMaker>> = {
  'high-pass': filterMoves,
  softer: softerMoves,
  door: doorMoves,
  pattern: patternMoves,
  null: nullMoves,
  'turn-mic': turnMicMoves,
  closer: closerMoves,
  'turn-player': turnPlayerMoves,
  'turn-baffle': turnBaffleMoves,
  'take-baffle-away': takeBaffleAwayMoves,
  'move-baffle': moveBaffleMoves,
  'swap-mic': swapMicMoves,
  'shift-player': shiftPlayerMoves,
  'place-baffle': placeBaffleMoves,
  absorption: absorptionMoves,
  'swap-players': swapPlayersMoves,
  'other-room': otherRoomMoves,
};

export const movesOf = (base: Computed, focus: Focus): Move[] =>
  MOVE_KINDS.flatMap((kind) => [...MAKERS[kind](base, focus)]).map((idea, id) => ({ id, ...idea }));

// Whether moves can be made together: they change different entries, and there is enough on hand for all.

export function canJoin(moves: readonly Move[], another: Move, plan: PlanData): boolean {
  const apart = moves.every(({ edits }) =>
    edits.every(({ path }) => another.edits.every((other) => !overlaps(path, other.path))),
  );
  return apart && isEnough([...moves, another], plan);
}

function overlaps(one: Path, other: Path): boolean {
  const [short, long] = one.length < other.length ? [one, other] : [other, one];
  return short.every((step, i) => String(step) === String(long[i]));
}

function isEnough(moves: readonly Move[], { onHand }: PlanData): boolean {
  const taken = new Map<string, number>();
  for (const [list, place] of moves.flatMap(({ takes }) => takes ?? [])) {
    const key = `${list} ${place}`;
    const count = (taken.get(key) ?? 0) + 1;
    if (count > (onHand[list][place]?.count ?? 0)) return false;
    taken.set(key, count);
  }
  return true;
}

// What a suggestion still does on a day on which everything is somewhat off.

/** Enough to rank by: the 10th percentile of 60 draws is the seventh from below. */
const DRAWS = 60;

const UNLUCKY = 0.1;

/** What is wanting, dB, where each margin is the 10th percentile of its draws within the plan's tolerance and by its seed. */
export function wantingOnBadDays(scene: Scene, goal: Goal): number {
  const next = uniform(scene.tolerance.seed);
  const sample = { draw: next, isHeld: () => false };
  const margins = new Map<string, number[]>();
  const kinds = new Map<string, Parameters<typeof summed>[0][number]>();
  for (let draw = 0; draw < DRAWS; draw++) {
    const varied = perturb(scene, sample);
    for (const row of standingOf(varied, transfer(varied)).rows) {
      const key = `${row.kind}\n${row.name}`;
      kinds.set(key, row);
      margins.set(key, [...(margins.get(key) ?? []), row.margin]);
    }
  }
  const rows = [...kinds].map(([key, row]) => ({
    ...row,
    margin: quantile(ascending(margins.get(key) ?? []), UNLUCKY),
  }));
  return wanting(summed(rows), goal);
}

// Advice as data alone: what formats show, and a script can write down.

type PlainMove = {
  readonly kind: MoveKind;
  readonly about: readonly string[];
  /** Entries of the plan and what they are set to, as one would write it; null takes an entry out. */
  readonly edits: readonly { readonly path: Path; readonly value: string | null }[];
};

export type PlainSuggestion = Omit<ToldSuggestion, 'moves'> & { readonly moves: readonly PlainMove[] };

export type PlainAdvice = Omit<Advice, 'suggestions'> & { readonly suggestions: readonly PlainSuggestion[] };

export const plainAdvice = (advice: Advice): PlainAdvice => ({
  ...advice,
  suggestions: advice.suggestions.map((one) => ({
    ...one,
    moves: one.moves.map(({ kind, about, edits }) => ({
      kind,
      about,
      edits: edits.map(({ path, value }) => ({ path, value: value && flowText(value) })),
    })),
  })),
});

// Suggestions told in full: what to do, whom it helps, and what it costs elsewhere.

export type Helped = {
  readonly mic: string;
  /** S/B as judged, dB; null where there is none. */
  readonly before: number | null;
  /** Whether it was measured; what comes after a move never was. Null without readings of the day. */
  readonly basis: Basis | null;
  readonly after: number | null;
  readonly unweightedBefore: number | null;
  readonly unweightedAfter: number | null;
};

/** A limit that was missed and is less so, or met: what it is about, and its margins, dB. */
export type Mended = {
  readonly kind: LimitKind;
  /** Part, player or microphone; two where it sets them side by side. */
  readonly about: readonly string[];
  readonly before: number;
  readonly after: number;
};

export type ToldSuggestion = {
  /** One sentence a move. */
  readonly words: readonly string[];
  readonly moves: readonly Move[];
  readonly minutes: number;
  /** dB less that is wanting: of the whole plan, or of what was asked for. */
  readonly gain: number;
  /** Sums of missed margins, dB. */
  readonly shortfall: readonly [before: number, after: number];
  /** The worst margins, dB; null where nothing is judged. */
  readonly worst: readonly [before: number | null, after: number | null];
  readonly helps: readonly Helped[];
  /** What is not S/B of a microphone, most mended first. */
  readonly mends: readonly Mended[];
  readonly price: readonly Worse[];
};

export type Advice = {
  readonly title: string;
  readonly standing: Standing;
  /** Whether any limit of what was asked for is judged. */
  readonly asked: boolean;
  /** What is wanting of what was asked for, dB. */
  readonly wanting: number;
  /** Best first. */
  readonly suggestions: readonly ToldSuggestion[];
  /** How many more suggestions there are than are told. */
  readonly more: number;
  /** Plans that were computed for it, and whether the search came to its end. */
  readonly tried: number;
  readonly whole: boolean;
  /** False where the plan asks for a confidence, which is left aside here. */
  readonly plain: boolean;
};

/** Losses smaller than this are no price, dB. */
const LEAST_PRICE = 0.1;

function toldSuggestions(
  base: Computed,
  catalogue: Catalogue,
  standing: Standing,
  suggestions: readonly Suggestion[],
): ToldSuggestion[] {
  const report = judge(plainly(base.scene), base.result);
  return suggestions.map((one) => told(base, catalogue, { report, standing }, one));
}

/** Draws for a confidence would take a second for each. */
const plainly = (scene: Scene): Scene => ({ ...scene, limits: { ...scene.limits, confidence: null } });

type Before = { readonly report: Report; readonly standing: Standing };

function told(base: Computed, catalogue: Catalogue, before: Before, suggestion: Suggestion): ToldSuggestion {
  const { moves, minutes, gain, tried } = suggestion;
  const { scene, result } = tried.again();
  const report = judge(plainly(scene), result);
  const sides = [before.report, report].map((one) => ({ name: '', tree: base.tree, report: one }));
  const { standing } = tried;
  return {
    words: wordsOf(base, catalogue, moves),
    moves,
    minutes,
    gain,
    shortfall: [before.standing.shortfall, standing.shortfall],
    worst: [before.standing.worst, standing.worst],
    helps: helpedBy(before.report, report),
    mends: mendedBy(before.standing, standing),
    price: worseThan(compare(sides), 0, LEAST_PRICE),
  };
}

/** Each move is told on the plan in which those before it have been made. */
function wordsOf(base: Computed, catalogue: Catalogue, moves: readonly Move[]): string[] {
  let now = base;
  return moves.map((move) => {
    const next = benchOf(now, catalogue).commit(move.edits);
    const after = 'faults' in next ? now : next;
    const words = move.say(now.scene, after.scene);
    now = after;
    return words;
  });
}

function mendedBy(before: Standing, after: Standing): Mended[] {
  const rows = before.rows.flatMap(({ kind, name, margin }): Mended[] => {
    // who see each other have no row
    const unsaid = kind === 'see-each-other' ? 0 : margin;
    const now = after.rows.find((row) => row.kind === kind && row.name === name)?.margin ?? unsaid;
    if (kind === 'signal-to-bleed' || margin >= 0 || now - margin < LEAST_PRICE) return [];
    return [{ kind, about: name.split('\n'), before: margin, after: now }];
  });
  return rows.sort((a, b) => b.after - b.before - (a.after - a.before));
}

/** Most helped first. */
function helpedBy(before: Report, after: Report): Helped[] {
  const rows = before.mics.flatMap((one): Helped[] => {
    const other = after.mics.find(({ name }) => name === one.name);
    const changed = (other?.signalToBleed ?? 0) - (one.signalToBleed ?? 0);
    if (one.purpose !== 'parts' || !other || changed < LEAST_PRICE) return [];
    return [
      {
        mic: one.name,
        before: one.signalToBleed,
        basis: one.basis,
        after: other.signalToBleed,
        unweightedBefore: one.signalToBleedUnweighted,
        unweightedAfter: other.signalToBleedUnweighted,
      },
    ];
  });
  return rows.sort((a, b) => (b.after ?? 0) - (b.before ?? 0) - ((a.after ?? 0) - (a.before ?? 0)));
}

// A move or a set of moves that was tried, and how it compares with others.

type Suggestion = {
  readonly moves: readonly Move[];
  readonly minutes: number;
  /** How much less is wanting than before, dB. */
  readonly gain: number;
  readonly tried: Tried;
};

export type Minutes = Readonly<Record<MoveKind, number>>;

/** Gains smaller than this are none, dB. */
export const LEAST_GAIN = 0.05;

const ROUNDING = 1e-9;

export const minutesOf = (moves: readonly Move[], minutes: Minutes = MINUTES): number =>
  moves.reduce((sum, { kind }) => sum + minutes[kind], 0);

/** Does not make the worst margin worse, unless it stays clear, and parts nobody who is to see another. */
export function isHarmless(after: Standing, before: Standing): boolean {
  if ((after.worst ?? 0) < Math.min(before.worst ?? 0, CLEAR) - ROUNDING) return false;
  return unseen(after) <= unseen(before);
}

const unseen = ({ rows }: Standing): number => rows.filter(({ kind }) => kind === 'see-each-other').length;

/** What it does for each minute; of equals the quicker. */
function byWorth(a: Suggestion, b: Suggestion): number {
  return b.gain / b.minutes - a.gain / a.minutes || a.minutes - b.minutes || byGentleness(a, b);
}

/** The less is wanting the better; of equals the quicker. */
function byGain(a: Suggestion, b: Suggestion): number {
  return b.gain - a.gain || a.minutes - b.minutes || byGentleness(a, b);
}

/** Makers give gentle moves before drastic ones. */
const byGentleness = (a: Suggestion, b: Suggestion): number =>
  a.moves.reduce((sum, { id }, i) => sum || id - (b.moves[i]?.id ?? -1), 0);

/** What is moved, not how far: the same for all moves of a kind about the same. */
const themeOf = (moves: readonly Move[]): string =>
  moves
    .map(({ kind, about }) => [kind, ...about].join('\n'))
    .sort()
    .join('\n\n');

/** The moves themselves, in whatever order. */
const keyOf = (moves: readonly Move[]): string =>
  moves
    .map(({ id }) => id)
    .sort((a, b) => a - b)
    .join(' ');

/** The best of each theme, in an order. */
function bestOfEach(
  all: readonly Suggestion[],
  order: (a: Suggestion, b: Suggestion) => number,
): Suggestion[] {
  const themes = new Set<string>();
  return [...all].sort(order).filter(({ moves }) => {
    const theme = themeOf(moves);
    if (themes.has(theme)) return false;
    themes.add(theme);
    return true;
  });
}
