/** Which limits plans meet: what is missed first, plan by plan, and the count of all at the end. */
import type { Finding } from '../finding.ts';
import type { Criterion } from '../judge/criteria.ts';
import type { ReadingsSummary } from '../judge/report.ts';
import { limitSentence } from './criteria.ts';
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

export type Outcome = 'met' | 'missed' | 'invalid';

export function outcomeOf({ limits, faults }: CheckedPlan, strict: boolean): Outcome {
  if (faults.length > 0) return 'invalid';
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

/** With `all`, limits that are clearly met are listed, too. */
export const checkView = (check: Check, { all }: { readonly all: boolean }): View => ({
  title: '',
  lead: [],
  sections: [
    ...check.plans.map((plan, i) => planSection(plan, `plan-${i + 1}`, { strict: check.strict, all })),
    { id: 'summary', title: '', blocks: prose('remarks', [summary(check)]) },
  ],
});

/** All plans in one line: "3 plans: 1 met, 1 missed, 1 invalid". */
export function summary({ plans, strict }: Check): string {
  const order: readonly Outcome[] = ['met', 'missed', 'invalid'];
  const outcomes = plans.map((plan) => outcomeOf(plan, strict));
  const counts = order.map((outcome) => ({ outcome, n: outcomes.filter((one) => one === outcome).length }));
  const told = counts.filter(({ n }) => n > 0).map(({ outcome, n }) => `${n} ${outcome}`);
  return `${counted(plans.length, 'plan')}: ${told.join(', ')}`;
}

type Told = { readonly strict: boolean; readonly all: boolean };

function planSection(plan: CheckedPlan, id: string, options: Told): Section {
  const { name, title, readings, limits, faults, warnings } = plan;
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
      limitsBlock(limits, options),
    ],
  };
}

const warningsBlock = (warnings: readonly PlacedFinding[]): Keyed => ({
  kind: 'each',
  least: 'not judged'.length,
  entries: warnings.map((one) => ({ key: { text: 'warning', is: 'marginal' }, text: cautionWords(one) })),
});

function outcomeWords(plan: CheckedPlan, strict: boolean): string {
  const outcome = outcomeOf(plan, strict);
  if (outcome === 'invalid') return `invalid, ${counted(plan.faults.length, 'error')}`;
  const judged = plan.limits.filter(({ verdict }) => verdict !== null);
  const missed = judged.filter((row) => isMissed(row, strict));
  if (outcome === 'missed') return `${missed.length} of ${counted(judged.length, 'limit')} missed`;
  return judged.length === 0 ? 'no limits judged' : `${counted(judged.length, 'limit')} met`;
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
