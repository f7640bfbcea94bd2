/** Figures by band as the catalogue of sources writes them: one number for all, or eight, 63 Hz to 8 kHz. */
import { BAND_COUNT, type Bands, bands } from '../acoustics/bands.ts';

/** Null is silence, and stands in spectra only. */
export type RawBands = number | readonly (number | null)[];

export function eightBands(raw: RawBands): Bands {
  return bands((band) => {
    const value = typeof raw === 'number' ? raw : raw[band];
    if (typeof value !== 'number' || (typeof raw !== 'number' && raw.length !== BAND_COUNT)) {
      throw new Error('catalogue: a figure by band needs one number or eight');
    }
    return value;
  });
}
