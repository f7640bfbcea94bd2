/** One thing that plans are compared by, and what each reaches of it. */
import type { Basis } from '../judge/basis.ts';
import type { Verdict } from '../judge/report.ts';

export type ComparedKind =
  | 'signal-to-bleed'
  | 'three-to-one'
  | 'ghost'
  | 'editable'
  | 'hears'
  | 'sees'
  | 'session';

/** What one plan reaches. */
export type Reached = {
  /** dB, a ratio for `three-to-one`, minutes for `session`; null where there is none. */
  readonly figure: number | null;
  readonly verdict: Verdict | null;
  /** Says it where no figure does, or beside the figure. */
  readonly words: string | null;
  /** The lower the worse, for what has no figure that tells; null where it cannot be told. */
  readonly rank: number | null;
  /** Whether what it rests on was measured; null without readings of the day. */
  readonly basis: Basis | null;
};

export type ComparedRow = {
  readonly kind: ComparedKind;
  /** Whom it is about, as the plans name them. */
  readonly about: readonly string[];
  /** By plan; null where a plan has nothing of the kind. */
  readonly reached: readonly (Reached | null)[];
  /** Figure less that of the first plan; null where one of the two has none. The first is 0 or null. */
  readonly changes: readonly (number | null)[];
};
