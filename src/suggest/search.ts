/** From a plan to advice: single fixes tried, sets of them grown, what is found ranked and summed up. */
import { type Path, pathsOverlap, takes } from '../finding.ts';
import type { CriterionKind, LimitMargins, MarginRow } from '../judge/criteria.ts';
import { contextOf, countedMargin, criterionOf, keyOf, marginsOf } from '../judge/criteria.ts';
import { judge } from '../judge/judge.ts';
import { micsAsNamed, type Report } from '../judge/report.ts';
import { confidenceOf, type Draws, drawingRuns, unluckyMargins } from '../judge/tolerance.ts';
import { type Basis, CLEAR } from '../judge/verdict.ts';
import { plainInline } from '../plan/edit.ts';
import type { PlanData } from '../plan/plan.ts';
import type { Scene } from '../scene/scene.ts';
import { groupBy } from '../statistics.ts';
import { finished, inStretches, type StepOptions } from '../steps.ts';
import type { Transfer } from '../transfer/transfer.ts';
import { compare, type Regression, regressions } from './compare.ts';
import type { Baseline, Computed, FirstBaseline, FixMaker, Tried } from './evaluate.ts';
import { A_SESSION, baselineOf, evaluatorOf, firstBaseline, tryFix } from './evaluate.ts';
import { FIX_KINDS, type Fix, type FixKind, MINUTES } from './fixes.ts';
import * as building from './fixes-building.ts';
import * as mics from './fixes-mics.ts';
import * as people from './fixes-people.ts';
import { type Focus, focusOf, type Objective, objectiveFor, wanting } from './objective.ts';

export type SuggestOptions = {
  /** Whose limits count; all of the plan's where left out. */
  readonly counts?: Objective['counts'];
  readonly minutes?: Minutes;
  /** Most fixes in a set; 1 where left out. */
  readonly most?: number;
  /** Most suggestions shown; ten where left out. */
  readonly show?: number;
  /** Ranked by what holds on 90 % of runs within the plan's tolerance. */
  readonly robust?: boolean;
};

const SHOWN = 10;
/** Suggestions that are computed again over many runs: at most so many, and twice as many as are shown. */
const LOOKED_AT_AGAIN = 16;

/** Plans computed so far, and how many fixes a set has that are tried now. */
export type SearchProgress = { readonly tried: number; readonly size: number };
export type SearchOptions = SuggestOptions & StepOptions<SearchProgress>;

/** All at once: some seconds for a large plan. Where the signal comes first, what was found until then, with `whole` false. */
export const suggest = (base: Computed, options: SearchOptions = {}): Advice =>
  finished(advising(base, options), options.onProgress);

/** The same with pauses, in which others work and the signal may come. */
export const runSuggest = (base: Computed, options: SearchOptions = {}): Promise<Advice> =>
  inStretches(advising(base, options), options.onProgress);

function* advising(base: Computed, options: SearchOptions): Generator<SearchProgress, Advice> {
  takes('suggest', A_SESSION, base, ['tree', 'scene', 'result']);
  const steps = suggesting(base, options);
  let step = steps.next();
  for (; !step.done && !options.signal?.aborted; step = steps.next()) yield step.value;
  return yield* adviceOf(base, options, { found: step.value, whole: step.done === true });
}

function* adviceOf(
  base: Computed,
  options: SuggestOptions,
  { found, whole }: { readonly found: Found; readonly whole: boolean },
): Generator<SearchProgress, Advice> {
  const { baseline, objective } = found;
  const { margins } = baseline;
  const show = options.show ?? SHOWN;
  const ranked = yield* ranking(base, found, { show, robust: options.robust === true });
  const shown = ranked.slice(0, show);
  const { confidence } = base.scene.limits;
  return {
    title: base.scene.title,
    margins,
    asked: margins.rows.some(objective.counts),
    wanting: wanting(margins, objective),
    suggestions: summaries({ base, baseline }, shown),
    more: ranked.length - shown.length,
    tried: found.tried,
    whole,
    confidence,
  };
}

/** What was found as it is shown: with the runs of its plan where a confidence is asked. */
type Ranked = Omit<Suggestion, 'tried'> & {
  readonly margins: LimitMargins;
  readonly draws: Draws | null;
  readonly again: Tried['again'];
};

