/** Statistical room acoustics: reverberation time and what follows from it, mass law, composite transmission factor. */
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

/** 24·ln 10: decay by 60 dB in classical room acoustics. */
const SIXTY_DB = 24 * Math.LN10;

/** Sabine decay time in s of volume m³ and absorption area m² (air included) at c m/s. Sabine 1922. */
export function sabineTime(volume: number, absorptionArea: number, soundSpeed: number): number {
  return (SIXTY_DB * volume) / (soundSpeed * absorptionArea);
}

/** Eyring decay time in s; `mean` is the mean absorption, air and contents inside. Eyring 1930. */
export function eyringTime(volume: number, surface: number, mean: number, soundSpeed: number): number {
  return (SIXTY_DB * volume) / (-soundSpeed * surface * Math.log1p(-mean));
}

/** Mean absorption that gives a decay time by Eyring's formula: 1 − exp(−24 ln10·V/(c·S·T)). */
export function eyringAbsorption(volume: number, surface: number, time: number, soundSpeed: number): number {
  return -Math.expm1((-SIXTY_DB * volume) / (soundSpeed * surface * time));
}

/**
 * T20 or T30 over the early decay time: the late decay is that of the surfaces that absorb least. Median of fourteen rooms solved by
 * the wave equation, 500 Hz to 2 kHz, where it lies between 1.25 and 1.42; up to 2.8 with floor and ceiling lined [this model].
 */
export const LATE_OVER_EARLY = 1.3;

/** Absorption of a real wall admittance β, in units of 1/ρc, at an angle of incidence: 4β·cos θ/(β + cos θ)². Kuttruff, section 2.3. */
export const angleAbsorption = (admittance: number, cosine: number): number =>
  (4 * admittance * cosine) / (admittance + cosine) ** 2;

/** The same for sound from all sides [Paris 1928]: 8β·(1 + β/(1 + β) − 2β·ln(1 + 1/β)). */
const diffuseAbsorption = (admittance: number): number =>
  8 * admittance * (1 + admittance / (1 + admittance) - 2 * admittance * Math.log1p(1 / admittance));

/** The admittance with which a wall absorbs most from all sides, 0.951. */
const BEST_ADMITTANCE = 0.638;

/** Real admittance whose absorption for sound from all sides is α, by halving; no more than absorbs most. */
export function wallAdmittance(alpha: number): number {
  let [low, high] = [0, BEST_ADMITTANCE];
  for (let i = 0; i < 40; i++) {
    const middle = (low + high) / 2;
    if (diffuseAbsorption(middle) < alpha) low = middle;
    else high = middle;
  }
  return low;
}

/** Mean free path in m: 4V/S. Kosten 1960. */
export const meanFreePath = (volume: number, surface: number): number => (4 * volume) / surface;

/**
 * Energy of a room over what its interior level says, since energy gathers near the surfaces: w = 1 + S·λ/(8V). Waterhouse 1955;
 * ISO 3741.
 */
export const waterhouse = (volume: number, surface: number, wavelength: number): number =>
  1 + (surface * wavelength) / (8 * volume);

/** The model takes w to be no more: nothing smaller was held against solved rooms. */
export const MOST_WATERHOUSE = 2.8;

/** Room constant R = A/(1 − ᾱ), m². */
export const roomConstant = (absorptionArea: number, mean: number): number => absorptionArea / (1 - mean);

/** Distance in m at which the direct sound of a source of directivity factor Q equals the room's: √(QR/16π) = 0.141·√(QR). */
export const criticalDistance = (constant: number, q = 1): number =>
  Math.sqrt((q * constant) / (16 * Math.PI));

/** Frequency in Hz below which single modes rule: 2000·√(T/V). Schroeder 1962, Kuttruff. */
export const schroederFrequency = (time: number, volume: number): number => 2000 * Math.sqrt(time / volume);
