/** A value by band as it is written: one number for all eight, or a map of some bands. */
import { type Bands, NOMINAL_BANDS, sameInAllBands } from '../acoustics/bands.ts';

export type ByBand = number | Readonly<Record<string, number>>;

/**
 * How missing bands are found on log frequency. `decibel`: linear in the figure, which is dB; `factor`:
 * linear in its logarithm (a directivity factor Q, above 0); `linear`: in the figure; `spectrum`: as
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
