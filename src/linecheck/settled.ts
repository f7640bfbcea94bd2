/**
 * A fit whose octaves hang together. Each octave by itself leaves one amount open between its sources and its gains; a gain is
 * taken to be the same in all octaves, so that what is common to all gains of an octave goes to its sources. One amount common
 * to all stays open: it is taken such that the median source is as the plan has it.
 */
import type { Scene } from '../scene/scene.ts';
import type { Cell } from './cells.ts';
import type { Fit, Fitted, LayerFit } from './fit.ts';
import { type Group, groupsOf } from './groups.ts';
import { overallLevels } from './overall.ts';
import { median } from './quantile.ts';
import type { Readings } from './readings.ts';
import { twoWay } from './two-way.ts';

/** `cells` are those that were fitted. */
export function settled(scene: Scene, readings: Readings, cells: readonly Cell[], fit: Fit): Fit {
  const level = readings.layers.length > 1 ? levelled(readings, cells, fit) : fit;
  const overall = overallLevels(scene, readings, level);
  return groupsOf(cells).reduce((so, group) => {
    const middle = median(group.rows.flatMap((row) => overall[row]?.value ?? []));
    return Number.isFinite(middle) ? shifted(so, { by: -middle, unsure: 0 }, () => group) : so;
  }, level);
}

/** An amount that goes from the gains of a group to its sources, dB, and how uncertain it is. */
type Shift = { readonly by: number; readonly unsure: number };

/** `groupIn` says whose it is in a layer; null where nobody's. */
function shifted(fit: Fit, { by, unsure }: Shift, groupIn: (layer: number) => Group | null): Fit {
  const layers = fit.layers.map((layer, i): LayerFit => {
    const group = groupIn(i);
    if (!group) return layer;
    const moved = (own: readonly number[], by: number) => (one: Fitted | null, k: number) =>
      one && own.includes(k) ? { value: one.value + by, error: Math.hypot(one.error, unsure) } : one;
    return {
      sources: layer.sources.map(moved(group.rows, by)),
      gains: layer.gains.map(moved(group.columns, -by)),
    };
  });
  return { ...fit, layers };
}

type Knot = { readonly layer: number; readonly group: Group };

/** Gains as channel less what is open in the group of an octave: least squares, each gain as sure as it is. */
function levelled(readings: Readings, cells: readonly Cell[], fit: Fit): Fit {
  const knots = readings.layers.flatMap((_, layer) =>
    groupsOf(cells.filter((cell) => cell.layer === layer)).map((group): Knot => ({ layer, group })),
  );
  const gains = knots.flatMap(({ layer, group }, column) =>
    group.columns.map((row) => ({ row, column, gain: fit.layers[layer]?.gains[row] as Fitted })),
  );
  const weights = Float64Array.from(gains, ({ gain }) => 1 / Math.max(LEAST_ERROR, gain.error) ** 2);
  const rows = readings.columns.length;
  const open = twoWay(gains, weights, { rows, columns: knots.length }).fit(
    Float64Array.from(gains, ({ gain }) => gain.value),
  );
  return knots.reduce((so, { layer, group }, k) => {
    const held = weights.filter((_, i) => gains[i]?.column === k).reduce((sum, one) => sum + one, 0);
    // what is common to several sources leaves them as sure as they were against one another
    const unsure = group.rows.length > 1 ? 0 : 1 / Math.sqrt(held);
    const shift = { by: open[rows + k] as number, unsure };
    return shifted(so, shift, (one) => (one === layer ? group : null));
  }, fit);
}

/** No gain is surer than this, dB. */
const LEAST_ERROR = 0.1;
