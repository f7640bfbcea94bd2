/** From a plan to fixes worth making: single fixes tried, limits out of reach set aside, sets grown, what is found ranked. */
import { pathsOverlap } from '../finding.ts';
import { countedMargin, keyOf, type LimitMargins, type MarginRow } from '../judge/criteria.ts';
import type { PlanData } from '../plan/plan.ts';
import { groupBy } from '../statistics.ts';
import type { Computed, FirstBaseline, FixMaker, Tried } from './evaluate.ts';
import { type Baseline, baselineOf, evaluatorOf, firstBaseline, tryFixes } from './evaluate.ts';
import { FIX_KINDS, type Fix, type FixDraft, type FixKind, isAskedOfPeople, MINUTES } from './fixes.ts';
import * as building from './fixes-building.ts';
import * as mics from './fixes-mics.ts';
import * as people from './fixes-people.ts';
import * as sound from './fixes-sound.ts';
import {
  byWorth,
  type Focus,
  focusOf,
  isWorthwhile,
  LEAST_GAIN,
  losesSight,
  type Objective,
  objectiveFor,
  type Worth,
  wanting,
  worthOf,
} from './objective.ts';

export type Asked = {
  /** Whose limits count; all of the plan's where left out. */
  readonly counts?: Objective['counts'];
  readonly minutes?: Minutes;
  /** Most fixes in a set; 1 where left out. */
  readonly most?: number;
  /** Tried beside those of every kind. */
  readonly extra?: readonly FixDraft[];
};

export type Minutes = Readonly<Record<FixKind, number>>;

/** Fixes tried together, whether or not they are worth it. */
type Attempt = {
  readonly fixes: readonly Fix[];
  readonly minutes: number;
  readonly tried: Tried;
  /** What a set was grown from, and the fix that it was grown by. */
  readonly from: readonly Attempt[];
};

/** An attempt that is worth making; `asGood` says the sizes of the same fix that do as much, gentle ones first. */
export type Suggestion = Omit<Attempt, 'from'> & {
  readonly worth: Worth;
  readonly asGood: readonly string[];
};

/** A limit that no plan tried has reached, and the best margin that was found for it, dB. */
export type OutOfReach = MarginRow & { readonly best: number };

/** What is found so far, best first. */
export type Found = {
  /** How far the plan meets its limits as it is, and what of that was to be improved. */
  readonly baseline: FirstBaseline;
  readonly objective: Objective;
  readonly outOfReach: readonly OutOfReach[];
  readonly suggestions: readonly Suggestion[];
  readonly tried: number;
  readonly size: number;
};

/** Sets that are grown further at each size, and fixes that they are grown by. */
const BEAM = 12;
const POOL = 48;
/** Fixes tried between two pauses. */
const PAUSE = 8;

type Search = Asked & {
  readonly base: Computed;
  readonly baseline: FirstBaseline;
  /** Before any limit is set aside. */
  readonly asked: Objective;
  readonly made: Attempt[];
  /** The best margin that any plan tried has had, by `keyOf`. */
  readonly best: Map<string, number>;
  tried: number;
};

/**
 * Tries every single fix. A limit that none of them reaches is tried with the fixes that do most for it together; what these do
 * not reach either is set aside. Then, for sets, joins each of the best sets of one size with each of the best fixes, up to
 * `most` fixes, and computes every set as one plan. It pauses as it goes: what it has found at any pause makes advice. The same
 * plan gives the same answer.
 */
export function* searching(base: Computed, options: Asked): Generator<Found, Found> {
  const baseline = firstBaseline(evaluatorOf(base));
  const asked = objectiveFor(base.scene, baseline.margins, options.counts);
  const search: Search = { ...options, base, baseline, asked, made: [], best: new Map(), tried: 0 };
  const singles = yield* trySingles(search);
  for (const row of beyondSingles(search)) {
    stretch(search, singles, row);
    yield foundSoFar(search, 1);
  }
  if ((options.most ?? 1) < 2) return foundSoFar(search, 1);
  const objective = withinReach(search);
  const pool = bestOfEach(search, singles, objective).slice(0, POOL);
  let beam = pool.slice(0, BEAM);
  for (let size = 2; size <= (options.most ?? 1); size++) {
    const grown = yield* grow(search, beam, pool, size);
    if (size === 2) grown.push(...(yield* assignRooms(search, singles, objective)));
    beam = bestOfEach(search, grown, objective).slice(0, BEAM);
  }
  return foundSoFar(search, options.most ?? 1);
}

