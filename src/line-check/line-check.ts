/** The answer of `line-check`. */
import { energyOf, WEIGHTS } from '../acoustics/bands.ts';
import { type Verdict, verdictOf } from '../judge/verdict.ts';
import type { Mic, Passage, Scene } from '../scene/scene.ts';
import { causesOf, type SetUp } from './causes.ts';
import { baselineOf, type Diagnosis, diagnoser } from './diagnose.ts';
import {
  anchoredFit,
  degreesOfFreedom,
  type Fit,
  type Fitted,
  fit,
  overallGains,
  overallLevels,
} from './fit.ts';
import {
  type Cell,
  type Covering,
  cellAt,
  covering,
  groupsOf,
  type Layer,
  normalizedReadings,
  type Readings,
} from './readings.ts';

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

type ResidualRow = ReadingName & {
  readonly residual: number;
  /** Standard deviation of the reading, dB. */
  readonly sigma: number;
  /** 1 where it counted in full, near 0 where the fit set it aside. */
  readonly trust: number;
};

/** `next` gives numbers from −1 to 1, evenly, for the days that are drawn. */
export function lineCheck(scene: Scene, readings: Readings, setUp: SetUp, next: () => number): LineCheck {
  const baseline = baselineOf(scene, readings);
  const { cells, drowned } = normalizedReadings(readings);
  const isPredicted = ({ at }: Cell) => Number.isFinite(baseline.predicted[at]);
  const heard = cells.filter(isPredicted);
  const fitted = anchoredFit(scene, readings, heard, fit(heard, baseline.predicted, readings));
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
    spare: degreesOfFreedom(heard, readings),
    residuals: heard.map((cell, i) => ({
      ...name(cell),
      residual: fitted.residuals[i] as number,
      sigma: cell.sigma,
      trust: fitted.trust[i] as number,
    })),
    rms: fitted.rms,
    bleed: measuredRows(scene, readings, cells, baseline.predicted),
    diagnosis: diagnoser(baseline, cells, causesOf(baseline, setUp), next)(cleaned),
    drowned: drowned.map(name),
    unforeseen: cells.filter((cell) => !isPredicted(cell)).map(name),
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

// S/B as it was measured: at one microphone the gain is the same for all, so that it cancels.

type MeasuredRow = {
  readonly name: string;
  /** The passage in which it is worst, of those that are measured; null where the plan has none. */
  readonly passage: string | null;
  /** dB, in the octaves in which the plan judges where there are octaves. Null with the reason in `lacks`. */
  readonly measured: number | null;
  /** Standard error of reading, dB. */
  readonly error: number | null;
  /** The same from the plan's own levels. */
  readonly predicted: number | null;
  readonly limit: number;
  readonly margin: number | null;
  readonly verdict: Verdict | null;
  /** Sources, or rows, without a usable reading here. */
  readonly lacks: readonly string[];
};

type Level = Pick<Cell, 'level' | 'sigma'>;

/** Level of a row in a layer at one column, or null. */
type Reader = (row: number, layer: number) => Level | null;

/** A row for each column that the plan judges and that others bleed into. */
export function measuredRows(
  scene: Scene,
  readings: Readings,
  cells: readonly Cell[],
  predicted: Float64Array,
): MeasuredRow[] {
  const byPlace = new Map(cells.map((cell) => [cell.at, cell]));
  return readings.columns.flatMap(({ name, mic: index }, column) => {
    const mic = scene.mics[index];
    if (mic?.purpose !== 'parts') return [];
    const read: Reader = (row, layer) => byPlace.get(cellAt(readings, row, column, layer)) ?? null;
    const foretold: Reader = (row, layer) => {
      const level = predicted[cellAt(readings, row, column, layer)] as number;
      return Number.isFinite(level) ? { level, sigma: 0 } : null;
    };
    const rows = scene.passages.flatMap((passage) => {
      const sides = sidesIn(scene, readings, mic, passage);
      return sides ? [rowIn({ scene, readings, mic, passage, sides }, read, foretold)] : [];
    });
    const worst = rows.sort((a, b) => (a.measured ?? Infinity) - (b.measured ?? Infinity))[0];
    return worst ? [{ name, ...worst }] : [];
  });
}

type Sides = { readonly own: Covering; readonly foreign: Covering };

/** Null where the mic's own source rests, or nobody else sounds. */
function sidesIn({ sources }: Scene, { rows }: Readings, mic: Mic, { sounds }: Passage): Sides | null {
  const sounding = sources.flatMap(({ points }, i) => (points.length > 0 && sounds[i] ? [i] : []));
  const own = sounding.filter((i) => mic.wanted.includes(i));
  const foreign = sounding.filter((i) => !mic.wanted.includes(i) && !mic.ignored.includes(i));
  return own.length === 0 || foreign.length === 0
    ? null
    : { own: covering(rows, own), foreign: covering(rows, foreign) };
}

type Job = {
  readonly scene: Scene;
  readonly readings: Readings;
  readonly mic: Mic;
  readonly passage: Passage;
  readonly sides: Sides;
};

function rowIn(
  { scene, readings, mic, passage, sides }: Job,
  read: Reader,
  foretold: Reader,
): Omit<MeasuredRow, 'name'> {
  const { own, foreign } = sides;
  const lost = [...own.lacking, ...foreign.lacking].flatMap((i) => scene.sources[i]?.name ?? []);
  // an octave may drown in the noise: the others hold nearly all of the energy
  const silent = [...own.rows, ...foreign.rows].filter((row) =>
    readings.layers.every((_, layer) => !read(row, layer)),
  );
  const lacks = [...lost, ...silent.flatMap((row) => readings.rows[row]?.name ?? [])];
  const { weighting } = scene.limits;
  const told = lacks.length > 0 ? null : ratioOf(readings, sides, read, weighting);
  const plan = lost.length > 0 ? null : ratioOf(readings, sides, foretold, weighting);
  return {
    passage: passage.name,
    measured: told?.ratio ?? null,
    error: told?.error ?? null,
    predicted: plan?.ratio ?? null,
    limit: mic.limit,
    margin: told ? told.ratio - mic.limit : null,
    verdict: told ? verdictOf(told.ratio - mic.limit) : null,
    lacks,
  };
}

/** Octaves further below the strongest of the wanted sound do not count, dB: they can be filtered away. */
const OWN_REACH = 20;

/** Null where a side has no energy. A reading moves the ratio by its share of its side. */
function ratioOf(
  { layers }: Readings,
  { own, foreign }: Sides,
  read: Reader,
  weighting: Scene['limits']['weighting'],
): { ratio: number; error: number } | null {
  const strongest = Math.max(...layers.map((_, layer) => energyOf(sumOf(own.rows, layer, read))));
  const weights = layers.map((band, layer) => {
    if (band === null) return 1;
    if (weighting !== 'own') return WEIGHTS[weighting][band] ?? 0;
    return energyOf(sumOf(own.rows, layer, read)) >= strongest * energyOf(-OWN_REACH) ? 1 : 0;
  });
  const [signal, bleed] = [sideOf(own.rows, weights, read), sideOf(foreign.rows, weights, read)];
  const ratio = 10 * Math.log10(signal.energy / bleed.energy);
  return Number.isFinite(ratio) ? { ratio, error: Math.sqrt(signal.variance + bleed.variance) } : null;
}

/** Level in dB of several rows together. */
const sumOf = (rows: readonly number[], layer: number, read: Reader): number =>
  10 * Math.log10(rows.reduce((sum, row) => sum + energyOf(read(row, layer)?.level ?? -Infinity), 0));

function sideOf(rows: readonly number[], weights: readonly number[], read: Reader) {
  const held = rows.flatMap((row) =>
    weights.flatMap((weight, layer) => {
      const level = read(row, layer);
      return level ? [{ energy: weight * energyOf(level.level), sigma: level.sigma }] : [];
    }),
  );
  const energy = held.reduce((sum, one) => sum + one.energy, 0);
  const variance = held.reduce((sum, one) => sum + ((one.energy / energy) * one.sigma) ** 2, 0);
  return { energy, variance };
}
