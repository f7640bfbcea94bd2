/**
 * Directivity of sources (fit of Q and front-to-back, measured table, grid of gains, spreading of a disc) and of microphones of
 * the first order (`A + B·cos θ`, A + B = 1, with a null of finite depth and the proximity effect).
 */
import { BAND_COUNT, type Bands, bands, MID_BANDS, sameInAllBands } from './bands.ts';

/** Directivity about an axis: `G(θ) = b + (1−b)·((1+cos θ)/2)^n` by band, or a measured table. */
export type Directivity = {
  readonly q: Bands;
  readonly b: Bands;
  readonly n: Bands;
  /** Measured table, or null for the formula. */
  readonly table: DirectivityTable | null;
  readonly grid: GainGrid;
};

/** Gains on equal steps, eight bands a row: of the angle for a measured table, of cos(θ/2) for the formula. */
export type GainGrid = { readonly steps: number; readonly byAngle: boolean; readonly gains: Float64Array };
const LEAST_EXPONENT = 0.5;

/**
 * Floor b and exponent n for a directivity factor Q ≥ 1 and a front-to-back ratio in dB (null: b = 0.5/Q), from the sphere
 * mean 1/Q = b + (1−b)/(n+1). Where n leaves [0.5, max(8, 1.5 Q)] or does not exist, Q is kept and b gives way: `bent`.
 */
export function fitDirectivity(q: number, frontToBackDb: number | null) {
  if (q <= 1) return { b: 1, n: LEAST_EXPONENT, bent: false };
  const b = frontToBackDb === null ? 0.5 / q : 10 ** (-frontToBackDb / 10);
  const greatest = Math.max(8, 1.5 * q);
  const wanted = 1 / q > b ? (1 - b) / (1 / q - b) - 1 : Number.POSITIVE_INFINITY;
  if (wanted >= LEAST_EXPONENT && wanted <= greatest) return { b, n: wanted, bent: false };
  const n = wanted < LEAST_EXPONENT ? LEAST_EXPONENT : greatest;
  return { b: Math.max(0, ((n + 1) / q - 1) / n), n, bent: true };
}

/** A directivity from Q and front-to-back ratio (dB, null where unknown) by band. */
export function directivityOf(
  q: (band: number) => number,
  frontToBackDb: (band: number) => number | null,
): Directivity {
  const fits = Array.from({ length: BAND_COUNT }, (_, band) => fitDirectivity(q(band), frontToBackDb(band)));
  const b = bands((band) => fits[band]?.b ?? 1);
  const n = bands((band) => fits[band]?.n ?? LEAST_EXPONENT);
  let grid: GainGrid | null = null;
  return {
    q: bands((band) => Math.max(1, q(band))),
    b,
    n,
    table: null,
    /** Made when it is first asked for: most instruments of the catalogue are not in a plan. */
    get grid() {
      grid ??= formulaGrid(b, n);
      return grid;
    },
  };
}

/** A directivity from a measured table: Q is the inverse of its sphere mean. */
export function measuredDirectivity(table: DirectivityTable): Directivity {
  const q = sphereMeans(table).map((mean) => 1 / mean);
  return {
    ...OMNIDIRECTIONAL,
    q,
    table,
    grid: { steps: table.rows - 1, byAngle: true, gains: table.energy },
  };
}

const ALIKE = sameInAllBands(1);
export const OMNIDIRECTIONAL: Directivity = {
  q: ALIKE,
  b: ALIKE,
  n: sameInAllBands(LEAST_EXPONENT),
  table: null,
  grid: { steps: 1, byAngle: false, gains: new Float64Array(2 * BAND_COUNT).fill(1) },
};

/** Gain G of one band at cos θ, 1 on axis. */
export const gain = ({ table, b, n }: Directivity, band: number, cos: number): number =>
  table ? readAngleTable(table, band, cos) : formulaGain(b[band] ?? 1, n[band] ?? 1, cos);

const formulaGain = (b: number, n: number, cos: number): number =>
  b + (1 - b) * Math.max(0, (1 + cos) / 2) ** n;

