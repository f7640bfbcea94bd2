/** The day as it was measured: levels of sources, and ways that were read, to be laid over the scene of a plan. */
import type { ToldReadings } from '../judge/told-readings.ts';
import type { Scene } from '../scene/scene.ts';
import { cellsOf } from './cells.ts';
import { type Held, levelsOf } from './day-levels.ts';
import { waysOf } from './day-ways.ts';
import { type Fit, fit } from './fit.ts';
import { type Group, groupsOf } from './groups.ts';
import type { Measured } from './lay-over.ts';
import { overallGains, overallLevels } from './overall.ts';
import { predictScene } from './predict.ts';
import type { Readings } from './readings.ts';
import { settled } from './settled.ts';
import { spareOf } from './spare.ts';

export type Day = Measured & { readonly told: Omit<ToldReadings, 'files'> };

export function dayOf(scene: Scene, readings: Readings): Day {
  const predicted = predictScene(scene, readings);
  const { cells: read, drowned } = cellsOf(readings);
  const cells = read.filter(({ at }) => Number.isFinite(predicted[at]));
  const rough = fit(cells, predicted, readings);
  const fitted = settled(scene, readings, cells, rough);
  // one who was read with no other is known against nobody
  const groups = groupsOf(cells).filter(({ rows }) => rows.length > 1);
  const held = heldIn(scene, readings, groups, fitted);
  const levels = levelsOf(scene, readings, held);
  const gains = overallGains(readings, fitted).map((gain) => gain?.value ?? Number.NaN);
  const counts = { count: cells.length, spare: spareOf(cells, readings), drowned: drowned.length };
  return {
    told: { ...toldOf(scene, readings, held, levels), ...fitOf(rough), ...counts },
    levels,
    ways: waysOf(scene, readings, { cells, groups, levels, gains }),
  };
}

function heldIn(scene: Scene, readings: Readings, groups: readonly Group[], fitted: Fit): Held[] {
  const overall = overallLevels(scene, readings, fitted);
  return groups.flatMap(({ rows }, group) =>
    rows.flatMap((row) => {
      const level = overall[row];
      const byLayer = fitted.layers.map(({ sources }) => sources[row] ?? null);
      return level ? [{ row, group, level, byLayer }] : [];
    }),
  );
}

function toldOf(
  { sources }: Scene,
  { rows, layers, weighting }: Readings,
  held: readonly Held[],
  levels: Measured['levels'],
): Pick<ToldReadings, 'layers' | 'weighting' | 'measured' | 'predicted'> {
  const unread = sources.filter(({ name, points }) => points.length > 0 && !levels.has(name));
  return {
    layers,
    weighting,
    measured: held.map(({ row, group, level }) => {
      const { name = '', sources: own = [] } = rows[row] ?? {};
      return { name, group, level, asOne: own.length > 1 };
    }),
    predicted: unread.map(({ name }) => name),
  };
}

/** Trust below which a reading stands out. */
const ASIDE = 0.5;

const fitOf = ({ rms, trust }: Fit): Pick<ToldReadings, 'rms' | 'aside'> => ({
  rms,
  aside: trust.filter((one) => one < ASIDE).length,
});
