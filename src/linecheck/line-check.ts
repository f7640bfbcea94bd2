/** Readings of the day against the plan: what was fitted, what stands out, and what would explain it. */
import type { Scene } from '../scene/scene.ts';
import type { SetUp } from './cause-set-up.ts';
import { causesOf } from './causes.ts';
import { cellsOf } from './cells.ts';
import { type Diagnosis, diagnoser } from './diagnose.ts';
import { type Fitted, fit } from './fit.ts';
import { groupsOf } from './groups.ts';
import { overallGains, overallLevels } from './overall.ts';
import { plainOf } from './plain-scene.ts';
import type { Layer, Readings } from './readings.ts';
import { type MeasuredRow, measuredRows } from './signal-to-bleed.ts';

export type LineCheck = {
  readonly title: string;
  readonly layers: readonly Layer[];
  readonly weighting: Readings['weighting'];
  readonly sources: readonly FittedRow[];
  readonly channels: readonly FittedRow[];
  /** Sources and channels that hang together through readings; between groups nothing can be told. */
  readonly groups: readonly { readonly sources: readonly string[]; readonly channels: readonly string[] }[];
  readonly residuals: readonly ResidualRow[];
  /** Root mean square of the residuals, dB. */
  readonly rms: number;
  readonly bleed: readonly MeasuredRow[];
  readonly diagnosis: Diagnosis;
  /** Readings too near to the noise to be used. */
  readonly drowned: readonly ReadingName[];
  /** Readings where the plan says that no sound arrives. */
  readonly unforeseen: readonly ReadingName[];
  readonly passedOver: readonly string[];
};

export type FittedRow = {
  readonly name: string;
  /** dB: of a source against the plan, in relation to the others of its group; of a channel from dB re 20 µPa to its scale. */
  readonly overall: Fitted | null;
  readonly byLayer: readonly (Fitted | null)[];
  /** How many microphones heard it, or how many sources were read at it. */
  readonly count: number;
};

export type ReadingName = { readonly source: string; readonly channel: string; readonly layer: Layer };

export type ResidualRow = ReadingName & {
  readonly residual: number;
  /** Standard deviation of the reading, dB. */
  readonly sigma: number;
  /** 1 where it counted in full, near 0 where the fit set it aside. */
  readonly trust: number;
};

/** `next` gives numbers from −1 to 1, evenly, for the days that are drawn. */
export function lineCheck(scene: Scene, readings: Readings, setUp: SetUp, next: () => number): LineCheck {
  const plain = plainOf(scene, readings);
  const { cells, drowned } = cellsOf(readings);
  const fitted = fit(cells, plain.predicted, readings);
  const cleaned = readings.levels.slice();
  for (const { at, level } of cells) cleaned[at] = level;
  const heard = cells.filter(({ at }) => Number.isFinite(plain.predicted[at]));
  const name = nameIn(readings);
  const layersOf = (i: number, of: 'sources' | 'gains') => fitted.layers.map((layer) => layer[of][i] ?? null);
  return {
    title: scene.title,
    layers: readings.layers,
    weighting: readings.weighting,
    sources: overallLevels(scene, readings, fitted).map((overall, i) => ({
      name: readings.rows[i]?.name ?? '',
      overall,
      byLayer: layersOf(i, 'sources'),
      count: new Set(heard.filter(({ row }) => row === i).map(({ column }) => column)).size,
    })),
    channels: overallGains(readings, fitted).map((overall, i) => ({
      name: readings.columns[i]?.name ?? '',
      overall,
      byLayer: layersOf(i, 'gains'),
      count: new Set(heard.filter(({ column }) => column === i).map(({ row }) => row)).size,
    })),
    groups: groupsOf(heard).map(({ rows, columns }) => ({
      sources: rows.map((row) => readings.rows[row]?.name ?? ''),
      channels: columns.map((column) => readings.columns[column]?.name ?? ''),
    })),
    residuals: cells.flatMap((cell, i) => {
      const residual = fitted.residuals[i] as number;
      const { sigma } = cell;
      return Number.isFinite(residual)
        ? [{ ...name(cell), residual, sigma, trust: fitted.trust[i] as number }]
        : [];
    }),
    rms: fitted.rms,
    bleed: measuredRows(scene, readings, cells, plain.predicted),
    diagnosis: diagnoser(plain, cells, causesOf(plain, setUp), next)(cleaned),
    drowned: drowned.map(name),
    unforeseen: cells.filter(({ at }) => !Number.isFinite(plain.predicted[at])).map(name),
    passedOver: readings.passedOver,
  };
}

const nameIn =
  ({ rows, columns, layers }: Readings) =>
  ({ row, column, layer }: { row: number; column: number; layer: number }): ReadingName => ({
    source: rows[row]?.name ?? '',
    channel: columns[column]?.name ?? '',
    layer: layers[layer] ?? null,
  });
