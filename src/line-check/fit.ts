/** Robust two-way fit, octaves tied together. */

import type { Scene } from '../scene/scene.ts';
import { cholesky, median, medianPolish, solve, type TableCell, type TableSize } from '../statistics.ts';
import { type Cell, type Group, groupsOf, normalizedReadings, type Readings } from './readings.ts';

/** Readings held against what the plan predicts, dB packed as they are. */
export type FittedReadings = {
  /** All that stand over the noise, and those of them where the plan says that sound arrives. */
  readonly cells: readonly Cell[];
  readonly heard: readonly Cell[];
  readonly drowned: ReturnType<typeof normalizedReadings>['drowned'];
  readonly groups: readonly Group[];
  /** Of those heard, octaves tied together. */
  readonly fit: Fit;
  /** By row, over all octaves: dB against the plan; null where nothing was read. */
  readonly sources: readonly (Fitted | null)[];
  /** By column: the mean gain of its octaves; null where nothing was read. */
  readonly gains: readonly (Fitted | null)[];
  /** Readings beyond the levels and gains that they determine. */
  readonly degreesOfFreedom: number;
};

export function fitReadings(scene: Scene, readings: Readings, predicted: Float64Array): FittedReadings {
  const { cells, drowned } = normalizedReadings(readings);
  const heard = cells.filter(({ at }) => Number.isFinite(predicted[at]));
  const anchored = anchoredFit(scene, readings, heard, fit(heard, predicted, readings));
  return {
    ...{ cells, heard, drowned, groups: groupsOf(heard), fit: anchored },
    sources: overallLevels(scene, readings, anchored),
    gains: overallGains(readings, anchored),
    degreesOfFreedom: degreesOfFreedom(heard, readings),
  };
}

/** Layer by layer. */
function degreesOfFreedom(cells: readonly Cell[], { layers }: Readings): number {
  return layers.reduce<number>((sum, _, layer) => {
    const own = cells.filter((cell) => cell.layer === layer);
    const unknowns = groupsOf(own).map(({ rows, columns }) => rows.length + columns.length - 1);
    return sum + own.length - unknowns.reduce((all, one) => all + one, 0);
  }, 0);
}

// A fit whose octaves hang together. Each octave by itself leaves one amount open between its sources and its gains; a gain is
// taken to be the same in all octaves, so that what is common to all gains of an octave goes to its sources. One amount common
// to all stays open: it is taken such that the median source is as the plan has it.

/** `cells` are those that were fitted. */
function anchoredFit(scene: Scene, readings: Readings, cells: readonly Cell[], fit: Fit): Fit {
  const level = readings.layers.length > 1 ? levelled(readings, cells, fit) : fit;
  const overall = overallLevels(scene, readings, level);
  return groupsOf(cells).reduce((so, group) => {
    const middle = median(group.rows.flatMap((row) => overall[row]?.value ?? []));
    return Number.isFinite(middle) ? shifted(so, { by: -middle, unsure: 0 }, () => group) : so;
  }, level);
}

/** An amount that goes from the gains of a group to its sources, dB, and how uncertain it is. */
type Shift = { readonly by: number; readonly unsure: number };

/** `groupIn` says whose it is in a layer; null where nobody's. */
function shifted(fit: Fit, { by, unsure }: Shift, groupIn: (layer: number) => Group | null): Fit {
  const layers = fit.layers.map((layer, i): LayerFit => {
    const group = groupIn(i);
    if (!group) return layer;
    const moved = (own: readonly number[], by: number) => (one: Fitted | null, k: number) =>
      one && own.includes(k) ? { value: one.value + by, error: Math.hypot(one.error, unsure) } : one;
    return {
      sources: layer.sources.map(moved(group.rows, by)),
      gains: layer.gains.map(moved(group.columns, -by)),
    };
  });
  return { ...fit, layers };
}

type Knot = { readonly layer: number; readonly group: Group };

/** Gains as channel less what is open in the group of an octave: least squares, each gain as sure as it is. */
function levelled(readings: Readings, cells: readonly Cell[], fit: Fit): Fit {
  const knots = readings.layers.flatMap((_, layer) =>
    groupsOf(cells.filter((cell) => cell.layer === layer)).map((group): Knot => ({ layer, group })),
  );
  const gains = knots.flatMap(({ layer, group }, column) =>
    group.columns.map((row) => ({ row, column, gain: fit.layers[layer]?.gains[row] as Fitted })),
  );
  const weights = Float64Array.from(gains, ({ gain }) => 1 / Math.max(LEAST_ERROR, gain.error) ** 2);
  const rows = readings.columns.length;
  const open = twoWay(gains, weights, { rows, columns: knots.length }).fit(
    Float64Array.from(gains, ({ gain }) => gain.value),
  );
  return knots.reduce((so, { layer, group }, k) => {
    const held = weights.filter((_, i) => gains[i]?.column === k).reduce((sum, one) => sum + one, 0);
    // what is common to several sources leaves them as sure as they were against one another
    const unsure = group.rows.length > 1 ? 0 : 1 / Math.sqrt(held);
    const shift = { by: open[rows + k] as number, unsure };
    return shifted(so, shift, (one) => (one === layer ? group : null));
  }, fit);
}

