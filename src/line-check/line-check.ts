/** Readings against the plan: fitted levels and gains, residuals, measured signal to bleed, and what would explain the rest. */
import { bands, decibels, energyOf } from '../acoustics/bands.ts';
import { weightsFor } from '../judge/signal-to-bleed.ts';
import { type Verdict, verdictOf } from '../judge/verdict.ts';
import type { Mic, Passage, Scene } from '../scene/scene.ts';
import { causesOf, type SetUp } from './causes.ts';
import { baselineOf, type Diagnosis, diagnoser } from './diagnose.ts';
import { type Fitted, type FittedReadings, fitReadings } from './fit.ts';
import { type Cell, type Covering, cellAt, covering, type Layer, type Readings } from './readings.ts';

export type LineCheck = {
  readonly title: string;
  readonly layers: readonly Layer[];
  readonly weighting: Readings['weighting'];
  readonly sources: readonly FittedRow[];
  readonly channels: readonly FittedRow[];
  /** Sources and channels linked by readings; groups cannot be compared. */
  readonly groups: readonly { readonly sources: readonly string[]; readonly channels: readonly string[] }[];
  /** Readings beyond what levels and gains take: with none, nothing holds the plan against the session. */
  readonly degreesOfFreedom: number;
  readonly residuals: readonly ResidualRow[];
  /** Root mean square of the residuals, dB. */
  readonly rms: number;
  readonly bleed: readonly MeasuredRow[];
  readonly diagnosis: Diagnosis;
  /** Readings too near to the noise to be used. */
  readonly belowNoise: readonly ReadingName[];
  /** Readings where the plan says that no sound arrives. */
  readonly notInPlan: readonly ReadingName[];
  readonly skipped: readonly string[];
  /** Who was measured as one though several sources sound: between these nothing is known. */
  readonly measuredAsOne: readonly string[];
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

/** `next` gives numbers from −1 to 1, evenly, for the sessions that are simulated. */
export function lineCheck(scene: Scene, readings: Readings, setUp: SetUp, next: () => number): LineCheck {
  const baseline = baselineOf(scene, readings);
  const fitted = fitReadings(scene, readings, baseline.predicted);
  const { cells, heard, fit } = fitted;
  const cleaned = readings.levels.slice();
  for (const { at, level } of cells) cleaned[at] = level;
  const name = nameIn(readings);
  return {
    title: scene.title,
    layers: readings.layers,
    weighting: readings.weighting,
    ...fittedRows(readings, fitted),
    groups: fitted.groups.map(({ rows, columns }) => ({
      sources: rows.map((row) => readings.rows[row]?.name ?? ''),
      channels: columns.map((column) => readings.columns[column]?.name ?? ''),
    })),
    degreesOfFreedom: fitted.degreesOfFreedom,
    residuals: heard.map((cell, i) => ({
      ...name(cell),
      residual: fit.residuals[i] as number,
      sigma: cell.sigma,
      trust: fit.trust[i] as number,
    })),
    rms: fit.rms,
    bleed: measuredRows(scene, readings, cells, baseline.predicted),
    diagnosis: diagnoser(baseline, cells, causesOf(baseline, setUp), next)(cleaned),
    belowNoise: fitted.belowNoise.map(name),
    notInPlan: cells.filter(({ at }) => !Number.isFinite(baseline.predicted[at])).map(name),
    skipped: readings.skipped,
    measuredAsOne: readings.rows.flatMap(({ name, sources }) => (sources.length > 1 ? [name] : [])),
  };
}

/** A source that was read with no other has no level. */
function fittedRows(
  { rows, columns }: Readings,
  { heard, groups, fit, sources, gains }: FittedReadings,
): Pick<LineCheck, 'sources' | 'channels'> {
  const alone = groups.flatMap((group) => (group.rows.length === 1 ? group.rows : []));
  const row = (of: 'row' | 'column', i: number): Omit<FittedRow, 'name' | 'overall'> => ({
    byLayer: fit.layers.map((layer) => layer[of === 'row' ? 'sources' : 'gains'][i] ?? null),
    count: new Set(heard.flatMap((cell) => (cell[of] === i ? [cell[of === 'row' ? 'column' : 'row']] : [])))
      .size,
  });
  return {
    sources: rows.map(({ name }, i) => {
      return { name, overall: alone.includes(i) ? null : (sources[i] ?? null), ...row('row', i) };
    }),
    channels: columns.map(({ name }, i) => ({ name, overall: gains[i] ?? null, ...row('column', i) })),
  };
}

const nameIn =
  ({ rows, columns, layers }: Readings) =>
  ({ row, column, layer }: Pick<Cell, 'row' | 'column' | 'layer'>): ReadingName => ({
    source: rows[row]?.name ?? '',
    channel: columns[column]?.name ?? '',
    layer: layers[layer] ?? null,
  });

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

/** Signal to bleed as measured: at one microphone the gain is the same for all, so that it cancels. A row for each column that the plan judges and that others bleed into. */
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

function rowIn(job: Job, read: Reader, foretold: Reader): Omit<MeasuredRow, 'name'> {
  const { scene, readings, mic, passage, sides } = job;
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

/** Null where a side has no energy. A reading moves the ratio by its share of its side. */
function ratioOf(
  { layers }: Readings,
  { own, foreign }: Sides,
  read: Reader,
  weighting: Scene['limits']['weighting'],
): { ratio: number; error: number } | null {
  const energyIn = (layer: number) =>
    own.rows.reduce((sum, row) => sum + energyOf(read(row, layer)?.level ?? Number.NEGATIVE_INFINITY), 0);
  const wanted = bands((band) => (layers.includes(band) ? energyIn(layers.indexOf(band)) : 0));
  const counted = weightsFor(weighting, wanted);
  const weights = layers.map((band) => (band === null ? 1 : (counted[band] ?? 0)));
  const [signal, bleed] = [sideOf(own.rows, weights, read), sideOf(foreign.rows, weights, read)];
  const ratio = decibels(signal.energy / bleed.energy);
  return Number.isFinite(ratio) ? { ratio, error: Math.sqrt(signal.variance + bleed.variance) } : null;
}

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
