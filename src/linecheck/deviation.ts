/**
 * How far readings are from what is predicted, measured by what the tolerance makes likely: levels of sources and gains of
 * channels taken out, each cell over its own uncertainty, and ways in which a day within the tolerance differs from the plan
 * counted little. With C the covariance of such days and of reading, over that of reading alone, distances are `aᵀC⁻¹b`.
 */
import type { Cell } from './cells.ts';
import { cholesky, forward } from './cholesky.ts';
import type { Readings } from './readings.ts';
import { twoWay } from './two-way.ts';

/** A difference in dB per cell, made ready for `product`. */
export type Deviation = {
  /** What no level or gain explains, in standard deviations of reading. */
  readonly rest: Float64Array;
  /** Its part along each day of the tolerance. */
  readonly along: Float64Array;
};

export type Metric = {
  readonly of: (differences: Float64Array) => Deviation;
  /** What no level or gain explains, dB per cell, plain least squares. */
  readonly left: (differences: Float64Array) => Float64Array;
};

/** `days` are differences from the plan, dB per cell, on days within the tolerance. */
export function metricOf(cells: readonly Cell[], readings: Readings, days: readonly Float64Array[]): Metric {
  const left = remover(cells, readings);
  const inSigmas = (differences: Float64Array) =>
    left(differences).map((one, i) => one / (cells[i] as Cell).sigma);
  const count = days.length;
  const spread = days.map(inSigmas);
  // Woodbury: C = 1 + XXᵀ/K has C⁻¹ = 1 − X(K + XᵀX)⁻¹Xᵀ
  const inner = new Float64Array(count * count);
  for (let i = 0; i < count; i++)
    for (let k = 0; k <= i; k++)
      inner[i * count + k] =
        dot(spread[i] as Float64Array, spread[k] as Float64Array) + (i === k ? count : 0);
  const l = cholesky(inner, count);
  return {
    left,
    of: (differences) => {
      const rest = inSigmas(differences);
      return {
        rest,
        along: forward(
          l,
          count,
          Float64Array.from(spread, (day) => dot(day, rest)),
        ),
      };
    },
  };
}

/** aᵀC⁻¹b. */
export const product = (a: Deviation, b: Deviation): number => dot(a.rest, b.rest) - dot(a.along, b.along);

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += (a[i] as number) * (b[i] as number);
  return sum;
}

/** Takes levels and gains out of differences, layer by layer. */
function remover(cells: readonly Cell[], readings: Readings): Metric['left'] {
  const size = { rows: readings.rows.length, columns: readings.columns.length };
  const layers = readings.layers.map((_, layer) => {
    const held = [...cells.keys()].filter((i) => cells[i]?.layer === layer);
    const own = held.map((i) => cells[i] as Cell);
    return {
      held,
      own,
      ...twoWay(
        own,
        Float64Array.from(own, ({ sigma }) => 1 / sigma ** 2),
        size,
      ),
    };
  });
  return (differences) => {
    const left = new Float64Array(cells.length);
    for (const { held, own, fit } of layers) {
      const fitted = fit(Float64Array.from(held, (i) => differences[i] as number));
      for (const [k, i] of held.entries()) {
        const { row, column } = own[k] as Cell;
        left[i] =
          (differences[i] as number) - (fitted[row] as number) - (fitted[size.rows + column] as number);
      }
    }
    return left;
  };
}
