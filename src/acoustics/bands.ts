/** The eight octave bands, their exact mid-bands and the weightings. IEC 61260-1, IEC 61672-1. */

/** One number for each of the eight octave bands, 63 Hz to 8 kHz. */
export type Bands = Float64Array;

export const BAND_COUNT = 8;

/** Nominal names of the bands in hertz; computing is done at `MID_BANDS`. */
export const NOMINAL_BANDS = [63, 125, 250, 500, 1000, 2000, 4000, 8000] as const;

/** Exact mid-band frequencies in hertz: 1000·10^(3n/10). IEC 61260-1. */
export const MID_BANDS: Bands = Float64Array.from(
  { length: BAND_COUNT },
  (_, i) => 1000 * 10 ** (0.3 * (i - 4)),
);

/** Half an octave as a frequency ratio: a band reaches from mid/EDGE to mid·EDGE. IEC 61260-1. */
export const BAND_EDGE = 10 ** 0.15;

/** A loop, since `Float64Array.from` takes ten times as long, and every stage makes dozens. */
export function bands(value: (band: number) => number): Bands {
  const made = new Float64Array(BAND_COUNT);
  for (let band = 0; band < BAND_COUNT; band++) made[band] = value(band);
  return made;
}

export function sameInAllBands(value: number): Bands {
  return new Float64Array(BAND_COUNT).fill(value);
}

export const decibels = (energy: number): number => 10 * Math.log10(energy);
export const energyOf = (levelDb: number): number => 10 ** (levelDb / 10);