function* trySingles(search: Search): Generator<Found, Attempt[]> {
  const { base, baseline, asked } = search;
  const usual = fixesOf(base, focusOf(base.scene, base.result, baseline.margins, asked));
  const extra = (search.extra ?? []).map((draft, i) => ({ id: usual.length + i, ...draft }));
  for (const fix of [...usual, ...extra]) {
    const made = attempt(search, baseline, [fix]);
    if (made) search.made.push(made);
    if (search.tried % PAUSE === 0) yield foundSoFar(search, 1);
  }
  return [...search.made];
}

/** Limits that are missed and that no plan tried so far has reached. */
const beyondSingles = ({ baseline, asked, best }: Search): MarginRow[] =>
  asked.upTo > 0
    ? []
    : [...wanting(baseline.margins, asked).short]
        .filter(([key]) => (best.get(key) ?? Number.NEGATIVE_INFINITY) < 0)
        .map(([, row]) => row);

/** Fixes joined to reach one limit: as many as anyone would make for it, or fewer where these cannot be made together. */
const TOGETHER = [5, 3, 2];

/** Tries those that do most for one limit, all together, for how far it can be met. */
function stretch(search: Search, singles: readonly Attempt[], row: MarginRow): void {
  const key = keyOf(row);
  const gained = ({ tried }: Attempt) => marginAt(tried.judged, key) - countedMargin(row);
  const order = singles.filter((one) => gained(one) > 0).sort((a, b) => gained(b) - gained(a));
  const joined: Fix[] = [];
  const themes = new Set<string>();
  for (const { fixes } of order) {
    const [fix] = fixes;
    if (!fix || themes.has(themeOf(fixes)) || !canJoin(joined, fix, search.base.plan)) continue;
    themes.add(themeOf(fixes));
    joined.push(fix);
  }
  for (const many of TOGETHER) {
    const made = joined.length < many ? null : attempt(search, search.baseline, joined.slice(0, many));
    if (made) return;
  }
}

const marginAt = ({ rows }: LimitMargins, key: string): number => {
  const row = rows.find((one) => keyOf(one) === key);
  return row ? countedMargin(row) : Number.NEGATIVE_INFINITY;
};

function* grow(
  search: Search,
  beam: readonly Attempt[],
  pool: readonly Attempt[],
  size: number,
): Generator<Found, Attempt[]> {
  const seen = new Set<string>();
  const grown: Attempt[] = [];
  for (const set of beam) {
    const { fixes } = set;
    const made = search.baseline.evaluator.commit(fixes.flatMap(({ edits }) => edits));
    if ('faults' in made) continue;
    const { allowances } = search.baseline;
    const baseline = baselineOf(evaluatorOf(made), allowances, undefined, set.tried.judged);
    for (const one of pool) {
      const [fix] = one.fixes;
      const key = fix && keyOfSet([...fixes, fix]);
      if (!fix || !key || seen.has(key) || !canJoin(fixes, fix, search.base.plan)) continue;
      seen.add(key);
      const joined = attempt(search, baseline, [fix], [set, one]);
      if (joined) {
        grown.push(joined);
        search.made.push(joined);
      }
      if (search.tried % PAUSE === 0) yield foundSoFar(search, size);
    }
  }
  return grown;
}

/** Up to so many fixes that put one player into one room are joined each with each. */
const ALL_ROOMS = 24;

/** Who gets which room or booth: every two of them, where there are not too many. */
function* assignRooms(
  search: Search,
  singles: readonly Attempt[],
  objective: Objective,
): Generator<Found, Attempt[]> {
  const moved = singles.filter(({ fixes: [fix] }) => fix?.kind === 'other-room');
  const best = bestOfEach(search, moved, objective);
  return best.length > ALL_ROOMS ? [] : yield* grow(search, best, best, 2);
}

/** Fixes on a plan in which those that it was grown from, but for the last, have been made. */
function attempt(
  search: Search,
  baseline: Baseline,
  fixes: readonly Fix[],
  from: readonly Attempt[] = [],
): Attempt | null {
  const { minutes = MINUTES, best } = search;
  search.tried++;
  const tried = tryFixes(baseline, fixes);
  if (!tried) return null;
  const all = from.length === 0 ? fixes : from.flatMap((one) => one.fixes);
  const made = { fixes: all, minutes: minutesOf(all, minutes), tried, from };
  // what parts those who must see each other reaches nothing
  if (losesSight(search.baseline.margins, tried.margins)) return made;
  for (const row of tried.judged.rows) {
    const key = keyOf(row);
    best.set(key, Math.max(best.get(key) ?? Number.NEGATIVE_INFINITY, countedMargin(row)));
  }
  return made;
}