/** No gain is surer than this, dB. */
const LEAST_ERROR = 0.1;

/** Octaves weighed by the power that the plan gives them. */
function overallLevels({ sources }: Scene, { rows, layers }: Readings, fit: Fit): (Fitted | null)[] {
  return rows.map((row, i) => {
    const parts = layers.flatMap((band, layer) => {
      const fitted = fit.layers[layer]?.sources[i];
      const power = row.sources.reduce((sum, source) => sum + powerIn(sources[source]?.power, band), 0);
      return fitted && power > 0 ? [{ ...fitted, power }] : [];
    });
    const before = parts.reduce((sum, { power }) => sum + power, 0);
    const after = parts.map(({ power, value }) => power * 10 ** (value / 10));
    const sum = after.reduce((all, one) => all + one, 0);
    if (before <= 0) return null;
    const variance = parts.reduce(
      (all, { error }, k) => all + (((after[k] as number) / sum) * error) ** 2,
      0,
    );
    return { value: 10 * Math.log10(sum / before), error: Math.sqrt(variance) };
  });
}

const powerIn = (power: Float64Array | undefined, band: number | null): number =>
  band === null ? (power?.reduce((sum, one) => sum + one, 0) ?? 0) : (power?.[band] ?? 0);

/** Each octave as sure as it is. */
function overallGains({ columns, layers }: Readings, fit: Fit): (Fitted | null)[] {
  return columns.map((_, i) => {
    const parts = layers.flatMap((__, layer) => fit.layers[layer]?.gains[i] ?? []);
    const weights = parts.map(({ error }) => 1 / Math.max(0.01, error) ** 2);
    const all = weights.reduce((sum, one) => sum + one, 0);
    if (parts.length === 0) return null;
    const value = parts.reduce((sum, one, k) => sum + one.value * (weights[k] as number), 0) / all;
    return { value, error: Math.sqrt(1 / all) };
  });
}

/** dB, with its standard error; of a source against the mean of its group. */
export type Fitted = { readonly value: number; readonly error: number };

type LayerFit = {
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

function fitLayer(cells: readonly Cell[], values: Float64Array, size: TableSize): Solved {
  const plain = Float64Array.from(cells, ({ sigma }) => 1 / sigma ** 2);
  const freedom = Math.max(1, cells.length - unknowns(cells, plain, size));
  let residuals = medianPolish(cells, values, size);
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

function unknowns(cells: readonly Cell[], weights: Float64Array, size: TableSize): number {
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
  { rows }: TableSize,
): Float64Array {
  return Float64Array.from(
    cells,
    ({ row, column }, i) =>
      (values[i] as number) - (solved[row] as number) - (solved[rows + column] as number),
  );
}

type Done = { readonly solved: Float64Array; readonly scale: number; readonly size: TableSize };

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

// Least squares of readings as row plus column, `y = s(row) + g(column)`, for one layer. What is common to all rows of a
// group could as well be in its columns: there the rows' sum is 0.

type TwoWay = {
  readonly groups: readonly Group[];
  /** Fitted rows, then columns, of values in the order of the readings. */
  readonly fit: (values: Float64Array) => Float64Array;
  /** Diagonal of the covariance for readings of variance 1/weight, rows then columns. */
  readonly variances: () => Float64Array;
};

export function twoWay(
  readings: readonly TableCell[],
  weights: Float64Array,
  { rows, columns }: TableSize,
): TwoWay {
  const n = rows + columns;
  const groups = groupsOf(readings);
  const normal = normalMatrix(readings, weights, rows, n);
  // a pin on each group's sum of rows takes nothing from the fit: it acts along the one direction that readings leave open
  for (const group of groups)
    for (const i of group.rows)
      for (const k of group.rows) normal[i * n + k] = (normal[i * n + k] as number) + 1;
  const l = cholesky(normal, n);
  return {
    groups,
    fit: (values) => {
      const right = new Float64Array(n);
      for (const [i, { row, column }] of readings.entries()) {
        const pull = (weights[i] as number) * (values[i] as number);
        right[row] = (right[row] as number) + pull;
        right[rows + column] = (right[rows + column] as number) + pull;
      }
      return solve(l, n, right);
    },
    variances: () => {
      const diagonal = new Float64Array(n);
      for (let i = 0; i < n; i++) diagonal[i] = solve(l, n, unitVector(n, i))[i] as number;
      // the pin's own share, 1/r² along the open direction, is no uncertainty
      for (const group of groups)
        for (const i of [...group.rows, ...group.columns.map((column) => rows + column)])
          diagonal[i] = Math.max(0, (diagonal[i] as number) - 1 / group.rows.length ** 2);
      return diagonal;
    },
  };
}

function normalMatrix(
  readings: readonly TableCell[],
  weights: Float64Array,
  rows: number,
  n: number,
): Float64Array {
  const normal = new Float64Array(n * n);
  for (const [i, { row, column }] of readings.entries()) {
    const weight = weights[i] as number;
    for (const a of [row, rows + column])
      for (const b of [row, rows + column]) normal[a * n + b] = (normal[a * n + b] as number) + weight;
  }
  return normal;
}

function unitVector(n: number, i: number): Float64Array {
  const unit = new Float64Array(n);
  unit[i] = 1;
  return unit;
}
