/** Sample statistics, seeded random numbers, two-way tables and symmetric matrices. */
import { mersenne } from 'pure-rand/generator/mersenne';

/** Rounds to so many decimals; never −0. */
export function rounded(value: number, decimals: number): number {
  const parts = 10 ** decimals;
  return Math.round(value * parts) / parts + 0;
}

/** Members by a key of each, in the order in which keys are met. */
export function groupBy<T, K>(members: Iterable<T>, keyOf: (member: T) => K): Map<K, T[]> {
  const groups = new Map<K, T[]>();
  for (const member of members) {
    const key = keyOf(member);
    const group = groups.get(key);
    if (group) group.push(member);
    else groups.set(key, [member]);
  }
  return groups;
}

// Quantiles.

export const ascending = (values: Iterable<number>): Float64Array => Float64Array.from(values).sort();

/**
 * The value below which the share `p` (0 to 1) of a sample in ascending order lies, linear between its values; NaN of an empty
 * one. Hyndman and Fan 1996, definition 7. A sample may hold infinite values.
 */
export function quantile(sorted: Float64Array, p: number): number {
  const at = Math.min(1, Math.max(0, p)) * (sorted.length - 1);
  const low = sorted[Math.floor(at)] ?? Number.NaN;
  const high = sorted[Math.ceil(at)] ?? Number.NaN;
  const part = at - Math.floor(at);
  return part === 0 || low === high || !Number.isFinite(low) ? low : low + (high - low) * part;
}

/** Median of values in any order. */
export const median = (values: Iterable<number>): number => quantile(ascending(values), 0.5);

// Random numbers: the same seed gives the same numbers on every machine.

/** Integers from 0 to 2³² − 1 by the Mersenne twister MT19937, Matsumoto and Nishimura 1998. `seed` is such an integer. */
export function integers(seed: number): () => number {
  const generator = mersenne(seed);
  return () => generator.next() >>> 0;
}

/** Uniform numbers from −1 to below 1. */
export function uniform(seed: number): () => number {
  const next = integers(seed);
  return () => next() / 2 ** 31 - 1;
}

// Two-way tables of rows and columns.

/** Row and column of a value. */
export type TableCell = { readonly row: number; readonly column: number };
export type TableSize = { readonly rows: number; readonly columns: number };
const SWEEPS = 20;

/** Residuals of `values` after medians of rows and columns are taken out in turn. Median polish, Tukey 1977. */
export function medianPolish(
  cells: readonly TableCell[],
  values: Float64Array,
  { rows, columns }: TableSize,
): Float64Array {
  const residuals = values.slice();
  const at = (matches: (cell: TableCell) => boolean) =>
    cells.flatMap((cell, i) => (matches(cell) ? [i] : []));
  const lines = [
    ...Array.from({ length: rows }, (_, row) => at((cell) => cell.row === row)),
    ...Array.from({ length: columns }, (_, column) => at((cell) => cell.column === column)),
  ].filter((members) => members.length > 0);
  for (let sweep = 0; sweep < SWEEPS; sweep++) {
    for (const members of lines) {
      const middle = median(members.map((i) => residuals[i] as number));
      for (const i of members) residuals[i] = (residuals[i] as number) - middle;
    }
  }
  return residuals;
}

// Symmetric positive definite matrices, packed row by row.

/** Lower triangle L with L·Lᵀ = A, in place of A's lower triangle. A direction without weight gets an infinite pivot. */
export function cholesky(a: Float64Array, n: number): Float64Array {
  const l = a.slice();
  for (let j = 0; j < n; j++) {
    let pivot = l[j * n + j] as number;
    for (let k = 0; k < j; k++) pivot -= (l[j * n + k] as number) ** 2;
    const root = pivot > 1e-12 ? Math.sqrt(pivot) : Number.POSITIVE_INFINITY;
    l[j * n + j] = root;
    for (let i = j + 1; i < n; i++) {
      let sum = l[i * n + j] as number;
      for (let k = 0; k < j; k++) sum -= (l[i * n + k] as number) * (l[j * n + k] as number);
      l[i * n + j] = sum / root;
    }
  }
  return l;
}

/** L⁻¹·b. */
export function forward(l: Float64Array, n: number, b: Float64Array): Float64Array {
  const x = b.slice();
  for (let i = 0; i < n; i++) {
    let sum = x[i] as number;
    for (let k = 0; k < i; k++) sum -= (l[i * n + k] as number) * (x[k] as number);
    x[i] = sum / (l[i * n + i] as number);
  }
  return x;
}

/** A⁻¹·b of A = L·Lᵀ. */
export function solve(l: Float64Array, n: number, b: Float64Array): Float64Array {
  const x = forward(l, n, b);
  for (let i = n - 1; i >= 0; i--) {
    let sum = x[i] as number;
    for (let k = i + 1; k < n; k++) sum -= (l[k * n + i] as number) * (x[k] as number);
    x[i] = sum / (l[i * n + i] as number);
  }
  return x;
}
