/** Wave numbers of the octave bands at one speed of sound: what interference and bending depend on. */
import { BAND_COUNT, BAND_EDGE, type Bands, bands, MID_BANDS } from './bands.ts';

export type Waves = {
  /** 1/√λ at mid-band. */
  readonly inverseRoot: Bands;
  /** Wave numbers at the nine edges of the eight bands, which join without a gap. */
  readonly edges: Float64Array;
  /** Wave number at the arithmetic middle of each band, and half its span. */
  readonly middle: Bands;
  readonly half: Bands;
};

export function wavesAt(soundSpeed: number): Waves {
  const perHertz = (2 * Math.PI) / soundSpeed;
  const first = (MID_BANDS[0] ?? 0) / BAND_EDGE;
  const edges = Float64Array.from(
    { length: BAND_COUNT + 1 },
    (_, i) => perHertz * first * BAND_EDGE ** (2 * i),
  );
  const edge = (i: number): number => edges[i] ?? 0;
  return {
    inverseRoot: bands((band) => Math.sqrt((MID_BANDS[band] ?? 0) / soundSpeed)),
    edges,
    middle: bands((band) => (edge(band + 1) + edge(band)) / 2),
    half: bands((band) => (edge(band + 1) - edge(band)) / 2),
  };
}
