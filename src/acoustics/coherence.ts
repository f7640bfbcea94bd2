/**
 * How far the phase of a way holds, since nobody stands to the centimetre. Waves that were in step wherever one stands would put
 * nulls into the upper octaves that a shift of 1 cm fills by 4 dB: no property of a layout.
 */
import type { Vec3 } from '../scene/vector.ts';
import { BAND_COUNT, type Bands } from './bands.ts';
import { BAND_SIZE, type EdgeWave, STEADY } from './edge-wave.ts';

/**
 * How far each end may be off its place along any direction, as a standard deviation, m. A choice of our own: less lets 1 cm change
 * a level by more than 1.5 dB, more departs at 1 kHz from what a simulation of the wave equation finds at a point.
 */
const PLACE = 0.022;
/** Longer waves stay in step, m. */
const LONGEST = 0.4;

/** What phases are off by: `phaseSpread` by band, and the lowest band in which it is more than 0. */
export type PhaseSpread = { readonly spread: Bands; readonly firstSpread: number };

/** Half the variance of a phase whose way changes as much as its end is shifted, by wavelength in m. */
export const phaseSpread = (wavelength: number): number =>
  wavelength < LONGEST ? ((2 * Math.PI * PLACE) / wavelength) ** 2 / 2 : 0;

/**
 * Share γ of a wave that stays in step with the others: the mean of e^{iψ} of a phase ψ off by Laplace's law,
 * `1/(1 + (kσ)²|∇δ|²/2)` with k the wave number and σ the place. `drift` is |∇δ|², `spread` the rest. Bands below it are in step
 * whole, and the energy of the wave itself is not touched.
 */
export function setCoherence(
  into: EdgeWave,
  at: number,
  drift: number,
  { spread, firstSpread }: PhaseSpread,
): void {
  for (let band = firstSpread; band < BAND_COUNT; band++)
    into[at + band * BAND_SIZE + STEADY] = 1 / (1 + drift * (spread[band] as number));
}

/**
 * |∇δ|², how much the detour of a way round one edge changes as either end is shifted, squared and summed over both: 2 − 2cos of the
 * angle between way and straight line at each. `flat` is the way square to the edge, `turn` the cosine of half the turn there.
 */
export const driftRound = (flat: number, turn: number, whole: number, straight: number): number =>
  (4 * flat * flat * turn * turn) / (whole * straight) - (4 * (whole - straight)) / straight;

/** The same of any way, from the points at which it bends first and last. */
export const driftOf = (source: Vec3, first: Vec3, last: Vec3, mic: Vec3): number =>
  apart(source, first, source, mic) + apart(last, mic, source, mic);

/** Squared distance between the unit vectors of two directions. */
function apart(a: Vec3, b: Vec3, c: Vec3, d: Vec3): number {
  const one = Math.hypot(b[0] - a[0], b[1] - a[1], b[2] - a[2]) || 1;
  const other = Math.hypot(d[0] - c[0], d[1] - c[1], d[2] - c[2]) || 1;
  let sum = 0;
  for (let i = 0; i < 3; i++) {
    const along = ((b[i] as number) - (a[i] as number)) / one - ((d[i] as number) - (c[i] as number)) / other;
    sum += along * along;
  }
  return sum;
}
