/** Directivity of sources: `G(θ) = b + (1−b)·((1+cos θ)/2)^n`, fitted to a directivity factor and a front-to-back ratio. */
import type { Directivity } from '../scene/scene.ts';
import { type AngleTable, readAngleTable, sphereMeans } from './angle-table.ts';
import { BAND_COUNT, bands, sameInAllBands } from './bands.ts';

const LEAST_EXPONENT = 0.5;

export type Fit = { readonly b: number; readonly n: number; readonly bent: boolean };

/**
 * Floor b and exponent n for a directivity factor Q ≥ 1 and a front-to-back ratio in dB (null: b = 0.5/Q), from the sphere
 * mean 1/Q = b + (1−b)/(n+1). Where n leaves [0.5, max(8, 1.5 Q)] or does not exist, Q is kept and b gives way: `bent`.
 */
export function fitDirectivity(q: number, frontToBackDb: number | null): Fit {
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
  return {
    q: bands((band) => Math.max(1, q(band))),
    b: bands((band) => fits[band]?.b ?? 1),
    n: bands((band) => fits[band]?.n ?? LEAST_EXPONENT),
    table: null,
  };
}

/** A directivity from a measured table: Q is the inverse of its sphere mean. */
export function measuredDirectivity(table: AngleTable): Directivity {
  return { ...OMNIDIRECTIONAL, q: sphereMeans(table).map((mean) => 1 / mean), table };
}

export const OMNIDIRECTIONAL: Directivity = {
  q: sameInAllBands(1),
  b: sameInAllBands(1),
  n: sameInAllBands(LEAST_EXPONENT),
  table: null,
};

/** Gain G of one band at cos θ, 1 on axis. */
export function gain(directivity: Directivity, band: number, cos: number): number {
  const { table } = directivity;
  if (table) return readAngleTable(table, band, cos);
  const b = directivity.b[band] ?? 1;
  return b + (1 - b) * Math.max(0, (1 + cos) / 2) ** (directivity.n[band] ?? 1);
}

/** Gains on equal steps, eight bands a row: of the angle for a measured table, of cos(θ/2) for the formula. */
export type GainGrid = { readonly steps: number; readonly byAngle: boolean; readonly gains: Float64Array };

/**
 * In s = cos(θ/2) G is a smooth power s^(2n) with 2n ≥ 1. Read linearly between rows it is off by (2n/s)²/(8·steps²) of
 * itself: with 48 rows for each unit of n 0.002 dB at most where G is above −30 dB.
 */
const LEAST_STEPS = 512;
const STEPS_PER_EXPONENT = 48;

const grids = new WeakMap<Directivity, GainGrid>();

/** The directivity as a grid, made once: a power for every way and band took half of a whole recomputation. */
export function gainGrid(directivity: Directivity): GainGrid {
  const known = grids.get(directivity);
  if (known) return known;
  const { table } = directivity;
  const grid = table
    ? { steps: table.rows - 1, byAngle: true, gains: table.energy }
    : formulaGrid(directivity);
  grids.set(directivity, grid);
  return grid;
}

function formulaGrid(directivity: Directivity): GainGrid {
  const steps = Math.max(LEAST_STEPS, Math.ceil(STEPS_PER_EXPONENT * Math.max(...directivity.n)));
  const gains = new Float64Array((steps + 1) * BAND_COUNT);
  for (let step = 0; step <= steps; step++) {
    const cos = 2 * (step / steps) ** 2 - 1;
    for (let band = 0; band < BAND_COUNT; band++)
      gains[step * BAND_COUNT + band] = gain(directivity, band, cos);
  }
  return { steps, byAngle: false, gains };
}

/** Place on the grid of a direction at cos θ, in steps. */
export function gridPlace(grid: GainGrid, cos: number): number {
  if (grid.byAngle) return (Math.acos(Math.min(1, Math.max(-1, cos))) / Math.PI) * grid.steps;
  return Math.sqrt(Math.max(0, Math.min(1, (1 + cos) / 2))) * grid.steps;
}
