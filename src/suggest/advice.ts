/** What is found, as advice: ranked where luck counts, each fix in words, with what it helps and costs. */
import { type Path, takes } from '../finding.ts';
import type { CriterionKind, LimitMargins, MarginRow } from '../judge/criteria.ts';
import { contextOf, countedMargin, criterionOf, keyOf, marginsOf } from '../judge/criteria.ts';
import { type Judgement, judgement } from '../judge/judge.ts';
import { micsAsNamed } from '../judge/signal-to-bleed.ts';
import { confidenceOf, type Draws, drawingRuns, unluckyMargins } from '../judge/tolerance.ts';
import type { Basis } from '../judge/verdict.ts';
import { plainInline } from '../plan/edit.ts';
import type { Scene } from '../scene/scene.ts';
import { finished, inStretches, type StepOptions } from '../steps.ts';
import type { Transfer } from '../transfer/transfer.ts';
import { LEAST_TOLD, lossesBetween, type Regression } from './compare.ts';
import { A_SESSION, type Computed, evaluatorOf, type Tried } from './evaluate.ts';
import type { Fix } from './fixes.ts';
import { isWorthwhile, type Objective, type Wanting, type Worth, wanting, worthOf } from './objective.ts';
import type { Asked, Found, OutOfReach, Suggestion } from './search.ts';
import { byWorthOf, searching } from './search.ts';

export type SuggestOptions = Asked & {
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
  const steps = searching(base, options);
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
    objective,
    asked: margins.rows.some(objective.counts),
    wanting: wantsOf(margins, objective),
    outOfReach: found.outOfReach,
    isAnyInReach: objective.outOfReach.size === found.outOfReach.length,
    suggestions: summaries({ base, baseline, objective }, shown),
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
  const { baseline, objective, suggestions } = found;
  const ranked = suggestions.map(({ tried, ...one }): Ranked => ({ ...one, ...tried, draws: null }));
  const { margins: before, draws } = baseline;
  if (!draws && !robust) return ranked;
  const progress = { tried: found.tried, size: found.size };
  const badBefore = draws ? null : yield* told(marginsOnBadDays(base.scene, base.result), progress);
  const again: Ranked[] = [];
  for (const one of ranked.slice(0, draws ? Math.min(LOOKED_AT_AGAIN, 2 * show) : LOOKED_AT_AGAIN)) {
    const { scene, result } = one.again();
    if (badBefore) {
      const bad = yield* told(marginsOnBadDays(scene, result), progress);
      again.push({ ...one, worth: worthOf(badBefore, bad, objective) });
    } else {
      const context = contextOf(scene, result);
      const drawn = yield* told(drawingRuns(context), progress);
      const margins = marginsOf(context, confidenceOf(context, drawn));
      again.push({ ...one, margins, draws: drawn, worth: worthOf(before, margins, objective) });
    }
  }
  return again.filter(({ worth }) => isWorthwhile(worth)).sort(byWorthOf);
}

/** Steps of another kind, told as `progress`. */
function* told<P, T>(steps: Generator<unknown, T>, progress: P): Generator<P, T> {
  let step = steps.next();
  for (; !step.done; step = steps.next()) yield progress;
  return step.value;
}

/** Enough to rank by: the 10th percentile of 60 runs is the seventh from below. */
const DRAWS = 60;
const UNLUCKY = 0.1;

/** Each margin is the 10th percentile of its runs within the plan's tolerance and by its seed. */
export const marginsOnBadDays = (scene: Scene, result: Transfer) =>
  unluckyMargins(contextOf(scene, result), UNLUCKY, DRAWS);

/** Advice as data alone: what formats show, and a script can write down. */
type PlainFix = Pick<Fix, 'kind' | 'about'> & {
  /** Settings of the plan and what they are set to, as one would write it; null removes one. */
  readonly edits: readonly { readonly path: Path; readonly value: string | null }[];
};

export type PlainSuggestion = Omit<SuggestionSummary, 'fixes'> & { readonly fixes: readonly PlainFix[] };
export type PlainAdvice = Omit<Advice, 'objective' | 'suggestions'> & {
  readonly suggestions: readonly PlainSuggestion[];
};