/** As found; or the best of them anew, by the runs of each where a confidence is asked, for `robust` by the result in 90% of runs. */
function* ranking(
  base: Computed,
  found: Found,
  { show, robust }: { readonly show: number; readonly robust: boolean },
): Generator<SearchProgress, Ranked[]> {
  const { baseline, objective } = found;
  const ranked = found.suggestions.map(({ tried, ...one }): Ranked => ({ ...one, ...tried, draws: null }));
  const { margins: before, draws } = baseline;
  const progress = { tried: found.tried, size: found.size };
  if (draws) {
    const wantingBefore = wanting(before, objective);
    const again: Ranked[] = [];
    for (const one of ranked.slice(0, Math.min(LOOKED_AT_AGAIN, 2 * show))) {
      const { scene, result } = one.again();
      const context = contextOf(scene, result);
      const drawn = yield* told(drawingRuns(context), progress);
      const margins = marginsOf(context, confidenceOf(context, drawn));
      again.push({ ...one, margins, draws: drawn, gain: wantingBefore - wanting(margins, objective) });
    }
    return again
      .filter(({ gain, margins }) => gain > LEAST_GAIN && isHarmless(margins, before))
      .sort(byWorth);
  }
  if (!robust) return ranked;
  const badBefore = yield* told(wantingOnBadDays(base.scene, base.result, objective), progress);
  const again: Ranked[] = [];
  for (const one of ranked.slice(0, LOOKED_AT_AGAIN)) {
    const { scene, result } = one.again();
    const bad = yield* told(wantingOnBadDays(scene, result, objective), progress);
    again.push({ ...one, gain: badBefore - bad });
  }
  return again.filter(({ gain }) => gain > 0).sort(byWorth);
}

/** Steps of another kind, told as `progress`. */
function* told<P, T>(steps: Generator<unknown, T>, progress: P): Generator<P, T> {
  let step = steps.next();
  for (; !step.done; step = steps.next()) yield progress;
  return step.value;
}

/** What is found so far, best first. */
export type Found = {
  /** How far the plan meets its limits as it is, and what of that was to be improved. */
  readonly baseline: FirstBaseline;
  readonly objective: Objective;
  readonly suggestions: readonly Suggestion[];
  readonly tried: number;
  readonly size: number;
};

/** Sets that are grown further at each size, and fixes that they are grown by. */
const BEAM = 12;
const POOL = 48;
/** Fixes tried between two pauses. */
const PAUSE = 8;

type Search = SuggestOptions & {
  readonly base: Computed;
  readonly baseline: FirstBaseline;
  readonly objective: Objective;
  readonly wantingBefore: number;
  readonly found: Suggestion[];
  tried: number;
};

/**
 * Tries every single fix. Then, for sets, joins each of the best sets of one size with each of the best fixes, up
 * to `most` fixes, and computes every set as one plan. It pauses as it goes: what it has found at any pause makes advice. The
 * same plan gives the same answer.
 */
function* suggesting(base: Computed, options: SuggestOptions): Generator<Found, Found> {
  const baseline = firstBaseline(evaluatorOf(base));
  const objective = objectiveFor(baseline.margins, options.counts);
  const wantingBefore = wanting(baseline.margins, objective);
  const search: Search = { ...options, base, baseline, objective, wantingBefore, found: [], tried: 0 };
  const singles = yield* trySingles(search);
  const pool = bestOfEach(singles, byGain)
    .slice(0, POOL)
    .flatMap(({ fixes }) => fixes);
  let beam = beamOf(singles);
  for (let size = 2; size <= (options.most ?? 1); size++) {
    const grown = yield* grow(search, beam, pool, size);
    if (size === 2) grown.push(...(yield* assignRooms(search, singles)));
    beam = beamOf(grown);
  }
  return foundSoFar(search, options.most ?? 1);
}

function* trySingles(search: Search): Generator<Found, Suggestion[]> {
  const tried: Suggestion[] = [];
  const { base, baseline, objective } = search;
  const focus = focusOf(base.scene, base.result, baseline.margins, objective);
  for (const fix of fixesOf(base, focus)) {
    const made = attempt(search, baseline, [fix]);
    if (made) tried.push(made);
    if (search.tried % PAUSE === 0) yield foundSoFar(search, 1);
  }
  return tried;
}

