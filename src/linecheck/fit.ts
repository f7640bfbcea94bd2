/**
 * Readings against the plan: `measured = predicted + level of the source + gain of the channel + residual`, all in dB, layer
 * by layer. Solved robustly: median polish to start (it withstands wrong readings up to, but not, half of any row and
 * column; Tukey 1977), then iteratively reweighted least squares with Tukey's biweight.
 */
import type { Cell } from './cells.ts';
import { polish } from './polish.ts';
import { median } from './quantile.ts';
import type { Readings } from './readings.ts';
import { type Size, twoWay } from './two-way.ts';

/** dB, with its standard error; of a source against the mean of its group. */
export type Fitted = { readonly value: number; readonly error: number };

export type LayerFit = {
  /** By row and column; null where nothing was read. The median of the rows of a group is 0. */
  readonly sources: readonly (Fitted | null)[];
  readonly gains: readonly (Fitted | null)[];
};

export type Fit = {
  readonly layers: readonly LayerFit[];
  /** What is left of each cell, dB. */
  readonly residuals: Float64Array;
  /** 1 for a cell that counted in full, near 0 for one that the fit set aside. */
  readonly trust: Float64Array;
  /** Root mean square of the residuals, dB, all alike. */
  readonly rms: number;
};

/** Cells without a finite prediction count for nothing: the plan says that no sound arrives. */
export function fit(cells: readonly Cell[], predicted: Float64Array, readings: Readings): Fit {
  const size = { rows: readings.rows.length, columns: readings.columns.length };
  const residuals = new Float64Array(cells.length).fill(Number.NaN);
  const trust = new Float64Array(cells.length);
  const layers = readings.layers.map((_, layer) => {
    const held = [...cells.keys()].filter(
      (i) => cells[i]?.layer === layer && Number.isFinite(predicted[cells[i]?.at ?? -1]),
    );
    const own = held.map((i) => cells[i] as Cell);
    const values = Float64Array.from(own, ({ level, at }) => level - (predicted[at] as number));
    const fitted = fitLayer(own, values, size);
    for (const [k, i] of held.entries()) {
      residuals[i] = fitted.residuals[k] as number;
      trust[i] = fitted.trust[k] as number;
    }
    return fitted.layer;
  });
  return { layers, residuals, trust, rms: rootMeanSquare(residuals) };
}

export function rootMeanSquare(values: Float64Array): number {
  const finite = values.filter(Number.isFinite);
  return finite.length === 0 ? 0 : Math.sqrt(finite.reduce((sum, one) => sum + one * one, 0) / finite.length);
}

/** Bend of the biweight, in standard deviations: 95 % efficient for normal errors. Holland and Welsch 1977. */
const BEND = 4.685;
/** A standard deviation over the median of absolute values, for normal errors. */
const FROM_MEDIAN = 1.4826;
const ROUNDS = 50;
/** What is set aside keeps this, so that no row or column is left without any. */
const LEAST_TRUST = 1e-3;

type Solved = { readonly layer: LayerFit; readonly residuals: Float64Array; readonly trust: Float64Array };

function fitLayer(cells: readonly Cell[], values: Float64Array, size: Size): Solved {
  const plain = Float64Array.from(cells, ({ sigma }) => 1 / sigma ** 2);
  const freedom = Math.max(1, cells.length - unknowns(cells, plain, size));
  let residuals = polish(cells, values, size);
  const scale = scaleOf(cells, residuals, cells.length / freedom);
  let trust = new Float64Array(cells.length).fill(1);
  let solved = new Float64Array(size.rows + size.columns);
  for (let round = 0; round < ROUNDS; round++) {
    trust = Float64Array.from(cells, ({ sigma }, i) => biweight((residuals[i] as number) / (sigma * scale)));
    const weights = trust.map((one, i) => one * (plain[i] as number));
    solved = new Float64Array(twoWay(cells, weights, size).fit(values));
    const next = leftOf(cells, values, solved, size);
    const moved = next.reduce((most, one, i) => Math.max(most, Math.abs(one - (residuals[i] as number))), 0);
    residuals = next;
    if (moved < 1e-6) break;
  }
  const weights = trust.map((one, i) => one * (plain[i] as number));
  return { layer: layerOf(cells, weights, { solved, scale, size }), residuals, trust };
}

function unknowns(cells: readonly Cell[], weights: Float64Array, size: Size): number {
  const { groups } = twoWay(cells, weights, size);
  return groups.reduce((sum, { rows, columns }) => sum + rows.length + columns.length - 1, 0);
}

const biweight = (z: number): number =>
  Math.max(LEAST_TRUST, Math.abs(z) < BEND ? (1 - (z / BEND) ** 2) ** 2 : 0);

/** How much wider residuals are than readings alone explain; at least 1. */
function scaleOf(cells: readonly Cell[], residuals: Float64Array, inflation: number): number {
  const sizes = cells.map(({ sigma }, i) => Math.abs(residuals[i] as number) / sigma);
  return cells.length === 0 ? 1 : Math.max(1, FROM_MEDIAN * median(sizes) * Math.sqrt(inflation));
}

function leftOf(
  cells: readonly Cell[],
  values: Float64Array,
  solved: Float64Array,
  { rows }: Size,
): Float64Array {
  return Float64Array.from(
    cells,
    ({ row, column }, i) =>
      (values[i] as number) - (solved[row] as number) - (solved[rows + column] as number),
  );
}

type Done = { readonly solved: Float64Array; readonly scale: number; readonly size: Size };

/** Moves each group so that its median row is 0: a single source that is far off then moves no other. */
function layerOf(cells: readonly Cell[], weights: Float64Array, { solved, scale, size }: Done): LayerFit {
  const { groups, variances } = twoWay(cells, weights, size);
  const spread = variances();
  const sources: (Fitted | null)[] = new Array(size.rows).fill(null);
  const gains: (Fitted | null)[] = new Array(size.columns).fill(null);
  const errorAt = (i: number) => scale * Math.sqrt(spread[i] as number);
  for (const { rows, columns } of groups) {
    const middle = median(rows.map((row) => solved[row] as number));
    for (const row of rows) sources[row] = { value: (solved[row] as number) - middle, error: errorAt(row) };
    for (const column of columns) {
      const i = size.rows + column;
      gains[column] = { value: (solved[i] as number) + middle, error: errorAt(i) };
    }
  }
  return { sources, gains };
}