/**
 * The grid is made once a directivity: a power for every path and band took half of a whole recomputation. In
 * s = cos(θ/2) G is a smooth power s^(2n) with 2n ≥ 1. Read linearly between rows it is off by (2n/s)²/(8·steps²) of
 * itself: with 48 rows for each unit of n, and 512 at least, 0.002 dB at most where G is above −30 dB.
 */
function formulaGrid(b: Bands, n: Bands): GainGrid {
  const steps = Math.max(512, Math.ceil(48 * Math.max(...n)));
  const gains = new Float64Array((steps + 1) * BAND_COUNT);
  for (let step = 0; step <= steps; step++) {
    const cos = 2 * (step / steps) ** 2 - 1;
    for (let band = 0; band < BAND_COUNT; band++)
      gains[step * BAND_COUNT + band] = formulaGain(b[band] as number, n[band] as number, cos);
  }
  return { steps, byAngle: false, gains };
}

/** Place on the grid of a direction at cos θ, in steps. */
export function gridPlace(grid: GainGrid, cos: number): number {
  if (grid.byAngle) return (Math.acos(Math.min(1, Math.max(-1, cos))) / Math.PI) * grid.steps;
  return Math.sqrt(Math.max(0, Math.min(1, (1 + cos) / 2))) * grid.steps;
}

/** Gain between two rows of a grid: `at` is the place of the band in the lower one, `part` the share of the step. */
export function gainAt(gains: Float64Array, at: number, part: number): number {
  const low = gains[at] as number;
  return low + ((gains[at + BAND_COUNT] as number) - low) * part;
}

/** Nearer than this counts as this far, m: a disc's or point's near field ends somewhere. */
export const NEAREST = 0.01;

/**
 * Spreading factor E(r) in 1/m² of an incoherent disc of radius a on its axis: ln(1 + a²/r²)/a², which tends to 1/r².
 * Mean of 1/ρ² over the disc, exact: ∫ 2x dx/(a²(r² + x²)).
 */
export function spreading(radius: number, r: number): number {
  const near = Math.max(r, NEAREST);
  const r2 = near * near;
  const x = (radius * radius) / r2;
  // so near 0 five terms of ln(1 + x)/x are exact to 2e-13; the logarithm was a tenth of a path's cost
  if (x < 0.01) return (1 - x * (1 / 2 - x * (1 / 3 - x * (1 / 4 - x * (1 / 5 - x * (1 / 6)))))) / r2;
  return Math.log1p(x) / (radius * radius);
}

/** Squared distance r_e² = r² + a² of the spherical wave that a disc of radius a stands for, m². */
export function waveRadiusSquared(radius: number, r: number): number {
  const near = Math.max(r, NEAREST);
  return near * near + radius * radius;
}

/** Measured response by angle, axisymmetric, of a source or a microphone. Row i holds the energies of the eight bands at `i·180/(rows−1)` degrees off axis. */
export type DirectivityTable = { readonly rows: number; readonly energy: Float64Array };

/** A table of steps of 1° from rows typed at any angles, dB re on axis, linear in dB between them; the ends hold. */
export function angleTable(
  degrees: readonly number[],
  levelsDb: readonly (readonly number[])[],
): DirectivityTable {
  const rows = 181;
  const energy = new Float64Array(rows * BAND_COUNT);
  for (let row = 0, upper = 0; row < rows; row++) {
    while (upper < degrees.length - 1 && (degrees[upper] as number) < row) upper++;
    const lower = Math.max(0, upper - 1);
    const part = shareOf(row, degrees[lower] ?? 0, degrees[upper] ?? 0);
    for (let band = 0; band < BAND_COUNT; band++) {
      const low = levelsDb[lower]?.[band] ?? 0;
      const high = levelsDb[upper]?.[band] ?? 0;
      energy[row * BAND_COUNT + band] = 10 ** ((low + (high - low) * part) / 10);
    }
  }
  return { rows, energy };
}

/** Where an angle lies between two, 0 to 1; beyond either it holds. */
const shareOf = (at: number, from: number, to: number): number =>
  to > from ? Math.min(1, Math.max(0, (at - from) / (to - from))) : 1;

