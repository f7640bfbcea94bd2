/** Wave numbers of the octave bands at one speed of sound: what interference and bending depend on. */
import { BAND_COUNT, BAND_EDGE, type Bands, bands, MID_BANDS } from './bands.ts';
import { type PhaseSpread, phaseSpread } from './coherence.ts';

export type Waves = PhaseSpread & {
  /** 1/√λ at mid-band. */
  readonly inverseRoot: Bands;
  /** 1/λ at the nine edges of the eight bands, which join without a gap: whole turns in a metre. */
  readonly turns: Float64Array;
  /** What the wave number grows by over each band, and its inverse. */
  readonly span: Bands;
  readonly inverseSpan: Bands;
};

export function wavesAt(soundSpeed: number): Waves {
  const first = (MID_BANDS[0] ?? 0) / BAND_EDGE;
  const turns = Float64Array.from(
    { length: BAND_COUNT + 1 },
    (_, i) => (first * BAND_EDGE ** (2 * i)) / soundSpeed,
  );
  const spread = bands((band) => phaseSpread(soundSpeed / (MID_BANDS[band] ?? 0)));
  const span = bands((band) => 2 * Math.PI * ((turns[band + 1] ?? 0) - (turns[band] ?? 0)));
  return {
    inverseRoot: bands((band) => Math.sqrt((MID_BANDS[band] ?? 0) / soundSpeed)),
    spread,
    firstSpread: spread.filter((value) => value === 0).length,
    turns,
    span,
    inverseSpan: span.map((value) => 1 / value),
  };
}