const outOfReach = ({ best, ...search }: Search): OutOfReach[] =>
  beyondSingles({ best, ...search }).map((row) => ({ ...row, best: best.get(keyOf(row)) ?? row.margin }));

/** Where none is within reach, as near to all of them as can be. */
function withinReach(search: Search): Objective {
  const aside = new Set(outOfReach(search).map(keyOf));
  const { short } = wanting(search.baseline.margins, search.asked);
  return { ...search.asked, outOfReach: aside.size < short.size ? aside : new Set() };
}

const foundSoFar = (search: Search, size: number): Found => ({
  baseline: search.baseline,
  tried: search.tried,
  size,
  get objective() {
    return withinReach(search);
  },
  get outOfReach() {
    return outOfReach(search);
  },
  get suggestions() {
    return worthwhile(search, withinReach(search));
  },
});

/** Of each theme the best, told with the sizes that do as much; best for their minutes first. */
function worthwhile(search: Search, objective: Objective): Suggestion[] {
  const { margins } = search.baseline;
  // nobody is asked to do anything for what a whole plan only has too little of to spare
  const isMet = objective.upTo > 0 && search.counts === undefined;
  const worthy = search.made.flatMap((one): Scored[] => {
    const worth = worthOf(margins, one.tried.judged, objective);
    const adds = ({ tried }: Attempt) => isWorthwhile(worthOf(tried.judged, one.tried.judged, objective));
    const isAsked = isMet && one.fixes.some(({ kind }) => isAskedOfPeople(kind));
    return isWorthwhile(worth) && !isAsked && one.from.every(adds) ? [{ ...one, worth }] : [];
  });
  const quick = new Set(worthy.flatMap((one) => (one.minutes < LONG ? one.worth.fixes : [])));
  const isWorthIt = ({ fixes, minutes, worth }: Scored) => {
    const gain = worth.mics + worth.others;
    if (minutes >= LONG)
      return gain >= PER_MINUTE * minutes || worth.fixes.some((limit) => !quick.has(limit));
    return (
      worth.fixed > worth.broken || gain >= FOR_PEOPLE || !fixes.some(({ kind }) => isAskedOfPeople(kind))
    );
  };
  const themes = [...groupBy(worthy.filter(isWorthIt), ({ fixes }) => themeOf(fixes)).values()];
  return offeredOnce(themes.map(gentlestOf).sort(byWorthOf));
}

/** Of a room the one who best goes there alone, and who else there fixes a limit that no other offer does; `--rooms` has all. */
function offeredOnce(all: readonly Suggestion[]): Suggestion[] {
  const elsewhere = all.filter(({ fixes }) => roomOf(fixes) === null);
  const fixed = new Set(elsewhere.flatMap(({ worth }) => worth.fixes));
  const taken = new Set<string>();
  return all.filter(({ fixes, worth }) => {
    const room = roomOf(fixes);
    if (room === null) return true;
    if (taken.has(room) && worth.fixes.every((limit) => fixed.has(limit))) return false;
    taken.add(room);
    for (const limit of worth.fixes) fixed.add(limit);
    return true;
  });
}

/** From so many minutes on, work is for so many dB a minute, or for a limit that nothing quicker fixes. Common practice, no source. */
const [LONG, PER_MINUTE] = [10, 0.2];
/** Nobody is asked to change what they do for less, dB. Common practice, no source. */
const FOR_PEOPLE = 1;

type Scored = Attempt & { readonly worth: Worth };

/** Of one theme the gentlest that does about as much as the best, with the sizes of the others that do. */
function gentlestOf(same: readonly Scored[]): Suggestion {
  const [best] = [...same].sort(byWorthOf) as [Scored];
  const { fixed, broken, mics, others } = best.worth;
  const good = same
    .filter(({ worth, minutes }) => {
      const isLess = worth.mics + worth.others < mics + others - LEAST_GAIN;
      return worth.fixed - worth.broken === fixed - broken && !isLess && minutes === best.minutes;
    })
    .sort(byGentleness);
  const [gentlest = best, ...rest] = best.fixes.length > 1 ? [best] : good;
  return { ...gentlest, asGood: rest.flatMap(({ fixes: [fix] }) => fix?.size ?? []) };
}

