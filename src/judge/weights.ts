/** Which octaves count: those within 20 dB of the wanted sound's strongest, or a sound level meter's weighting. */
import { BAND_COUNT, type Bands, bands, sameInAllBands } from '../acoustics/bands.ts';
import { WEIGHTS } from '../acoustics/weighting.ts';
import type { Limits } from '../scene/scene.ts';

/** An octave further below the wanted sound's strongest can be filtered away, dB. */
const OWN_REACH = 20;

/** Weight of each band at a mic whose wanted sound by band is `wanted`; all alike where there is none. */
export function weightsFor(weighting: Limits['weighting'], wanted: Bands): Bands {
  if (weighting !== 'own') return WEIGHTS[weighting];
  const strongest = Math.max(...wanted);
  if (strongest <= 0) return sameInAllBands(1);
  const floor = strongest * 10 ** (-OWN_REACH / 10);
  return bands((band) => ((wanted[band] ?? 0) >= floor ? 1 : 0));
}

/** Bands that count, by number. */
export const countedBands = (weights: Bands): number[] =>
  Array.from({ length: BAND_COUNT }, (_, band) => band).filter((band) => (weights[band] ?? 0) > 0);