export const plainAdvice = ({ objective: _, ...advice }: Advice): PlainAdvice => ({
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
  /** Sizes of the same fix that do as much. */
  readonly asGood: readonly string[];
  readonly worth: Worth;
  /** What is wanting within reach: of the whole plan, or of what was asked for. */
  readonly wanting: readonly [before: Wants, after: Wants];
  /** The worst margins, dB; null where nothing is judged. */
  readonly worst: readonly [before: number | null, after: number | null];
  readonly helps: readonly Helped[];
  /** What is not S/B of a microphone, most improved first. */
  readonly improves: readonly Improved[];
  readonly costs: readonly Regression[];
};

/** Limits that are short, and by how much: mics (S/B), dB; all others, each dB of any kind alike. */
export type Wants = Omit<Wanting, 'short'> & { readonly limits: number };

/** Without what a fix leaves unjudged, as a muted mic. */
function stillJudged({ rows }: LimitMargins, after: LimitMargins): Pick<LimitMargins, 'rows'> {
  const judged = new Set(after.rows.map(keyOf));
  return { rows: rows.filter((row) => judged.has(keyOf(row))) };
}

/** Of limits as they are asked, whatever more is aimed at. */
function wantsOf(margins: Pick<LimitMargins, 'rows'>, objective: Objective): Wants {
  const { short, mics, others } = wanting(margins, { ...objective, upTo: 0 });
  return { limits: short.size, mics, others };
}

export type Advice = {
  readonly title: string;
  readonly margins: LimitMargins;
  readonly objective: Objective;
  /** Whether any limit of what was asked for is judged. */
  readonly asked: boolean;
  /** What is wanting within reach, of what was asked for. */
  readonly wanting: Wants;
  readonly outOfReach: readonly OutOfReach[];
  /** Where no limit is within reach, all count as if they were. */
  readonly isAnyInReach: boolean;
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

type Sought = Pick<Found, 'baseline' | 'objective'> & { readonly base: Computed };

function summaries(asked: Sought, suggestions: readonly Ranked[]): SuggestionSummary[] {
  const { base, baseline } = asked;
  const before = judgement(base.scene, base.result, baseline.draws ?? undefined);
  return suggestions.map((one) => summaryOf(asked, before, one));
}

function summaryOf(
  { base, baseline, objective }: Sought,
  before: Judgement,
  { fixes, minutes, asGood, worth, margins, draws, again }: Ranked,
): SuggestionSummary {
  const { scene, result } = again();
  const after = judgement(scene, result, draws ?? undefined);
  return {
    words: wordsOf(base, fixes),
    ...{ fixes, minutes, asGood, worth },
    wanting: [wantsOf(stillJudged(baseline.margins, margins), objective), wantsOf(margins, objective)],
    worst: [baseline.margins.worst, margins.worst],
    helps: helpedBy(before, after),
    improves: improvedBy(baseline.margins, margins),
    costs: lossesBetween(base.tree, before, after),
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
    return is - was < LEAST_TOLD ? [] : [{ kind, about, before: was, after: is }];
  });
  return rows.sort((a, b) => b.after - b.before - (a.after - a.before));
}

/** What is only met or missed counts as met by 0 dB. */
const shownMargin = ({ kind, about, margin }: MarginRow): number =>
  criterionOf(kind).unit === null ? Math.min(0, countedMargin({ kind, about, margin })) : margin;

/** Most helped first. */
function helpedBy(before: Judgement, after: Judgement): Helped[] {
  const later = micsAsNamed(after);
  const rows = micsAsNamed(before).flatMap((one): Helped[] => {
    const other = later.find(({ name }) => name === one.name);
    const changed = (other?.signalToBleed ?? 0) - (one.signalToBleed ?? 0);
    if (one.purpose !== 'parts' || !other || changed < LEAST_TOLD) return [];
    const helped = { mic: one.name, before: one.signalToBleed, basis: one.basis, after: other.signalToBleed };
    const { signalToBleedUnweighted: unweightedBefore } = one;
    return [{ ...helped, unweightedBefore, unweightedAfter: other.signalToBleedUnweighted }];
  });
  return rows.sort((a, b) => (b.after ?? 0) - (b.before ?? 0) - ((a.after ?? 0) - (a.before ?? 0)));
}
