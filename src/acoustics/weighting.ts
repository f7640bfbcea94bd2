/** Frequency weightings A, C and Z of sound level meters. IEC 61672-1. */
import { type Bands, bands, MID_BANDS } from './bands.ts';

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

const byBand = (weighting: Weighting): Bands =>
  bands((band) => 10 ** (curves[weighting](MID_BANDS[band] ?? 0) / 10));

/** Energy factors of each weighting, by band. */
export const WEIGHTS: Readonly<Record<Weighting, Bands>> = { Z: byBand('Z'), A: byBand('A'), C: byBand('C') };

/** Sum over the bands of energies times weights. */
export function weightedSum(energies: Bands, weights: Bands): number {
  let sum = 0;
  for (let band = 0; band < energies.length; band++) sum += (energies[band] ?? 0) * (weights[band] ?? 0);
  return sum;
}
