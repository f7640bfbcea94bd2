/** What several pieces of a wall, or several ways through a building, let through together. */
import { type Bands, bands, decibels, energyOf } from './bands.ts';

/** A piece of a wall: m² and transmission factor by band. */
export type Piece = { readonly area: number; readonly tau: Bands };

/** Transmission factor by band from a sound reduction index in dB: `10^(−R/10)`. */
export const transmissionOf = (reduction: Bands): Bands => reduction.map((index) => energyOf(-index));

/** Sound reduction index in dB from a transmission factor, which must be above 0. */
export const reductionOf = (tau: Bands): Bands => tau.map((share) => -decibels(share));

/** Transmission factor of a whole wall: `Σ S_k τ_k / Σ S_k`; 0 for no area. Hopkins 2007, Eq. (4.92). */
export function compositeTransmission(pieces: readonly Piece[]): Bands {
  const area = pieces.reduce((sum, piece) => sum + piece.area, 0);
  if (area <= 0) return bands(() => 0);
  return bands(
    (band) => pieces.reduce((sum, { area: part, tau }) => sum + part * (tau[band] ?? 0), 0) / area,
  );
}

/** Reduction index in dB of ways side by side, each for the same area: `−10·lg Σ 10^(−R/10)`. EN 12354-1. */
export function reductionOfWays(reductions: readonly number[]): number {
  return -decibels(reductions.reduce((sum, reduction) => sum + energyOf(-reduction), 0));
}