function* grow(
  search: Search,
  beam: readonly Suggestion[],
  pool: readonly Fix[],
  size: number,
): Generator<Found, Suggestion[]> {
  const seen = new Set<string>();
  const grown: Suggestion[] = [];
  for (const { fixes, gain } of beam) {
    const set = search.baseline.evaluator.commit(fixes.flatMap(({ edits }) => edits));
    if ('faults' in set) continue;
    const baseline = baselineOf(evaluatorOf(set), search.baseline.allowances);
    for (const fix of pool) {
      const key = keyOfSet([...fixes, fix]);
      if (seen.has(key) || !canJoin(fixes, fix, search.base.plan)) continue;
      seen.add(key);
      const made = attempt(search, baseline, [...fixes, fix], gain);
      if (made) grown.push(made);
      if (search.tried % PAUSE === 0) yield foundSoFar(search, size);
    }
  }
  return grown;
}

/** Up to so many fixes that put one player into one room are joined each with each. */
const ALL_ROOMS = 24;

/** Who gets which room or booth: every two of them, where there are not too many. */
function* assignRooms(search: Search, singles: readonly Suggestion[]): Generator<Found, Suggestion[]> {
  const moved = singles.filter(({ fixes: [fix] }) => fix?.kind === 'other-room');
  const best = bestOfEach(moved, byGain);
  if (best.length > ALL_ROOMS) return [];
  const pool = best.flatMap(({ fixes }) => fixes);
  return yield* grow(search, best, pool, 2);
}

/** The last of the fixes on a plan in which the others have been made; each must do something for the whole. */
function attempt(
  search: Search,
  baseline: Baseline,
  fixes: readonly Fix[],
  gainBefore = 0,
): Suggestion | null {
  const { objective, minutes = MINUTES, wantingBefore, found } = search;
  search.tried++;
  const tried = tryFix(baseline, fixes.at(-1) as Fix, objective);
  if (!tried) return null;
  const made = { fixes, minutes: minutesOf(fixes, minutes), gain: wantingBefore - tried.wanting, tried };
  const isWorthIt = made.gain > Math.max(0, gainBefore) + LEAST_GAIN;
  if (isWorthIt && isHarmless(tried.margins, search.baseline.margins)) found.push(made);
  return made;
}

const foundSoFar = ({ found, tried, baseline, objective }: Search, size: number): Found => ({
  baseline,
  objective,
  get suggestions() {
    return bestOfEach(found, byWorth);
  },
  tried,
  size,
});

/** Sets from which larger ones are grown: whatever does most, harmless yet or not. */
const beamOf = (tried: readonly Suggestion[]): Suggestion[] => bestOfEach(tried, byGain).slice(0, BEAM);

