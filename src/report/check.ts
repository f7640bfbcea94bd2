/** Which limits plans meet: what is missed first, plan by plan, and the count of all at the end. */
import type { Finding } from '../finding.ts';
import type { Criterion } from '../judge/criteria.ts';
import type { ReadingsSummary } from '../judge/report.ts';
import type { Regression } from '../suggest/compare.ts';
import { limitSentence, regressionWords } from './criteria.ts';
import { headline } from './lead.ts';
import { type Keyed, prose, type Section, type View } from './view.ts';
import { cautionWords, counted, readingsLines } from './words.ts';

// What `check` knows of each plan, as plain values: the only thing that its formats read.

/** A position in a file; line and column count from 1, in characters, and are null where only the file is known. */
export type Place = {
  /** As a relative path with `/`, from where the command runs, wherever there is one. */
  readonly file: string;
  readonly line: number | null;
  readonly column: number | null;
};

export type PlacedLimit = Criterion & { readonly place: Place };
/** `shown` is the finding with its line of the plan and a caret, ready to print. */
export type PlacedFinding = Finding & { readonly place: Place; readonly shown: string };

/** Something that is worse than it was, at the setting that it is about. */
export type PlacedRegression = Regression & { readonly place: Place };

/** The plan as it was before, which it is judged against. */
export type Former = {
  /** The folder, revision or file of results in which it was looked for; with the versions where these differ. */
  readonly name: string;
  /** Versions that its values are of. */
  readonly model: number;
  readonly catalogue: string;
  readonly is: 'the same' | 'changed' | 'absent' | 'invalid';
  /** What is worse now; null where there is nothing to compare with, so that the limits count. */
  readonly regressions: readonly PlacedRegression[] | null;
};

export type CheckedPlan = {
  /** As it was named on the command line. */
  readonly name: string;
  readonly title: string;
  /** That it took. */
  readonly seconds: number;
  /** Worst first; none where the plan is invalid. */
  readonly limits: readonly PlacedLimit[];
  /** Measured levels that it was judged by, or null. */
  readonly readings: ReadingsSummary | null;
  /** Null where the plan is judged by its limits alone. */
  readonly former: Former | null;
  /** Why the plan is invalid, by place; none where it is valid. */
  readonly faults: readonly PlacedFinding[];
  /** What is odd about a valid plan, by place. */
  readonly warnings: readonly PlacedFinding[];
};

export type Check = {
  /** As they were named. */
  readonly plans: readonly CheckedPlan[];
  /** Whether a limit met by a hair counts as missed. */
  readonly strict: boolean;
};

/** In the order of the summary. */
const OUTCOMES = ['met', 'no worse', 'missed', 'worse', 'invalid'] as const;
export type Outcome = (typeof OUTCOMES)[number];
export const isPassed = (outcome: Outcome): boolean => outcome === 'met' || outcome === 'no worse';

export function outcomeOf({ limits, faults, former }: CheckedPlan, strict: boolean): Outcome {
  if (faults.length > 0) return 'invalid';
  if (former?.regressions) return former.regressions.length > 0 ? 'worse' : 'no worse';
  return limits.some((row) => isMissed(row, strict)) ? 'missed' : 'met';
}

/** Strict, a limit met by a hair is missed. */
export function statusOf(
  { verdict }: Criterion,
  strict: boolean,
): 'missed' | 'marginal' | 'clear' | 'not judged' {
  if (verdict === null) return 'not judged';
  return verdict === 'short' || (strict && verdict === 'marginal') ? 'missed' : verdict;
}

export const isMissed = (row: Criterion, strict: boolean): boolean => statusOf(row, strict) === 'missed';

/** With `all`, limits that are clearly met are listed, too; with `quiet` only plans that fail are. */
export function checkView(
  check: Check,
  { all, quiet }: Pick<Told, 'all'> & { readonly quiet: boolean },
): View {
  const { plans, strict } = check;
  const shown = quiet ? plans.filter((plan) => !isPassed(outcomeOf(plan, strict))) : plans;
  const sections = shown.map((plan, i) => planSection(plan, `plan-${i + 1}`, { strict, all }));
  const total = { id: 'summary', title: '', blocks: prose('remarks', [summary(check)]) };
  return { title: '', lead: [], sections: quiet ? sections : [...sections, total] };
}

