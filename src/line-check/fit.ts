/** Robust two-way fit, octaves tied together. */
import type { Scene } from '../scene/scene.ts';
import { cholesky, median, medianPolish, solve, type TableCell, type TableSize } from '../statistics.ts';
import { type Cell, type Group, groupsOf, normalizedReadings, type Readings } from './readings.ts';

/** Readings held against what the plan predicts, dB packed as they are. */
export type FittedReadings = ReturnType<typeof normalizedReadings> & {
  /** Those above the noise, where the plan predicts sound. */
  readonly heard: readonly Cell[];
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
  const normalized = normalizedReadings(readings);
  const heard = normalized.cells.filter(({ at }) => Number.isFinite(predicted[at]));
  const anchored = anchoredFit(scene, readings, heard, fit(heard, predicted, readings));
  return {
    ...{ ...normalized, heard, groups: groupsOf(heard), fit: anchored },
    sources: overallLevels(scene, readings, anchored),
    gains: overallGains(readings, anchored),
    degreesOfFreedom: degreesOfFreedom(heard, readings),
  };
}

/** Layer by layer. */
const degreesOfFreedom = (cells: readonly Cell[], { layers }: Readings): number =>
  layers.reduce<number>((sum, _, layer) => {
    const own = cells.filter((cell) => cell.layer === layer);
    return sum + own.length - unknowns(groupsOf(own));
  }, 0);

const unknowns = (groups: readonly Group[]): number =>
  groups.reduce((sum, { rows, columns }) => sum + rows.length + columns.length - 1, 0);

// A fit whose octaves hang together. Each octave by itself leaves one amount open between its sources and its gains; a gain is
// taken to be the same in all octaves, so that what is common to all gains of an octave goes to its sources. One amount common
// to all stays open: it is taken such that the median source is as the plan has it.

/** `cells` are those that were fitted. */
function anchoredFit(scene: Scene, readings: Readings, cells: readonly Cell[], fit: Fit): Fit {
  const level = readings.layers.length > 1 ? levelled(readings, cells, fit) : fit;
  const overall = overallLevels(scene, readings, level);
  return groupsOf(cells).reduce((so, group) => {
    const middle = median(group.rows.flatMap((row) => overall[row]?.value ?? []));
    return Number.isFinite(middle) ? shifted(so, { by: -middle, unsure: 0, group, layer: null }) : so;
  }, level);
}

/** An amount that goes from the gains of a group to its sources, dB, in one layer or in all, and how uncertain it is. */
type Shift = {
  readonly by: number;
  readonly unsure: number;
  readonly group: Group;
  readonly layer: number | null;
};

function shifted(fit: Fit, { by, unsure, group: { rows, columns }, layer: only }: Shift): Fit {
  const moved = (own: readonly number[], by: number) => (one: Fitted | null, k: number) =>
    one && own.includes(k) ? { value: one.value + by, error: Math.hypot(one.error, unsure) } : one;
  const layers = fit.layers.map(({ sources, gains }, layer) =>
    only === null || layer === only
      ? { sources: sources.map(moved(rows, by)), gains: gains.map(moved(columns, -by)) }
      : { sources, gains },
  );
  return { ...fit, layers };
}

