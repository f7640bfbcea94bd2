/** The eight octaves, decibels, weightings, Butterworth magnitude, value-by-band interpolation. */

/** Energy of all octaves together, unweighted. */
export const allBands = (energies: Bands): number => energies.reduce((sum, energy) => sum + energy, 0);

// Frequency weightings A, C and Z of sound level meters. IEC 61672-1.

export type Weighting = 'Z' | 'A' | 'C';

/** Gain of the A weighting in dB. IEC 61672-1, annex E (pole frequencies; 2.00 dB brings 1 kHz to 0). */
export function aWeight(hertz: number): number {
  const f2 = hertz * hertz;
  const poles = Math.sqrt((f2 + 107.7 ** 2) * (f2 + 737.9 ** 2));
  return 20 * Math.log10((12194 ** 2 * f2 * f2) / ((f2 + 20.6 ** 2) * poles * (f2 + 12194 ** 2))) + 2.0;
}

/** Gain of the C weighting in dB. IEC 61672-1, annex E. */
export function cWeight(hertz: number): number {
  const f2 = hertz * hertz;
  return 20 * Math.log10((12194 ** 2 * f2) / ((f2 + 20.6 ** 2) * (f2 + 12194 ** 2))) + 0.06;
}

const curves: Record<Weighting, (hertz: number) => number> = { Z: () => 0, A: aWeight, C: cWeight };

const weightingOf = (weighting: Weighting): Bands =>
  bands((band) => 10 ** (curves[weighting](MID_BANDS[band] ?? 0) / 10));

export const BAND_COUNT = 8;

/** Exact mid-band frequencies in hertz: 1000·10^(3n/10). IEC 61260-1. */
export const MID_BANDS: Bands = Float64Array.from(
  { length: BAND_COUNT },
  (_, i) => 1000 * 10 ** (0.3 * (i - 4)),
);

/** Energy factors of each weighting, by band. */
export const WEIGHTS: Readonly<Record<Weighting, Bands>> = {
  Z: weightingOf('Z'),
  A: weightingOf('A'),
  C: weightingOf('C'),
};

/** Sum over the bands of energies times weights. */
export function weightedSum(energies: Bands, weights: Bands): number {
  let sum = 0;
  for (let band = 0; band < energies.length; band++) sum += (energies[band] ?? 0) * (weights[band] ?? 0);
  return sum;
}

// High-pass and low-pass filters of a channel: Butterworth magnitude squared at mid-band.

/** Cut-off in Hz and slope in dB an octave; 6 dB for each order. */
export type Filter = { readonly at: number; readonly slope: number };
const orderOf = ({ slope }: Filter): number => slope / 6;

/** |H|² of a Butterworth high-pass of order n: 1/(1 + (f_c/f)^2n). */
export const highPass = (filter: Filter, hertz: number): number =>
  1 / (1 + (filter.at / hertz) ** (2 * orderOf(filter)));

/** |H|² of a Butterworth low-pass of order n: 1/(1 + (f/f_c)^2n). */
export const lowPass = (filter: Filter, hertz: number): number =>
  1 / (1 + (hertz / filter.at) ** (2 * orderOf(filter)));

/** Energy factor of a channel's filters by band; null where there is none. */
export function filterByBand(high: Filter | null, low: Filter | null): Bands | null {
  if (!high && !low) return null;
  return bands((band) => {
    const hertz = MID_BANDS[band] ?? 0;
    return (high ? highPass(high, hertz) : 1) * (low ? lowPass(low, hertz) : 1);
  });
}

// A value by band as it is written: one number for all eight, or a map of some bands.

export type ByBand = number | Readonly<Record<string, number>>;

/**
 * How missing bands are found on log frequency. `decibel`: linear in the value, which is dB; `factor`:
 * linear in its logarithm (a directivity factor Q, above 0); `linear`: in the value; `spectrum`: as
 * `decibel`, but silent beyond its ends.
 */
export type BandScale = 'decibel' | 'factor' | 'linear' | 'spectrum';

/** Bands, in nominal hertz, that were not written: what an assumptions list prints. */
export type Filled = {
  readonly interpolated: readonly number[];
  readonly held: readonly number[];
  readonly silent: readonly number[];
};

/**
 * Fills the bands that were not written. Exact mid-bands lie evenly on log frequency, so the band's number is
 * the measure. A silent band of a spectrum is −Infinity dB: no energy. A map without a band, or with a key
 * that is none, is our bug.
 */
export function byBand(value: ByBand, scale: BandScale): { readonly values: Bands; readonly filled: Filled } {
  if (typeof value === 'number') return { values: sameInAllBands(value), filled: NOTHING_FILLED };
  const known = knownBands(value, scale);
  const filled = { interpolated: [] as number[], held: [] as number[], silent: [] as number[] };
  const values = Float64Array.from(NOMINAL_BANDS, (nominal, band) => {
    const below = known.findLast((k) => k.band <= band);
    const above = known.find((k) => k.band >= band);
    if (below && above) {
      if (below !== above) filled.interpolated.push(nominal);
      return between(below, above, band);
    }
    filled[scale === 'spectrum' ? 'silent' : 'held'].push(nominal);
    return scale === 'spectrum' ? Number.NEGATIVE_INFINITY : (below ?? known[0]).value;
  });
  return { values: scale === 'factor' ? values.map(Math.exp) : values, filled };
}

type Known = { readonly band: number; readonly value: number };
const NOTHING_FILLED: Filled = { interpolated: [], held: [], silent: [] };

function between(below: Known, above: Known, band: number): number {
  if (below === above) return below.value;
  return below.value + ((above.value - below.value) * (band - below.band)) / (above.band - below.band);
}

function knownBands(value: Readonly<Record<string, number>>, scale: BandScale): readonly [Known, ...Known[]] {
  const stray = Object.keys(value).find((key) => !NOMINAL_BANDS.some((nominal) => String(nominal) === key));
  if (stray !== undefined) throw new Error(`${stray} is no octave band`);
  const [lowest, ...higher] = NOMINAL_BANDS.flatMap((nominal, band) => {
    const figure = value[nominal];
    return figure === undefined ? [] : [{ band, value: scale === 'factor' ? Math.log(figure) : figure }];
  });
  if (!lowest) throw new Error('a value by band needs at least one band');
  return [lowest, ...higher];
}

// Values by band as the catalogue of sources writes them: one number for all, or eight, 63 Hz to 8 kHz.

/** Null is silence, and stands in spectra only. */
export type RawBands = number | readonly (number | null)[];

export function eightBands(raw: RawBands): Bands {
  return bands((band) => {
    const value = typeof raw === 'number' ? raw : raw[band];
    if (typeof value !== 'number' || (typeof raw !== 'number' && raw.length !== BAND_COUNT)) {
      throw new Error('catalogue: a value by band needs one number or eight');
    }
    return value;
  });
}

/** One number for each of the eight octave bands, 63 Hz to 8 kHz. */
export type Bands = Float64Array;
/** Nominal names of the bands in hertz; computing is done at `MID_BANDS`. */
export const NOMINAL_BANDS = [63, 125, 250, 500, 1000, 2000, 4000, 8000] as const;
/** Band of 1 kHz. */
export const KILOHERTZ = 4;
/** Bands of 500 Hz and 1 kHz, over which single values are averaged. */
export const MIDDLE = [3, 4] as const;

export const middleMean = (values: ArrayLike<number>): number =>
  MIDDLE.reduce((sum, band) => sum + (values[band] ?? 0), 0) / MIDDLE.length;

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
