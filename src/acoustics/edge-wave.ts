/** The wave round one edge, packed, since the loops that sum waves read little else. */
import { BAND_COUNT } from './bands.ts';

/**
 * Of each band the amplitude over the free direct field, without the phase of the detour, and the share of it that is in step;
 * then e^{ikδ} of the detour at the nine edges of the bands, cosine and sine.
 */
export type EdgeWave = Float64Array;

/** Within a band. */
export const RE = 0;
export const IM = 1;
export const STEADY = 2;
export const BAND_SIZE = 3;
/** Where the phases begin. */
export const PHASES = BAND_SIZE * BAND_COUNT;
const WAVE_END = PHASES + 2 * (BAND_COUNT + 1);

/** Of a wave at hand besides: its detour, 1 where the straight line is clear of the edge, length, and share of it before the edge; */
export const DETOUR = WAVE_END;
export const CLEAR = WAVE_END + 1;
export const WHOLE = WAVE_END + 2;
export const BEFORE = WAVE_END + 3;
/**
 * and what it is made of: X of both terms in the lowest band, that of the direct term negative where the line is clear of the edge
 * (in the design's `sign(X)` hidden is +), the share by which ρ has risen to 1, and d/2L. Left here for whoever makes the wave,
 * since numbers handed over in a call were put on the heap each time.
 */
export const DIRECT = WAVE_END + 4;
export const IMAGE = WAVE_END + 5;
export const LIFT = WAVE_END + 6;
export const HALF = WAVE_END + 7;
export const AT_HAND_SIZE = WAVE_END + 8;

/**
 * Three waves at hand. In one place that compiled code knows the address of: with an array to each wave, all that is computed past
 * panels took a fifth longer.
 */
export const atHand = new Float64Array(3 * AT_HAND_SIZE);
for (let hand = 0; hand < atHand.length; hand += AT_HAND_SIZE) steady(atHand, hand);

export function newEdgeWave(): EdgeWave {
  const wave = new Float64Array(WAVE_END);
  steady(wave, 0);
  return wave;
}

/** All of it in step. */
function steady(into: Float64Array, from: number): void {
  for (let at = from + STEADY; at < from + PHASES; at += BAND_SIZE) into[at] = 1;
}

/** Keeps a wave at hand, without its phases. */
export function keepWave(into: EdgeWave, hand: number): void {
  for (let i = 0; i < PHASES; i++) into[i] = atHand[hand + i] as number;
}

/** Puts a kept wave at hand again, of a given detour. */
export function handWave(
  hand: number,
  { wave, detour, clear, lift }: { wave: EdgeWave; detour: number; clear: boolean; lift: number },
): void {
  for (let i = 0; i < PHASES; i++) atHand[hand + i] = wave[i] as number;
  atHand[hand + DETOUR] = detour;
  atHand[hand + CLEAR] = clear ? 1 : 0;
  atHand[hand + LIFT] = lift;
}

/** Squared amplitude in the band that begins at `at`. */
export function edgeEnergy(wave: EdgeWave, at: number): number {
  const re = wave[at + RE] as number;
  const im = wave[at + IM] as number;
  return re * re + im * im;
}
