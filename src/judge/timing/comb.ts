/** What comes of adding a sound and its later copy: a comb of peaks and dips. */

/** A deeper ripple is not told apart, dB. */
export const DEEPEST_RIPPLE = 30;

/** Delays below are none, s: their first notch lies far above hearing. */
const NO_DELAY = 1e-7;

export type Comb = {
  /** From peak to dip, dB, at most 30. */
  readonly ripple: number;
  /** True where it is more than 30 dB. */
  readonly over: boolean;
  /** The first two notches in Hz, as far apart as all that follow; null without a delay. */
  readonly notches: readonly [number, number] | null;
};

/**
 * `ratio` is the amplitude of the one over the other, `delay` in s. With one of the two upside down, as on the rear lobe of a
 * microphone, the notches lie at 0 and 1/Δt instead of 1/(2Δt) and 3/(2Δt). Everest and Pohlmann, Master Handbook of
 * Acoustics, p. 201.
 */
export function combOf(ratio: number, delay: number, flipped: boolean): Comb {
  const depth = ripple(ratio);
  const over = depth > DEEPEST_RIPPLE;
  return { ripple: over ? DEEPEST_RIPPLE : depth, over, notches: notchesOf(Math.abs(delay), flipped) };
}

/** `20·lg((1+g)/|1−g|)`, g the smaller amplitude over the larger; infinite for equals. */
function ripple(ratio: number): number {
  const g = ratio > 1 ? 1 / ratio : ratio;
  return 20 * Math.log10((1 + g) / (1 - g));
}

function notchesOf(delay: number, flipped: boolean): Comb['notches'] {
  if (delay < NO_DELAY) return null;
  return flipped ? [0, 1 / delay] : [1 / (2 * delay), 3 / (2 * delay)];
}
