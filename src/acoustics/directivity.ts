/** Directivity of sources: `G(θ) = b + (1−b)·((1+cos θ)/2)^n`, fitted to a directivity factor and a front-to-back ratio. */
import type { Directivity } from '../scene/scene.ts';
import { type AngleTable, readAngleTable, sphereMean } from './angle-table.ts';
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
  return { ...OMNIDIRECTIONAL, q: bands((band) => 1 / sphereMean(table, band)), table };
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

/** Steps in s = cos(θ/2), in which G is a smooth power s^(2n) with 2n ≥ 1. */
export const GRID_STEPS = 2048;

const grids = new WeakMap<Directivity, Float32Array>();

/**
 * G on a grid of equal steps in cos(θ/2), eight bands a row, made once a directivity. Read linearly between its rows it is
 * true to 0.001 dB wherever G is above −40 dB; a power for every way and band took half of a whole recomputation.
 */
export function gainGrid(directivity: Directivity): Float32Array {
  const known = grids.get(directivity);
  if (known) return known;
  const grid = new Float32Array((GRID_STEPS + 1) * BAND_COUNT);
  for (let step = 0; step <= GRID_STEPS; step++) {
    const cos = 2 * (step / GRID_STEPS) ** 2 - 1;
    for (let band = 0; band < BAND_COUNT; band++)
      grid[step * BAND_COUNT + band] = gain(directivity, band, cos);
  }
  grids.set(directivity, grid);
  return grid;
}
