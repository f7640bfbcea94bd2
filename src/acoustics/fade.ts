/** e^(−x) for what air takes off a way, asked for every way and band. */

/** Up to this a few terms of the series are enough, 2e-9 off at most. */
const SHORT = 0.1;
/** Nodes per unit of x; beyond the last one nothing is left that counts (e^(−64) is −278 dB). */
const NODES = 16;
const TABLE = Float64Array.from({ length: 64 * NODES + 1 }, (_, i) => Math.exp(-i / NODES));

/** e^(−x), x ≥ 0. From the nearest node and the series of the rest, 1e-14 off: `Math.exp` is a call out of the loop. */
export function faded(x: number): number {
  if (x <= SHORT) return 1 - x * (1 - x * (1 / 2 - x * (1 / 6 - x * (1 / 24 - x * (1 / 120)))));
  if (x > 64) return Math.exp(-x);
  const node = (x * NODES + 0.5) | 0;
  const y = x - node / NODES;
  const rest = 1 - y * (1 - y * (1 / 2 - y * (1 / 6 - y * (1 / 24 - y * (1 / 120 - y * (1 / 720))))));
  return (TABLE[node] as number) * rest;
}
