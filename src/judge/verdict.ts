/** How far a limit is met, and the word for it. */

export type Verdict = 'clear' | 'marginal' | 'short';

/** Margin from which a limit counts as clearly met, dB. */
export const CLEAR = 3;

/** What rounding may take from a margin, dB: a limit met to the dot is met. */
const ROUNDING = 1e-9;

export function verdictOf(margin: number): Verdict {
  if (margin >= CLEAR - ROUNDING) return 'clear';
  return margin >= -ROUNDING ? 'marginal' : 'short';
}
