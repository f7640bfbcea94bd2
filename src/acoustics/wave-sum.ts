/** Squared sum of waves with different detours, as the mean over each octave band. */
import { BAND_COUNT, type Bands } from './bands.ts';
import type { Waves } from './waves.ts';

/** Numbers a wave takes: real and imaginary part at the lower edge of each band, then at its upper edge. */
export const WAVE_SIZE = 4 * BAND_COUNT;

/** Sets of up to four edges. */
export const EDGE_SETS = 16;

/**
 * Waves with the phases of their detours, packed [wave][band][re, im, re, im], and which of them are summed; the edges each of
 * them bends round, as a set of bits, and what of a phase holds that every edge of a set is part of, packed [set][band].
 */
export type WaveSum = {
  readonly edges: Int32Array;
  readonly steady: Float64Array;
  readonly detour: Float64Array;
  readonly waves: Float64Array;
  count: number;
  readonly terms: Int32Array;
};

export const newWaveSum = (most: number): WaveSum => ({
  edges: new Int32Array(most),
  steady: new Float64Array(EDGE_SETS * BAND_COUNT).fill(1),
  detour: new Float64Array(most),
  waves: new Float64Array(most * WAVE_SIZE),
  count: 0,
  terms: new Int32Array(most),
});

/**
 * Band means `Σ_i Σ_j γ_ij·Re(T_i T_j* e^{ik(δ_i−δ_j)})`, γ_ij the product of what holds of the edges that one of both has alone.
 * With U = T·e^{ikδ} the mean of one pair is
 * `Im(U_i U_j* at the upper edge − at the lower)/((k2−k1)(δ_i−δ_j))`: the exact e^{ik_m δ}·sinc of the design, without a sine.
 */
export function meanSquares(into: Bands, sum: WaveSum, waves: Waves): void {
  into.fill(0);
  for (let i = 0; i < sum.count; i++) {
    const term = sum.terms[i] as number;
    addOwn(into, 0, sum.waves, term * WAVE_SIZE);
    for (let j = 0; j < i; j++) addCross(into, 0, sum, waves, term, sum.terms[j] as number);
  }
}

/** Each of those means by itself, packed [pair][band]: each wave with those before it, then with itself. */
export function eachMean(into: Float64Array, sum: WaveSum, waves: Waves): void {
  let at = 0;
  into.fill(0, 0, ((sum.count * (sum.count + 1)) / 2) * BAND_COUNT);
  for (let i = 0; i < sum.count; i++) {
    const term = sum.terms[i] as number;
    for (let j = 0; j < i; j++, at += BAND_COUNT)
      addCross(into, at, sum, waves, term, sum.terms[j] as number);
    addOwn(into, at, sum.waves, term * WAVE_SIZE);
    at += BAND_COUNT;
  }
}

function addOwn(into: Float64Array, to: number, waves: Float64Array, at: number): void {
  for (let band = 0; band < BAND_COUNT; band++) {
    const re = waves[at + 4 * band] as number;
    const im = waves[at + 4 * band + 1] as number;
    into[to + band] = (into[to + band] as number) + re * re + im * im;
  }
}

/** Below this growth of phase over a band the difference would cancel. */
const SHORT = 0.04;

function addCross(
  into: Float64Array,
  to: number,
  sum: WaveSum,
  { span, inverseSpan }: Waves,
  i: number,
  j: number,
): void {
  const { waves, detour, edges, steady } = sum;
  const kept = ((edges[i] as number) ^ (edges[j] as number)) * BAND_COUNT;
  const apart = (detour[i] as number) - (detour[j] as number);
  let p = i * WAVE_SIZE;
  let q = j * WAVE_SIZE;
  let band = 0;
  for (; band < BAND_COUNT && Math.abs(apart) * (span[band] as number) < SHORT; band++, p += 4, q += 4) {
    const a = waves[p] as number;
    const b = waves[p + 1] as number;
    const c = waves[q] as number;
    const d = waves[q + 1] as number;
    into[to + band] =
      (into[to + band] as number) +
      2 *
        (steady[kept + band] as number) *
        shortMean(a * c + b * d, b * c - a * d, apart * (span[band] as number));
  }
  const scale = 2 / apart;
  for (; band < BAND_COUNT; band++, p += 4, q += 4) {
    const low =
      (waves[p + 1] as number) * (waves[q] as number) - (waves[p] as number) * (waves[q + 1] as number);
    const high =
      (waves[p + 3] as number) * (waves[q + 2] as number) -
      (waves[p + 2] as number) * (waves[q + 3] as number);
    into[to + band] =
      (into[to + band] as number) +
      (steady[kept + band] as number) * (high - low) * scale * (inverseSpan[band] as number);
  }
}

/** Mean of Re((re + i·im)·e^{ix}) over x from 0 to a small u, by its series, 1e-12 off. */
function shortMean(re: number, im: number, u: number): number {
  const square = u * u;
  const cos = 1 - (square / 6) * (1 - square / 20);
  const sin = (u / 2) * (1 - (square / 12) * (1 - square / 30));
  return re * cos - im * sin;
}
