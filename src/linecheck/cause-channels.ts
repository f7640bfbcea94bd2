/** Two channels in each other's place: each column reads what the other was to. */
import type { Tried } from './cause.ts';
import type { Plain } from './plain-scene.ts';
import { cellAt, type Readings } from './readings.ts';

export function* exchangedChannels({ readings, predicted }: Plain): Generator<Tried> {
  for (const [i, a] of readings.columns.entries()) {
    for (const [k, b] of readings.columns.slice(i + 1).entries()) {
      if (a.capsules.length !== b.capsules.length) continue;
      const cause = { kind: 'channels', about: [a.name, b.name], how: null } as const;
      yield { cause, predicted: exchanged(readings, predicted, i, i + 1 + k) };
    }
  }
}

function exchanged(readings: Readings, levels: Float64Array, a: number, b: number): Float64Array {
  const swapped = levels.slice();
  for (const row of readings.rows.keys()) {
    for (const layer of readings.layers.keys()) {
      const [first, second] = [cellAt(readings, row, a, layer), cellAt(readings, row, b, layer)];
      swapped[first] = levels[second] as number;
      swapped[second] = levels[first] as number;
    }
  }
  return swapped;
}
