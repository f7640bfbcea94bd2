import type { PlainAdvice } from '../advise/plain-advice.ts';
import type { Pitfall } from '../judge/pitfalls/pitfall-kinds.ts';
import type { Report } from '../judge/report.ts';
import type { ToldReadings } from '../judge/told-readings.ts';
import type { ToleranceRow } from '../judge/tolerance/tolerance.ts';
import type { Assumption } from '../scene/notes.ts';

export type ToldTolerances = {
  readonly draws: number;
  readonly seed: number;
  readonly rows: readonly ToldTolerance[];
};

/** About one microphone or part, or about two microphones. */
export type ToldTolerance = Omit<ToleranceRow, 'name' | 'sorted'> & { readonly about: readonly string[] };

/** A report with all that stands beside it: the only thing that its formats read. */
export type Answer = Report & {
  /** The best moves; null where nobody asked for them. */
  readonly now: PlainAdvice | 'too large' | null;
  readonly pitfalls: readonly Pitfall[];
  /** Null where nobody asked for them. */
  readonly tolerances: ToldTolerances | null;
  /** The only passage that was judged; null where all were. */
  readonly passage: string | null;
  /** What the plan does not say and the answer rests on. */
  readonly assumptions: readonly Assumption[];
  /** Readings of the day that it was judged by, or null. */
  readonly readings: ToldReadings | null;
};
