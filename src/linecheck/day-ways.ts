/** What each reading holds of its way beyond what plan, level and gain say. */
import { energyOf, sameInAllBands } from '../acoustics/bands.ts';
import type { ReadWay, Scene } from '../scene/scene.ts';
import type { Cell } from './cells.ts';
import type { Group } from './groups.ts';
import { laidOver, type Measured } from './lay-over.ts';
import { predictScene } from './predict.ts';
import type { Layer, Readings } from './readings.ts';

type Fitting = {
  readonly cells: readonly Cell[];
  readonly groups: readonly Group[];
  readonly levels: Measured['levels'];
  /** By column, dB. */
  readonly gains: readonly number[];
};

/**
 * What each reading holds beyond level, gain and plan, so that energies of a way are as they were read: a gain is one figure
 * for all octaves, and takes no part in what one channel has of one source against another.
 */
export function waysOf(
  scene: Scene,
  readings: Readings,
  { cells, groups, levels, gains }: Fitting,
): Measured['ways'] {
  const { rows, columns, layers } = readings;
  const predicted = predictScene(laidOver(scene, { levels, ways: new Map() }), readings);
  const linked = new Set(groups.flatMap((group) => group.rows));
  const largestFirst = cells
    .filter(({ row }) => linked.has(row))
    .toSorted((a, b) => rankOf(readings, b) - rankOf(readings, a));
  const ways = new Map<string, Map<string, ReadWay>>();
  for (const { row, column, layer, at, level } of largestFirst) {
    const factor = energyOf(level - (gains[column] as number) - (predicted[at] as number));
    const named = rows[row]?.sources.flatMap((i) => scene.sources[i]?.name ?? []) ?? [];
    const band = layers[layer] ?? null;
    for (const capsule of columns[column]?.capsules.flatMap((i) => scene.capsules[i]?.name ?? []) ?? []) {
      const here = ways.get(capsule) ?? new Map<string, ReadWay>();
      ways.set(capsule, here);
      for (const name of named) {
        const way = withFactor(here.get(name), named, band, factor);
        here.set(name, band === null ? { ...way, over: readings.weighting } : way);
      }
    }
  }
  return ways;
}

/** A pair or a kit as a whole goes before its capsules or pieces, which then say it more closely. */
const rankOf = ({ rows, columns }: Readings, { row, column }: Cell): number =>
  (rows[row]?.sources.length ?? 0) * 1000 + (columns[column]?.capsules.length ?? 0);

/** One octave more of a way, or all together; a smaller row begins anew. */
function withFactor(
  known: ReadWay | undefined,
  named: readonly string[],
  band: Layer,
  factor: number,
): ReadWay {
  const isSame = known?.with.every((name, i) => name === named[i]) && known.with.length === named.length;
  const before = known && isSame ? known.factor : sameInAllBands(1);
  return { factor: before.map((one, i) => (band === null || i === band ? factor : one)), with: named };
}
