/** How far a limit is met, and the word for it. */
import type { Verdict } from './report.ts';

/** Margin from which a limit counts as clearly met, dB. */
const CLEAR = 3;

export function verdictOf(margin: number): Verdict {
  if (margin >= CLEAR) return 'clear';
  return margin >= 0 ? 'marginal' : 'short';
}
