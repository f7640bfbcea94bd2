/** What the plan says that each reading should be. */
import { BAND_COUNT, type Bands, sameInAllBands } from '../acoustics/bands.ts';
import { pairEnergy } from '../acoustics/pair.ts';
import { type Stage, stageOf } from '../acoustics/stage.ts';
import { PAIR_SIZE } from '../acoustics/transfer.ts';
import { WEIGHTS } from '../acoustics/weighting.ts';
import type { Scene } from '../scene/scene.ts';
import { cellAt, cellCount, type Readings } from './readings.ts';

/** Rows and columns to compute; all where left out. The others are as in `base`. */
export type Anew = {
  readonly rows?: readonly number[];
  readonly columns?: readonly number[];
  readonly base: Float64Array;
};

/**
 * Levels in dB, packed as the readings are, after the channels' filters; −Infinity where nothing arrives. `stage` may hold
 * other capsules than it was made for.
 */
export function predict(stage: Stage, readings: Readings, anew?: Anew): Float64Array {
  const levels = anew ? anew.base.slice() : new Float64Array(cellCount(readings));
  const rows = anew?.rows ?? [...readings.rows.keys()];
  const columns = anew?.columns ?? [...readings.columns.keys()];
  const energies = sameInAllBands(0);
  for (const row of rows) {
    for (const column of columns) {
      arriving(energies, stage, readings, row, column);
      for (const [layer, band] of readings.layers.entries()) {
        const energy = band === null ? weighted(energies, WEIGHTS[readings.weighting]) : energies[band];
        levels[cellAt(readings, row, column, layer)] = 10 * Math.log10(energy ?? 0);
      }
    }
  }
  return levels;
}

export const predictScene = (scene: Scene, readings: Readings): Float64Array =>
  predict(stageOf(scene), readings);

const pair = new Float64Array(PAIR_SIZE);

/** Writes the energies by band of all sources of a row at all capsules of a column. */
function arriving(into: Bands, stage: Stage, readings: Readings, row: number, column: number): void {
  into.fill(0);
  const { capsules, mic } = readings.columns[column] ?? { capsules: [], mic: -1 };
  for (const source of readings.rows[row]?.sources ?? []) {
    for (const capsule of capsules) {
      pairEnergy(pair, stage, source, capsule);
      for (let i = 0; i < PAIR_SIZE; i++)
        into[i % BAND_COUNT] = (into[i % BAND_COUNT] as number) + (pair[i] as number);
    }
  }
  const filter = stage.scene.mics[mic]?.filter;
  if (filter)
    for (let band = 0; band < BAND_COUNT; band++)
      into[band] = (into[band] as number) * (filter[band] as number);
}

function weighted(energies: Bands, weights: Bands): number {
  let sum = 0;
  for (let band = 0; band < BAND_COUNT; band++) sum += (energies[band] as number) * (weights[band] as number);
  return sum;
}
