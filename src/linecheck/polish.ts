import type { Linked } from './groups.ts';
import { median } from './quantile.ts';
import type { Size } from './two-way.ts';

const ROUNDS = 20;

/** What is left when medians of rows and columns are taken out by turns. Median polish, Tukey 1977. */
export function polish(
  readings: readonly Linked[],
  values: Float64Array,
  { rows, columns }: Size,
): Float64Array {
  const left = values.slice();
  const lines = [
    ...Array.from({ length: rows }, (_, row) => membersOf(readings, (one) => one.row === row)),
    ...Array.from({ length: columns }, (_, column) => membersOf(readings, (one) => one.column === column)),
  ].filter((members) => members.length > 0);
  for (let round = 0; round < ROUNDS; round++) {
    for (const members of lines) {
      const middle = median(members.map((i) => left[i] as number));
      for (const i of members) left[i] = (left[i] as number) - middle;
    }
  }
  return left;
}

const membersOf = (readings: readonly Linked[], holds: (one: Linked) => boolean): number[] =>
  readings.flatMap((one, i) => (holds(one) ? [i] : []));