/** All plans in one line: "3 plans: 1 met, 1 missed, 1 invalid". */
export function summary({ plans, strict }: Check): string {
  const outcomes = plans.map((plan) => outcomeOf(plan, strict));
  const counts = OUTCOMES.map((outcome) => ({
    outcome,
    n: outcomes.filter((one) => one === outcome).length,
  }));
  const told = counts.filter(({ n }) => n > 0).map(({ outcome, n }) => `${n} ${outcome}`);
  return `${counted(plans.length, 'plan')}: ${told.join(', ')}`;
}

type Told = { readonly strict: boolean; readonly all: boolean };

function planSection(plan: CheckedPlan, id: string, options: Told): Section {
  const { name, title, readings, former, limits, faults, warnings } = plan;
  const head = `${name}${title === '' ? '' : ` (${title})`}: ${outcomeWords(plan, options.strict)}`;
  const bases = limits.map(({ basis }) => basis);
  return {
    id,
    title: '',
    blocks: [
      ...prose('remarks', [{ text: head, is: 'strong' }]),
      ...prose('notes', readingsLines(readings, bases)),
      ...faults.map(({ shown }) => ({ kind: 'verbatim', lines: shown.trimEnd().split('\n') }) as const),
      warningsBlock(warnings),
      regressionsBlock(former),
      limitsBlock(limits, options),
    ],
  };
}

const warningsBlock = (warnings: readonly PlacedFinding[]): Keyed => ({
  kind: 'each',
  least: 'not judged'.length,
  entries: warnings.map((one) => ({ key: { text: 'warning', is: 'marginal' }, text: cautionWords(one) })),
});

const regressionsBlock = (former: Former | null): Keyed => ({
  kind: 'each',
  least: 'not judged'.length,
  entries: (former?.regressions ?? []).map((one) => ({
    key: { text: 'worse', is: 'short' },
    text: regressionWords(one),
  })),
});

function outcomeWords(plan: CheckedPlan, strict: boolean): string {
  const outcome = outcomeOf(plan, strict);
  if (outcome === 'invalid') return `invalid, ${counted(plan.faults.length, 'error')}`;
  const judged = plan.limits.filter(({ verdict }) => verdict !== null);
  const missed = judged.filter((row) => isMissed(row, strict));
  const limits =
    missed.length > 0
      ? `${missed.length} of ${counted(judged.length, 'limit')} missed: ${headline(plan.limits)}`
      : judged.length === 0
        ? 'no limits judged'
        : `${counted(judged.length, 'limit')} met`;
  return [...formerWords(plan.former), limits].join('; ');
}

function formerWords(former: Former | null): string[] {
  if (!former) return [];
  const { name, is, regressions } = former;
  if (regressions === null)
    return [`${is === 'absent' ? 'not' : 'invalid'} in ${name}, so judged by its limits`];
  if (is === 'the same') return [`unchanged since ${name}`];
  return [regressions.length === 0 ? `no worse than in ${name}` : `worse than in ${name}`];
}

function limitsBlock(limits: readonly PlacedLimit[], { strict, all }: Told): Keyed {
  const shown = all ? limits : limits.filter(({ verdict }) => verdict !== 'clear');
  const rest = limits.length - shown.length;
  const entries = shown.map((row) => {
    const text = statusOf(row, strict);
    return { key: { text, is: LOOKS[text] }, text: limitSentence(row) };
  });
  const more = { key: 'clear', text: `${counted(rest, 'limit')} met (--all lists them)` };
  return { kind: 'each', least: 'not judged'.length, entries: [...entries, ...(rest > 0 ? [more] : [])] };
}

const LOOKS = { missed: 'short', marginal: 'marginal', clear: 'clear', 'not judged': 'unjudged' } as const;