/** Gains as channel less what is open in the group of an octave: least squares, each gain as sure as it is. */
function levelled(readings: Readings, cells: readonly Cell[], fit: Fit): Fit {
  const knots = readings.layers.flatMap((_, layer) =>
    groupsOf(cells.filter((cell) => cell.layer === layer)).map((group) => ({ layer, group })),
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
    return shifted(so, { by: open[rows + k] as number, unsure, group, layer });
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
    const errors = parts.map(({ error }, k) => ((after[k] as number) / sum) * error);
    return { value: 10 * Math.log10(sum / before), error: Math.sqrt(squares(errors)) };
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
  const finite = [...values.filter(Number.isFinite)];
  return finite.length === 0 ? 0 : Math.sqrt(squares(finite) / finite.length);
}

const squares = (values: readonly number[]): number => values.reduce((sum, one) => sum + one * one, 0);

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
  const freedom = Math.max(1, cells.length - unknowns(groupsOf(cells)));
  let residuals = medianPolish(cells, values, size);
  const scale = scaleOf(cells, residuals, cells.length / freedom);
  for (let round = 1; ; round++) {
    const trust = Float64Array.from(cells, ({ sigma }, i) =>
      biweight((residuals[i] as number) / (sigma * scale)),
    );
    const weights = trust.map((one, i) => one * (plain[i] as number));
    const table = twoWay(cells, weights, size);
    const solved = table.fit(values);
    const before = residuals;
    residuals = values.map((value, i) => {
      const { row, column } = cells[i] as Cell;
      return value - (solved[row] as number) - (solved[size.rows + column] as number);
    });
    const isSettled = residuals.every((one, i) => Math.abs(one - (before[i] as number)) < 1e-6);
    if (isSettled || round === ROUNDS)
      return { layer: layerOf(table, solved, scale, size), residuals, trust };
  }
}

const biweight = (z: number): number =>
  Math.max(LEAST_TRUST, Math.abs(z) < BEND ? (1 - (z / BEND) ** 2) ** 2 : 0);

/** How much wider residuals are than readings alone explain; at least 1. */
function scaleOf(cells: readonly Cell[], residuals: Float64Array, inflation: number): number {
  const sizes = cells.map(({ sigma }, i) => Math.abs(residuals[i] as number) / sigma);
  return cells.length === 0 ? 1 : Math.max(1, FROM_MEDIAN * median(sizes) * Math.sqrt(inflation));
}

/** Moves each group so that its median row is 0: a single source that is far off then moves no other. */
function layerOf(
  { groups, variances }: TwoWay,
  solved: Float64Array,
  scale: number,
  size: TableSize,
): LayerFit {
  const errors = variances().map((one) => scale * Math.sqrt(one));
  const sources: (Fitted | null)[] = new Array(size.rows).fill(null);
  const gains: (Fitted | null)[] = new Array(size.columns).fill(null);
  const at = (i: number, by: number) => ({ value: (solved[i] as number) + by, error: errors[i] as number });
  for (const { rows, columns } of groups) {
    const middle = median(rows.map((row) => solved[row] as number));
    for (const row of rows) sources[row] = at(row, -middle);
    for (const column of columns) gains[column] = at(size.rows + column, middle);
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
  const normal = new Float64Array(n * n);
  const link = (members: readonly number[], by: number) => {
    for (const a of members) for (const b of members) normal[a * n + b] = (normal[a * n + b] as number) + by;
  };
  for (const [i, { row, column }] of readings.entries()) link([row, rows + column], weights[i] as number);
  // a pin on each group's sum of rows takes nothing from the fit: it acts along the one direction that readings leave open
  for (const group of groups) link(group.rows, 1);
  const l = cholesky(normal, n);
  return {
    groups,
    fit: (values) => {
      const right = new Float64Array(n);
      for (const [i, { row, column }] of readings.entries())
        for (const k of [row, rows + column])
          right[k] = (right[k] as number) + (weights[i] as number) * (values[i] as number);
      return solve(l, n, right);
    },
    variances: () => {
      const axis = (i: number) => Float64Array.from({ length: n }, (_, k) => (k === i ? 1 : 0));
      const diagonal = Float64Array.from({ length: n }, (_, i) => solve(l, n, axis(i))[i] as number);
      // the pin's own share, 1/r² along the open direction, is no uncertainty
      for (const group of groups)
        for (const i of [...group.rows, ...group.columns.map((column) => rows + column)])
          diagonal[i] = Math.max(0, (diagonal[i] as number) - 1 / group.rows.length ** 2);
      return diagonal;
    },
  };
}
