/** Squared sum of waves with different detours, as the mean over each octave band. */
import { BAND_COUNT, type Bands } from './bands.ts';
import type { Waves } from './waves.ts';

/** Terms of one path: straight on, four edges, four corners. */
const MOST = 9;
const EDGES = BAND_COUNT + 1;

/** Terms packed [term][band]; phases [term][band edge]. Filled, summed, filled again. */
export type WaveSum = {
  count: number;
  readonly detour: Float64Array;
  readonly re: Float64Array;
  readonly im: Float64Array;
  /** √(w²): what the way of the term would carry free. */
  readonly amplitude: Float64Array;
  readonly cos: Float64Array;
  readonly sin: Float64Array;
};

export const newWaveSum = (): WaveSum => ({
  count: 0,
  detour: new Float64Array(MOST),
  re: new Float64Array(MOST * BAND_COUNT),
  im: new Float64Array(MOST * BAND_COUNT),
  amplitude: new Float64Array(MOST * BAND_COUNT),
  cos: new Float64Array(MOST * EDGES),
  sin: new Float64Array(MOST * EDGES),
});

/** e^{ikδ} of a detour at the nine edges of the bands. */
export type Phases = { readonly cos: Float64Array; readonly sin: Float64Array };

export const newPhases = (): Phases => ({
  cos: new Float64Array(EDGES).fill(1),
  sin: new Float64Array(EDGES),
});

export function setPhases(into: Phases, detour: number, waves: Waves): void {
  for (let i = 0; i < EDGES; i++) {
    const phase = (waves.edges[i] as number) * detour;
    into.cos[i] = Math.cos(phase);
    into.sin[i] = Math.sin(phase);
  }
}

/** Starts a term at this detour; its amplitudes are for the caller to write. Returns where they begin. */
export function startTerm(sum: WaveSum, detour: number, { cos, sin }: Phases): number {
  const term = sum.count++;
  sum.detour[term] = detour;
  for (let i = 0; i < EDGES; i++) {
    sum.cos[term * EDGES + i] = cos[i] as number;
    sum.sin[term * EDGES + i] = sin[i] as number;
  }
  return term * BAND_COUNT;
}

/** Starts a term at the sum of two detours: their phases add, which spares the sines. */
export function startJoint(sum: WaveSum, detour: number, one: Phases, other: Phases): number {
  const at = sum.count * EDGES;
  sum.detour[sum.count] = detour;
  for (let i = 0; i < EDGES; i++) {
    const [c, s] = [one.cos[i] as number, one.sin[i] as number];
    const [d, t] = [other.cos[i] as number, other.sin[i] as number];
    sum.cos[at + i] = c * d - s * t;
    sum.sin[at + i] = s * d + c * t;
  }
  return sum.count++ * BAND_COUNT;
}

/**
 * Band means `Σ_i Σ_j w_i w_j Re(T_i T_j* e^{ik(δ_i−δ_j)})` into `weighted`, the same with all w = 1 into `plain`.
 * The mean of e^{ikδ} over a band is exactly e^{ik_m δ}·sinc((f2−f1)δ/c).
 */
export function meanSquares(weighted: Bands, plain: Bands, sum: WaveSum, waves: Waves): void {
  weighted.fill(0);
  plain.fill(0);
  for (let i = 0; i < sum.count; i++) {
    addOwn(weighted, plain, sum, i * BAND_COUNT);
    for (let j = 0; j < i; j++) addCross(weighted, plain, sum, waves, i, j);
  }
}

function addOwn(weighted: Bands, plain: Bands, sum: WaveSum, at: number): void {
  for (let band = 0; band < BAND_COUNT; band++) {
    const re = sum.re[at + band] as number;
    const im = sum.im[at + band] as number;
    const w = sum.amplitude[at + band] as number;
    const square = re * re + im * im;
    plain[band] = (plain[band] as number) + square;
    weighted[band] = (weighted[band] as number) + w * w * square;
  }
}

function addCross(weighted: Bands, plain: Bands, sum: WaveSum, waves: Waves, i: number, j: number): void {
  const { cos, sin, re, im, amplitude } = sum;
  const apart = (sum.detour[i] as number) - (sum.detour[j] as number);
  const a = i * EDGES;
  const b = j * EDGES;
  let cosLow = (cos[a] as number) * (cos[b] as number) + (sin[a] as number) * (sin[b] as number);
  let sinLow = (sin[a] as number) * (cos[b] as number) - (cos[a] as number) * (sin[b] as number);
  for (let band = 0; band < BAND_COUNT; band++) {
    const e = band + 1;
    const cosHigh =
      (cos[a + e] as number) * (cos[b + e] as number) + (sin[a + e] as number) * (sin[b + e] as number);
    const sinHigh =
      (sin[a + e] as number) * (cos[b + e] as number) - (cos[a + e] as number) * (sin[b + e] as number);
    const span = (waves.half[band] as number) * apart;
    let meanCos = (sinHigh - sinLow) / (2 * span);
    let meanSin = (cosLow - cosHigh) / (2 * span);
    if (Math.abs(span) < 0.02) {
      // The quotient would cancel; sin(x)/x by its series, 1e-16 off.
      const sinc = 1 - (span * span) / 6 + (span * span * span * span) / 120;
      const phase = (waves.middle[band] as number) * apart;
      meanCos = sinc * Math.cos(phase);
      meanSin = sinc * Math.sin(phase);
    }
    const p = i * BAND_COUNT + band;
    const q = j * BAND_COUNT + band;
    const inPhase = (re[p] as number) * (re[q] as number) + (im[p] as number) * (im[q] as number);
    const square = (im[p] as number) * (re[q] as number) - (re[p] as number) * (im[q] as number);
    const cross = 2 * (inPhase * meanCos - square * meanSin);
    plain[band] = (plain[band] as number) + cross;
    weighted[band] = (weighted[band] as number) + (amplitude[p] as number) * (amplitude[q] as number) * cross;
    cosLow = cosHigh;
    sinLow = sinHigh;
  }
}
