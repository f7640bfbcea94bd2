/** How strong a source is: from a power, a reading or a dynamic to sound power by band. */
import { type Bands, bands, energyOf } from '../acoustics/bands.ts';
import { spreading } from '../acoustics/extent.ts';
import { WEIGHTS, type Weighting, weightedSum } from '../acoustics/weighting.ts';

export type Reading = { readonly spl: number; readonly weighting: Weighting; readonly at: number };

/** What turns on-axis sound into power and back. */
export type Radiator = {
  /** Energies by band of the sound on the axis, in any scale. */
  readonly spectrum: Bands;
  /** Directivity factor by band. */
  readonly q: Bands;
  /** Radius of the disc, m. */
  readonly radius: number;
  /** The air's loss, dB per metre by band. */
  readonly airLoss: Bands;
};

/**
 * Sound power by band (p²·m² re (20 µPa)²·m²) that reads as the meter read on axis, spread over the on-axis spectrum such
 * that the weighted band sum equals the reading: `W = p²·4π·10^(α r/10)/(Q·E(r))`.
 */
export function powerOfReading(reading: Reading, radiator: Radiator): Bands {
  const { spectrum, q, radius, airLoss } = radiator;
  const perUnit = energyOf(reading.spl) / weightedSum(spectrum, WEIGHTS[reading.weighting]);
  const spread = spreading(radius, reading.at);
  return bands((band) => {
    const pressure = perUnit * (spectrum[band] ?? 0) * energyOf((airLoss[band] ?? 0) * reading.at);
    return (pressure * 4 * Math.PI) / ((q[band] ?? 1) * spread);
  });
}

/** Sound power by band of a total sound power level in dB re 1 pW, shared over the bands as `10^(s/10)/Q`. */
export function powerOfTotal(levelDb: number, radiator: Pick<Radiator, 'spectrum' | 'q'>): Bands {
  const shares = bands((band) => (radiator.spectrum[band] ?? 0) / (radiator.q[band] ?? 1));
  const sum = shares.reduce((total, share) => total + share, 0);
  return shares.map((share) => (energyOf(levelDb) * share) / sum);
}

/** Level in dB on the axis at `r` metres, in a free field with air, weighted. */
export function levelOnAxis(
  power: Bands,
  radiator: Omit<Radiator, 'spectrum'>,
  r: number,
  weighting: Weighting,
): number {
  const pressure = bands((band) => {
    const air = energyOf(-(radiator.airLoss[band] ?? 0) * r);
    return (
      ((power[band] ?? 0) * (radiator.q[band] ?? 1) * spreading(radiator.radius, r) * air) / (4 * Math.PI)
    );
  });
  return 10 * Math.log10(weightedSum(pressure, WEIGHTS[weighting]));
}
