/** What `check` knows of each plan, as plain values: the only thing that its formats read. */
import type { Finding } from '../finding.ts';
import type { Criterion } from './criteria.ts';
import type { ToldReadings } from './report.ts';

/** Where something stands; line and column count from 1, in characters, and are null where only the file is known. */
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
  /** Worst first; none where the plan is broken. */
  readonly limits: readonly PlacedLimit[];
  /** Readings of the day that it was judged by, or null. */
  readonly readings: ToldReadings | null;
  /** Why the plan is broken, by place; none where it stands. */
  readonly faults: readonly PlacedFinding[];
};

export type Check = {
  /** As they were named. */
  readonly plans: readonly CheckedPlan[];
  /** Whether a limit met by a hair counts as missed. */
  readonly strict: boolean;
};

export type Outcome = 'met' | 'missed' | 'broken';

export function outcomeOf({ limits, faults }: CheckedPlan, strict: boolean): Outcome {
  if (faults.length > 0) return 'broken';
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
