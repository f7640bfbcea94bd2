/** Quantile (one, not two), Cholesky, median polish; MT19937 from pure-rand (same stream, checked). */

/** Members by a key of each, in the order in which keys are met. */
export function grouped<T, K>(members: Iterable<T>, keyOf: (member: T) => K): Map<K, T[]> {
  const groups = new Map<K, T[]>();
  for (const member of members) {
    const key = keyOf(member);
    const group = groups.get(key);
    if (group) group.push(member);
    else groups.set(key, [member]);
  }
  return groups;
}

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

// Least squares of readings as row plus column, `y = s(row) + g(column)`, for one layer. What is common to all rows of a
// group could as well be in its columns: there the rows' sum is 0.

export type Size = { readonly rows: number; readonly columns: number };

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
/** The value below which a share of all lie, linear between neighbours; NaN of none. */
export function quantile(values: readonly number[] | Float64Array, share: number): number {
  const sorted = Float64Array.from(values).sort();
  const place = share * (sorted.length - 1);
  const low = sorted[Math.floor(place)] ?? Number.NaN;
  const high = sorted[Math.ceil(place)] ?? Number.NaN;
  return low + (high - low) * (place - Math.floor(place));
}

export const median = (values: readonly number[] | Float64Array): number => quantile(values, 0.5);

// Which rows and columns hang together: linked through readings, and to nothing else.

export type Linked = { readonly row: number; readonly column: number };

// Seeded random numbers: the same seed gives the same numbers on every machine.

const SIZE = 624;

const SHIFT = 397;

/**
 * Numbers from −1 to below 1, evenly. Mersenne twister MT19937, Matsumoto and Nishimura 1998; its 10,000th integer from seed
 * 5489 is 4123659995 by the C++ standard, [rand.predef].
 */
export function evenly(seed: number): () => number {
  const next = integers(seed);
  return () => next() / 2 ** 31 - 1;
}

/** Integers from 0 to 2³² − 1; `seed` is one of them. */
export function integers(seed: number): () => number {
  const state = seeded(seed);
  let at = SIZE;
  return () => {
    if (at === SIZE) {
      twist(state);
      at = 0;
    }
    return tempered(state[at++] as number);
  };
}

function seeded(seed: number): Uint32Array {
  const state = new Uint32Array(SIZE);
  state[0] = seed;
  for (let i = 1; i < SIZE; i++) {
    const last = state[i - 1] as number;
    state[i] = Math.imul(1812433253, last ^ (last >>> 30)) + i;
  }
  return state;
}

function twist(state: Uint32Array): void {
  for (let i = 0; i < SIZE; i++) {
    const mixed = ((state[i] as number) & 0x80000000) | ((state[(i + 1) % SIZE] as number) & 0x7fffffff);
    const half = (mixed >>> 1) ^ (mixed & 1 ? 0x9908b0df : 0);
    state[i] = (state[(i + SHIFT) % SIZE] as number) ^ half;
  }
}

function tempered(word: number): number {
  let y = word ^ (word >>> 11);
  y ^= (y << 7) & 0x9d2c5680;
  y ^= (y << 15) & 0xefc60000;
  return (y ^ (y >>> 18)) >>> 0;
}

// Percentiles of a sample.

/**
 * The value below which the share `p` (0 to 1) of a sorted sample lies, linear between its values. Hyndman and Fan 1996,
 * definition 7. A sample may hold infinite values.
 */
export function percentile(sorted: Float64Array, p: number): number {
  const at = Math.min(1, Math.max(0, p)) * (sorted.length - 1);
  const low = sorted[Math.floor(at)] as number;
  const high = sorted[Math.ceil(at)] as number;
  const part = at - Math.floor(at);
  return part === 0 || low === high || !Number.isFinite(low) ? low : low + (high - low) * part;
}

// A map whose values are made when they are asked for: a plan names a few entries of a catalogue of hundreds.

/** Entries of `written` by name, each read once, at its first use. */
export function lazyMap<Written, T>(
  written: Readonly<Record<string, Written>>,
  read: (name: string, written: Written) => T,
): ReadonlyMap<string, T> {
  const made = new Map<string, T>();
  const has = (name: string): boolean => Object.hasOwn(written, name);
  const get = (name: string): T | undefined => {
    if (!made.has(name) && has(name)) made.set(name, read(name, written[name] as Written));
    return made.get(name);
  };
  const keys = () => Object.keys(written)[Symbol.iterator]();
  const entries = () =>
    Object.keys(written)
      .map((name): [string, T] => [name, get(name) as T])
      [Symbol.iterator]();
  return {
    has,
    get,
    keys,
    entries,
    [Symbol.iterator]: entries,
    values: () =>
      Object.keys(written)
        .map((name) => get(name) as T)
        [Symbol.iterator](),
    forEach: (visit) => {
      for (const [name, value] of entries()) visit(value, name, made);
    },
    size: Object.keys(written).length,
  };
}