/** Energy of one band at cos θ, linear between rows. */
export function readAngleTable(table: DirectivityTable, band: number, cos: number): number {
  const steps = table.rows - 1;
  const at = (Math.acos(Math.min(1, Math.max(-1, cos))) / Math.PI) * steps;
  const row = Math.min(steps - 1, Math.floor(at));
  const low = table.energy[row * BAND_COUNT + band] ?? 0;
  const high = table.energy[(row + 1) * BAND_COUNT + band] ?? 0;
  return low + (high - low) * (at - row);
}

/** Mean energy over the sphere by band, ½ ∫ e(θ) sin θ dθ, exact for energies linear between the rows. */
export function sphereMeans(table: DirectivityTable): Bands {
  const weights = rowWeights(table.rows);
  const means = new Float64Array(BAND_COUNT);
  for (let i = 0; i < table.energy.length; i++) {
    const band = i % BAND_COUNT;
    means[band] =
      (means[band] as number) + (weights[(i - band) / BAND_COUNT] as number) * (table.energy[i] as number);
  }
  return means;
}

/** What each row counts in the sphere mean: ½ ∫ sin θ over the two ramps that rise to it and fall from it. */
function rowWeights(rows: number): Float64Array {
  const weights = new Float64Array(rows);
  const step = Math.PI / (rows - 1);
  for (let row = 0; row + 1 < rows; row++) {
    const [from, to] = [row * step, (row + 1) * step];
    const slope = (Math.sin(to) - Math.sin(from)) / step;
    weights[row] = (weights[row] as number) + (Math.cos(from) - slope) / 2;
    weights[row + 1] = (slope - Math.cos(to)) / 2;
  }
  return weights;
}

/** Energy floor ε² of a null of the given depth in dB; 0 for null (a textbook pattern). */
export const nullFloor = (depthDb: number | null): number => (depthDb === null ? 0 : 10 ** (-depthDb / 10));

/**
 * Energy response D² at cos θ for a wave whose radius is r_e: `ε² + (1−ε²)·[(A + B cos θ)² + (B cos θ/(k r_e))²]`.
 * `inverseKr` is 1/(k r_e)², 0 for a plane wave or with the proximity effect switched off. Second term: pressure gradient
 * of a spherical wave.
 */
export function firstOrder(a: number, floor: number, cos: number, inverseKr: number): number {
  const gradient = (1 - a) * cos;
  const sum = a + gradient;
  return floor + (1 - floor) * (sum * sum + gradient * gradient * inverseKr);
}

/** Random energy efficiency of a first-order pattern: `ε² + (1−ε²)(A² + B²/3)`. */
export function randomEfficiency(a: number, floor: number): number {
  return floor + (1 - floor) * (a * a + (1 - a) ** 2 / 3);
}

/** Random energy efficiency by band of a pattern: first order, or the sphere mean of its table. */
export function efficiencyByBand(a: Bands, table: DirectivityTable | null, floor: Bands): Bands {
  return table ? sphereMeans(table) : bands((band) => randomEfficiency(a[band] ?? 1, floor[band] ?? 0));
}

/** 1/k² by band in m²: (c/2πf)². */
export function inverseWaveNumberSquared(soundSpeed: number): Bands {
  return bands((band) => (soundSpeed / (2 * Math.PI * (MID_BANDS[band] ?? 1))) ** 2);
}

/** Energy response of a measured table at cos θ, by band. A table carries its own nulls and no proximity effect. */
export function tableResponse(into: Bands, table: DirectivityTable, cos: number): void {
  for (let band = 0; band < BAND_COUNT; band++) into[band] = readAngleTable(table, band, cos);
}

/** Energy response at cos θ to a plane wave, in one band: first order, or as measured. */
export const planeResponse = (
  { a, table }: { readonly a: Bands; readonly table: DirectivityTable | null },
  floor: Bands,
  band: number,
  cos: number,
): number => (table ? readAngleTable(table, band, cos) : firstOrder(a[band] ?? 1, floor[band] ?? 0, cos, 0));

/** Angle of the null in degrees from the aim, or null where the pattern has none. */
export function nullAngle(a: number): number | null {
  return a <= 0.5 ? (Math.acos(-a / (1 - a)) * 180) / Math.PI : null;
}
