/**
 * Least squares of readings as row plus column, `y = s(row) + g(column)`, for one layer. What is common to all rows of a
 * group could as well be in its columns: there the rows' sum is 0.
 */
import { cholesky, solve } from './cholesky.ts';
import { type Group, groupsOf, type Linked } from './groups.ts';

export type TwoWay = {
  readonly groups: readonly Group[];
  /** Fitted rows, then columns, of values in the order of the readings. */
  readonly fit: (values: Float64Array) => Float64Array;
  /** Diagonal of the covariance for readings of variance 1/weight, rows then columns. */
  readonly variances: () => Float64Array;
};

export type Size = { readonly rows: number; readonly columns: number };

export function twoWay(readings: readonly Linked[], weights: Float64Array, { rows, columns }: Size): TwoWay {
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
  readings: readonly Linked[],
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
