/** Mass law, composite transmission factor. */
import { type Bands, bands, decibels, energyOf, MID_BANDS } from './bands.ts';

// Sound reduction of a panel from its weight alone: what stands in where nothing was measured.
/** ρc of air at about 20 °C, Pa·s/m, as Norton & Karczub 2003 take it. */
const IMPEDANCE = 415;

/**
 * What sound from all sides costs against sound square to the panel, dB: Norton & Karczub 2003. Bies, Hansen
 * & Howard 2017 (Eq. 7.42) take 4 dB for octaves and 5.5 dB for thirds: the choice is worth 1.5 dB.
 */
export const FIELD_CORRECTION = 5;

/**
 * Reduction index in dB at one frequency (Hz) for a panel of `mass` kg/m² and a wave at `cosine` of its
 * angle to the normal: `10·lg(1 + (π f m cos θ/ρc)²)`. Limp panel, no coincidence. Norton & Karczub 2003,
 * section 3.9.
 */
export function obliqueReduction(frequency: number, mass: number, cosine = 1, impedance = IMPEDANCE): number {
  return 10 * Math.log10(1 + ((Math.PI * frequency * mass * cosine) / impedance) ** 2);
}

/**
 * Reduction index by band, dB, for sound from all sides; not below 0. An estimate: above a third or so of its
 * critical frequency a stiff panel gives up to 10 dB less (unverified).
 */
export function massLaw(mass: number, fieldCorrection = FIELD_CORRECTION): Bands {
  return bands((band) => Math.max(0, obliqueReduction(MID_BANDS[band] ?? 0, mass) - fieldCorrection));
}

// What several pieces of a wall, or several paths through a building, let through together.

/** A piece of a wall: m² and transmission factor by band. */
type Piece = { readonly area: number; readonly tau: Bands };
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

/** Reduction index in dB of parallel paths, each for the same area: `−10·lg Σ 10^(−R/10)`. EN 12354-1. */
export function parallelReduction(reductions: readonly number[]): number {
  return -decibels(reductions.reduce((sum, reduction) => sum + energyOf(-reduction), 0));
}
