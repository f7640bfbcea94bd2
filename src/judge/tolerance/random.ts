/** Seeded random numbers: the same seed gives the same numbers on every machine. */

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