const MAKERS: Readonly<Record<FixKind, FixMaker>> = {
  'high-pass': mics.filterFixes,
  softer: sound.softerFixes,
  'other-sticks': sound.otherSticksFixes,
  door: building.doorFixes,
  pattern: mics.patternFixes,
  null: mics.nullFixes,
  're-aim': mics.reAimFixes,
  closer: mics.closerFixes,
  'turn-player': people.turnPlayerFixes,
  'turn-baffle': building.turnBaffleFixes,
  'remove-baffle': building.removeBaffleFixes,
  'move-baffle': building.moveBaffleFixes,
  'replace-mic': mics.replaceMicFixes,
  'drop-mic': mics.dropMicFixes,
  main: mics.mainFixes,
  cover: sound.coverFixes,
  headphones: sound.headphonesFixes,
  'move-player': people.movePlayerFixes,
  'place-baffle': building.placeBaffleFixes,
  absorption: building.absorptionFixes,
  'swap-players': people.swapPlayersFixes,
  'seat-beside': people.seatBesideFixes,
  'other-room': people.otherRoomFixes,
};

export const fixesOf = (base: Computed, focus: Focus): Fix[] =>
  FIX_KINDS.flatMap((kind) => [...MAKERS[kind](base, focus)]).map((draft, id) => ({ id, ...draft }));

/** They change different settings, and there is enough on hand for all. */
export function canJoin(fixes: readonly Fix[], another: Fix, plan: PlanData): boolean {
  const apart = fixes.every(({ edits }) =>
    edits.every(({ path }) => another.edits.every((other) => !pathsOverlap(path, other.path))),
  );
  return apart && isEnough([...fixes, another], plan);
}

const isEnough = (fixes: readonly Fix[], { onHand }: PlanData): boolean =>
  [...groupBy(takenBy(fixes), ([list, place]) => `${list} ${place}`).values()].every((same) => {
    const [[list, place] = ['mics', -1] as const] = same;
    return same.length <= (onHand[list][place]?.count ?? 0);
  });

export const takenBy = (fixes: readonly Fix[]) => fixes.flatMap(({ takes }) => takes ?? []);

export const minutesOf = (fixes: readonly Fix[], minutes: Minutes = MINUTES): number =>
  fixes.reduce((sum, { kind, atLeast = 0 }) => sum + Math.max(minutes[kind], atLeast), 0);

type Ordered = Pick<Suggestion, 'fixes' | 'minutes' | 'worth'>;

/** What it does for each minute; of equals the quicker, then the gentler. */
export const byWorthOf = (a: Ordered, b: Ordered): number =>
  byWorth(a.worth, b.worth, [a.minutes, b.minutes]) || a.minutes - b.minutes || byGentleness(a, b);

/** Makers give gentle fixes before drastic ones. */
const byGentleness = (a: Pick<Ordered, 'fixes'>, b: Pick<Ordered, 'fixes'>): number =>
  a.fixes.reduce((sum, { id }, i) => sum || id - (b.fixes[i]?.id ?? -1), 0);

/** What is moved, not how far: the same for all fixes of a kind about the same. */
const themeOf = (fixes: readonly Fix[]): string =>
  fixes
    .map(({ kind, about }) => [kind === 'null' ? 're-aim' : kind, ...about].join('\n'))
    .sort()
    .join('\n\n');

/** The room that somebody moves to, where that is all; else null. */
function roomOf([first, ...more]: readonly Fix[]): string | null {
  return first?.kind === 'other-room' && more.length === 0 ? (first.about[1] ?? null) : null;
}

/** The fixes themselves, in whatever order. */
const keyOfSet = (fixes: readonly Fix[]): string =>
  fixes
    .map(({ id }) => id)
    .sort((a, b) => a - b)
    .join(' ');

/** The attempt of each theme that does most, worth it or not, whatever does most first. */
function bestOfEach(
  { baseline: { margins } }: Search,
  all: readonly Attempt[],
  objective: Objective,
): Attempt[] {
  const themes = new Set<string>();
  const worths = all.map((one) => ({ one, worth: worthOf(margins, one.tried.judged, objective) }));
  return worths
    .sort((a, b) => byWorth(a.worth, b.worth) || a.one.minutes - b.one.minutes || byGentleness(a.one, b.one))
    .flatMap(({ one }) => {
      const theme = themeOf(one.fixes);
      if (themes.has(theme)) return [];
      themes.add(theme);
      return [one];
    });
}
