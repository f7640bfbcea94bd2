/** Readings of the day against the plan: what was fitted, what stands out, and what would explain it. */
import type { Scene } from '../scene/scene.ts';
import type { SetUp } from './cause-set-up.ts';
import { causesOf } from './causes.ts';
import { type Cell, cellsOf } from './cells.ts';
import { type Diagnosis, diagnoser } from './diagnose.ts';
import { type Fit, type Fitted, fit } from './fit.ts';
import { groupsOf } from './groups.ts';
import { overallGains, overallLevels } from './overall.ts';
import { plainOf } from './plain-scene.ts';
import type { Layer, Readings } from './readings.ts';
import { settled } from './settled.ts';
import { type MeasuredRow, measuredRows } from './signal-to-bleed.ts';
import { spareOf } from './spare.ts';

export type LineCheck = {
  readonly title: string;
  readonly layers: readonly Layer[];
  readonly weighting: Readings['weighting'];
  readonly sources: readonly FittedRow[];
  readonly channels: readonly FittedRow[];
  /** Sources and channels that hang together through readings; between groups nothing can be told. */
  readonly groups: readonly { readonly sources: readonly string[]; readonly channels: readonly string[] }[];
  /** Readings beyond what levels and gains take: with none, nothing holds the plan against the day. */
  readonly spare: number;
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
  /** Who was read as one though several sources sound: between these nothing is known. */
  readonly asOne: readonly string[];
};

export type FittedRow = {
  readonly name: string;
  /**
   * dB: of a source against the plan, in relation to the others of its group, null where it has none; of a channel from
   * dB re 20 µPa to its scale.
   */
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
  const foreseen = ({ at }: Cell) => Number.isFinite(plain.predicted[at]);
  const heard = cells.filter(foreseen);
  const fitted = settled(scene, readings, heard, fit(heard, plain.predicted, readings));
  const cleaned = readings.levels.slice();
  for (const { at, level } of cells) cleaned[at] = level;
  const name = nameIn(readings);
  return {
    title: scene.title,
    layers: readings.layers,
    weighting: readings.weighting,
    ...fittedRows(scene, readings, heard, fitted),
    groups: groupsOf(heard).map(({ rows, columns }) => ({
      sources: rows.map((row) => readings.rows[row]?.name ?? ''),
      channels: columns.map((column) => readings.columns[column]?.name ?? ''),
    })),
    spare: spareOf(heard, readings),
    residuals: heard.map((cell, i) => ({
      ...name(cell),
      residual: fitted.residuals[i] as number,
      sigma: cell.sigma,
      trust: fitted.trust[i] as number,
    })),
    rms: fitted.rms,
    bleed: measuredRows(scene, readings, cells, plain.predicted),
    diagnosis: diagnoser(plain, cells, causesOf(plain, setUp), next)(cleaned),
    drowned: drowned.map(name),
    unforeseen: cells.filter((cell) => !foreseen(cell)).map(name),
    passedOver: readings.passedOver,
    asOne: readings.rows.flatMap(({ name, sources }) => (sources.length > 1 ? [name] : [])),
  };
}

function fittedRows(
  scene: Scene,
  readings: Readings,
  heard: readonly Cell[],
  fitted: Fit,
): Pick<LineCheck, 'sources' | 'channels'> {
  const byLayer = (i: number, of: 'sources' | 'gains') => fitted.layers.map((layer) => layer[of][i] ?? null);
  const met = (of: 'row' | 'column', i: number) => {
    const other = of === 'row' ? 'column' : 'row';
    return new Set(heard.filter((cell) => cell[of] === i).map((cell) => cell[other])).size;
  };
  const alone = groupsOf(heard).flatMap(({ rows }) => (rows.length === 1 ? rows : []));
  return {
    sources: overallLevels(scene, readings, fitted).map((overall, i) => ({
      name: readings.rows[i]?.name ?? '',
      overall: alone.includes(i) ? null : overall,
      byLayer: byLayer(i, 'sources'),
      count: met('row', i),
    })),
    channels: overallGains(readings, fitted).map((overall, i) => ({
      name: readings.columns[i]?.name ?? '',
      overall,
      byLayer: byLayer(i, 'gains'),
      count: met('column', i),
    })),
  };
}

const nameIn =
  ({ rows, columns, layers }: Readings) =>
  ({ row, column, layer }: { row: number; column: number; layer: number }): ReadingName => ({
    source: rows[row]?.name ?? '',
    channel: columns[column]?.name ?? '',
    layer: layers[layer] ?? null,
  });
