/** A limit and what the plan reaches of it. */
import type { Path } from '../../finding.ts';
import type { Basis } from '../basis.ts';
import type { Verdict } from '../verdict.ts';

export type LimitKind =
  | 'signal-to-bleed'
  | 'three-to-one'
  | 'ghost'
  | 'editable'
  | 'see-each-other'
  | 'hear'
  | 'session-length';

export type LimitRow = {
  readonly kind: LimitKind;
  /** Whom it is about, as the plan names them: one microphone, or several things that it sets side by side. */
  readonly about: readonly string[];
  /** The entry of the plan that one would change. */
  readonly path: Path;
  /** dB, minutes for `session-length`, a ratio for `three-to-one`; null where there is no figure. */
  readonly reached: number | null;
  readonly limit: number | null;
  /** How far it is met, dB; null where it cannot be counted so. */
  readonly margin: number | null;
  /** Null where it could not be judged. */
  readonly verdict: Verdict | null;
  /** What set the limit, why there is no figure, or why it could not be judged: in words, or null. */
  readonly remark: string | null;
  /** Whether what it rests on was measured; null without readings of the day. */
  readonly basis: Basis | null;
};

export type Unfounded = Omit<LimitRow, 'basis'>;
