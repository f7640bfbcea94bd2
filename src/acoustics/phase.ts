/** Sine and cosine of many phases at once, counted in whole turns: what interference of ways is made of. */

const NODES = 256;
const TABLE = unitCircle();

/**
 * Writes cos and sin of `turns[i]·way` whole turns, ≥ 0, one after the other from `from` on. From the nearest of 256 points of the
 * circle by the series of the rest,
 * 1e-14 off: five times as fast as `Math.cos` and `Math.sin`, and these were a quarter of all time among panels.
 */
export function setPhases(into: Float64Array, from: number, turns: Float64Array, way: number): void {
  let to = from;
  for (let i = 0; i < turns.length; i++, to += 2) {
    const turn = (turns[i] as number) * way;
    const node = (turn * NODES + 0.5) | 0;
    const at = (node & (NODES - 1)) * 2;
    const rest = (turn - node / NODES) * (2 * Math.PI);
    const square = rest * rest;
    const c = 1 - (square / 2) * (1 - square / 12);
    const s = rest * (1 - (square / 6) * (1 - square / 20));
    const nodeCos = TABLE[at] as number;
    const nodeSin = TABLE[at + 1] as number;
    into[to] = nodeCos * c - nodeSin * s;
    into[to + 1] = nodeSin * c + nodeCos * s;
  }
}

function unitCircle(): Float64Array {
  const table = new Float64Array(2 * NODES);
  for (let node = 0; node < NODES; node++) {
    table[2 * node] = Math.cos((2 * Math.PI * node) / NODES);
    table[2 * node + 1] = Math.sin((2 * Math.PI * node) / NODES);
  }
  return table;
}