const MAKERS: Readonly<Record<FixKind, FixMaker>> = {
  'high-pass': mics.filterFixes,
  softer: people.softerFixes,
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
  'move-player': people.movePlayerFixes,
  'place-baffle': building.placeBaffleFixes,
  absorption: building.absorptionFixes,
  'swap-players': people.swapPlayersFixes,
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

/** Enough to rank by: the 10th percentile of 60 runs is the seventh from below. */
const DRAWS = 60;
const UNLUCKY = 0.1;

/** What is wanting, dB, where each margin is the 10th percentile of its runs within the plan's tolerance and by its seed. */
export function* wantingOnBadDays(scene: Scene, result: Transfer, objective: Objective) {
  return wanting(yield* unluckyMargins(contextOf(scene, result), UNLUCKY, DRAWS), objective);
}

/** Advice as data alone: what formats show, and a script can write down. */
type PlainFix = Pick<Fix, 'kind' | 'about'> & {
  /** Settings of the plan and what they are set to, as one would write it; null removes one. */
  readonly edits: readonly { readonly path: Path; readonly value: string | null }[];
};

export type PlainSuggestion = Omit<SuggestionSummary, 'fixes'> & { readonly fixes: readonly PlainFix[] };
export type PlainAdvice = Omit<Advice, 'suggestions'> & { readonly suggestions: readonly PlainSuggestion[] };

export const plainAdvice = (advice: Advice): PlainAdvice => ({
  ...advice,
  suggestions: advice.suggestions.map((one) => ({
    ...one,
    fixes: one.fixes.map(({ kind, about, edits }) => ({
      kind,
      about,
      edits: edits.map(({ path, value }) => ({ path, value: value && plainInline(value) })),
    })),
  })),
});

export type Helped = {
  readonly mic: string;
  /** S/B as judged, dB; null where there is none. */
  readonly before: number | null;
  /** Whether it was measured; what comes after a fix never was. Null without measured levels. */
  readonly basis: Basis | null;
  readonly after: number | null;
  readonly unweightedBefore: number | null;
  readonly unweightedAfter: number | null;
};

/** A limit that was missed and is less so, or met: what it is about, and its margins, dB. */
export type Improved = {
  readonly kind: CriterionKind;
  /** Part, player or microphone; two where it sets them side by side. */
  readonly about: readonly string[];
  readonly before: number;
  readonly after: number;
};

export type SuggestionSummary = {
  /** One sentence a fix. */
  readonly words: readonly string[];
  readonly fixes: readonly Fix[];
  readonly minutes: number;
  /** dB less that is wanting: of the whole plan, or of what was asked for. */
  readonly gain: number;
  /** Sums of shortfalls, dB. */
  readonly shortfall: readonly [before: number, after: number];
  /** The worst margins, dB; null where nothing is judged. */
  readonly worst: readonly [before: number | null, after: number | null];
  readonly helps: readonly Helped[];
  /** What is not S/B of a microphone, most improved first. */
  readonly improves: readonly Improved[];
  readonly costs: readonly Regression[];
};

export type Advice = {
  readonly title: string;
  readonly margins: LimitMargins;
  /** Whether any limit of what was asked for is judged. */
  readonly asked: boolean;
  /** What is wanting of what was asked for, dB. */
  readonly wanting: number;
  /** Best first. */
  readonly suggestions: readonly SuggestionSummary[];
  /** How many more suggestions there are than are shown. */
  readonly more: number;
  /** Plans that were computed for it, and whether the search came to its end. */
  readonly tried: number;
  readonly whole: boolean;
  /** The share of runs in which margins are met, where the plan asks one; null where they are without tolerance. */
  readonly confidence: number | null;
};

/** Losses smaller than this are no cost, dB. */
const LEAST_COST = 0.1;
type Asked = Pick<Search, 'base' | 'baseline'>;

function summaries(asked: Asked, suggestions: readonly Ranked[]): SuggestionSummary[] {
  const { base, baseline } = asked;
  const before = judge(base.scene, base.result, [], baseline.draws ?? undefined);
  return suggestions.map((one) => summaryOf(asked, before, one));
}

function summaryOf(
  { base, baseline }: Asked,
  before: Report,
  { fixes, minutes, gain, margins, draws, again }: Ranked,
): SuggestionSummary {
  const { scene, result } = again();
  const after = judge(scene, result, [], draws ?? undefined);
  const sides = [before, after].map((report) => ({ name: '', tree: base.tree, report }));
  return {
    words: wordsOf(base, fixes),
    ...{ fixes, minutes, gain },
    shortfall: [baseline.margins.shortfall, margins.shortfall],
    worst: [baseline.margins.worst, margins.worst],
    helps: helpedBy(before, after),
    improves: improvedBy(baseline.margins, margins),
    costs: regressions(compare(sides), 0, LEAST_COST),
  };
}

/** Each fix is described on the plan in which those before it have been made. */
function wordsOf(base: Computed, fixes: readonly Fix[]): string[] {
  let now = base;
  return fixes.map((fix) => {
    const next = evaluatorOf(now).commit(fix.edits);
    const after = 'faults' in next ? now : next;
    const words = fix.say(now.scene, after.scene);
    now = after;
    return words;
  });
}

function improvedBy(before: LimitMargins, after: LimitMargins): Improved[] {
  const marginsAfter = new Map(after.rows.map((row) => [keyOf(row), row]));
  const rows = before.rows.flatMap((row): Improved[] => {
    const { kind, about, margin } = row;
    const later = marginsAfter.get(keyOf(row)) ?? row;
    if (kind === 'signal-to-bleed' || margin >= 0) return [];
    const [was, is] = [row, later].map((one) => shownMargin(one)) as [number, number];
    return is - was < LEAST_COST ? [] : [{ kind, about, before: was, after: is }];
  });
  return rows.sort((a, b) => b.after - b.before - (a.after - a.before));
}

/** What is only met or missed counts as met by 0 dB. */
const shownMargin = ({ kind, about, margin }: MarginRow): number =>
  criterionOf(kind).unit === null ? Math.min(0, countedMargin({ kind, about, margin })) : margin;

/** Most helped first. */
function helpedBy(before: Report, after: Report): Helped[] {
  const later = micsAsNamed(after);
  const rows = micsAsNamed(before).flatMap((one): Helped[] => {
    const other = later.find(({ name }) => name === one.name);
    const changed = (other?.signalToBleed ?? 0) - (one.signalToBleed ?? 0);
    if (one.purpose !== 'parts' || !other || changed < LEAST_COST) return [];
    const helped = { mic: one.name, before: one.signalToBleed, basis: one.basis, after: other.signalToBleed };
    const { signalToBleedUnweighted: unweightedBefore } = one;
    return [{ ...helped, unweightedBefore, unweightedAfter: other.signalToBleedUnweighted }];
  });
  return rows.sort((a, b) => (b.after ?? 0) - (b.before ?? 0) - ((a.after ?? 0) - (a.before ?? 0)));
}

type Suggestion = {
  readonly fixes: readonly Fix[];
  readonly minutes: number;
  /** How much less is wanting than before, dB. */
  readonly gain: number;
  readonly tried: Tried;
};

export type Minutes = Readonly<Record<FixKind, number>>;
/** Gains smaller than this are none, dB. */
export const LEAST_GAIN = 0.05;
const ROUNDING = 1e-9;

export const minutesOf = (fixes: readonly Fix[], minutes: Minutes = MINUTES): number =>
  fixes.reduce((sum, { kind }) => sum + minutes[kind], 0);

/** Does not make the worst margin worse, unless it stays clear, and parts nobody who is to see another. */
export function isHarmless(after: LimitMargins, before: LimitMargins): boolean {
  if ((after.worst ?? 0) < Math.min(before.worst ?? 0, CLEAR) - ROUNDING) return false;
  return missedWithoutFigure(after) <= missedWithoutFigure(before);
}

const missedWithoutFigure = ({ rows }: LimitMargins): number =>
  rows.filter(({ kind, margin }) => margin < 0 && criterionOf(kind).unit === null).length;

type Ordered = Pick<Suggestion, 'fixes' | 'minutes' | 'gain'>;

/** What it does for each minute; of equals the quicker. */
function byWorth(a: Ordered, b: Ordered): number {
  return b.gain / b.minutes - a.gain / a.minutes || a.minutes - b.minutes || byGentleness(a, b);
}

/** The less is wanting the better; of equals the quicker. */
function byGain(a: Ordered, b: Ordered): number {
  return b.gain - a.gain || a.minutes - b.minutes || byGentleness(a, b);
}

/** Makers give gentle fixes before drastic ones. */
const byGentleness = (a: Ordered, b: Ordered): number =>
  a.fixes.reduce((sum, { id }, i) => sum || id - (b.fixes[i]?.id ?? -1), 0);

/** What is moved, not how far: the same for all fixes of a kind about the same. */
const themeOf = (fixes: readonly Fix[]): string =>
  fixes
    .map(({ kind, about }) => [kind, ...about].join('\n'))
    .sort()
    .join('\n\n');

/** The fixes themselves, in whatever order. */
const keyOfSet = (fixes: readonly Fix[]): string =>
  fixes
    .map(({ id }) => id)
    .sort((a, b) => a - b)
    .join(' ');

/** The best of each theme, in an order. */
function bestOfEach(all: readonly Suggestion[], order: typeof byGain): Suggestion[] {
  const themes = new Set<string>();
  return [...all].sort(order).filter(({ fixes }) => {
    const theme = themeOf(fixes);
    if (themes.has(theme)) return false;
    themes.add(theme);
    return true;
  });
}
