/** Fitted levels as changes of the sources of a scene. */
import { bands, energyOf } from '../acoustics/bands.ts';
import type { Scene } from '../scene/scene.ts';
import type { Fitted } from './fit.ts';
import type { DayLevel } from './lay-over.ts';
import type { Readings } from './readings.ts';

/** A row that was read together with others of its group. */
export type Held = {
  readonly row: number;
  readonly group: number;
  readonly level: Fitted;
  readonly byLayer: readonly (Fitted | null)[];
};

/** Of a uniform distribution's bound, its standard deviation is this share: 1/√3. */
const BOUND = Math.sqrt(3);

/** Each source changes as the smallest row says that holds it. Octaves that were not read change as all together do. */
export function levelsOf(
  scene: Scene,
  { rows, layers }: Readings,
  held: readonly Held[],
): Map<string, DayLevel> {
  const largestFirst = held.toSorted((a, b) => sizeOf(rows, b.row) - sizeOf(rows, a.row));
  const changes = largestFirst.flatMap(({ row, group, level, byLayer }) => {
    const of = rows[row]?.sources.flatMap((i) => scene.sources[i] ?? []) ?? [];
    const factor = bands((band) => {
      const own = layers[0] === null ? 0 : layers.indexOf(band);
      return energyOf((byLayer[own] ?? level).value);
    });
    const read = { with: of.map(({ name }) => name), group, within: BOUND * level.error };
    return of.map(({ name, instrument }) => [name, { instrument, factor, read }] as const);
  });
  return new Map(changes);
}

const sizeOf = (rows: Readings['rows'], row: number): number => rows[row]?.sources.length ?? 0;
