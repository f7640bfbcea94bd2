/** What a screen leaves of a way's energy: `τ + (1−τ)·min(1, past)`. Rounding may take a sum of waves below 0. */
export const leftPast = (tau: number, past: number): number =>
  tau + (1 - tau) * Math.min(1, Math.max(0, past));
