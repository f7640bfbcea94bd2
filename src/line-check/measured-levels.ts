/** Measured levels and paths of a session, and the scene of a plan with them applied. */
import { type Bands, bands, energyOf, sameInAllBands } from '../acoustics/bands.ts';
import type { ToldReadings } from '../judge/report.ts';
import { layOver, type OpenPlan } from '../judge/session.ts';
import type { ReadLevel, ReadWay, Scene } from '../scene/scene.ts';
import { predictScene } from './diagnose.ts';
import { type Fitted, type FittedReadings, fitReadings } from './fit.ts';
import type { Cell, Layer, Readings } from './readings.ts';

export type MeasuredLevels = Measured & { readonly told: Omit<ToldReadings, 'files'> };

export function measuredLevels(scene: Scene, readings: Readings): MeasuredLevels {
  const fitted = fitReadings(scene, readings, predictScene(scene, readings));
  // one who was read with no other is known against nobody
  const groups = fitted.groups.filter(({ rows }) => rows.length > 1);
  const held = groups.flatMap(({ rows }, group) =>
    rows.flatMap((row): Held[] => {
      const level = fitted.sources[row];
      const byLayer = fitted.fit.layers.map(({ sources }) => sources[row] ?? null);
      return level ? [{ row, group, level, byLayer }] : [];
    }),
  );
  const levels = levelsOf(scene, readings, held);
  const { rms, trust } = fitted.fit;
  return {
    told: {
      ...toldOf(scene, readings, held, levels),
      rms,
      aside: trust.filter((one) => one < ASIDE).length,
      count: fitted.heard.length,
      spare: fitted.degreesOfFreedom,
      drowned: fitted.drowned.length,
    },
    levels,
    ways: waysOf(scene, readings, { ...fitted, groups, levels }),
  };
}

/** Trust below which a reading is an outlier. */
const ASIDE = 0.5;

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

type Fitting = Pick<FittedReadings, 'heard' | 'groups' | 'gains'> & { readonly levels: Measured['levels'] };

/**
 * What each reading holds beyond level, gain and plan, so that energies of a way are as they were read: a gain is one figure
 * for all octaves, and takes no part in what one channel has of one source against another.
 */
function waysOf(
  scene: Scene,
  readings: Readings,
  { heard, groups, levels, gains }: Fitting,
): Measured['ways'] {
  const { rows, columns, layers } = readings;
  const predicted = predictScene(applyReadings(scene, { levels, ways: new Map() }), readings);
  const linked = new Set(groups.flatMap((group) => group.rows));
  const largestFirst = heard
    .filter(({ row }) => linked.has(row))
    .toSorted((a, b) => rankOf(readings, b) - rankOf(readings, a));
  const ways = new Map<string, Map<string, ReadWay>>();
  for (const { row, column, layer, at, level } of largestFirst) {
    const factor = energyOf(level - (gains[column]?.value ?? Number.NaN) - (predicted[at] as number));
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

/** A row that was read together with others of its group. */
type Held = {
  readonly row: number;
  readonly group: number;
  readonly level: Fitted;
  readonly byLayer: readonly (Fitted | null)[];
};

/** Of a uniform distribution's bound, its standard deviation is this share: 1/√3. */
const BOUND = Math.sqrt(3);

/** Each source changes as the smallest row says that holds it. Octaves that were not read change as all together do. */
function levelsOf(
  scene: Scene,
  { rows, layers }: Readings,
  held: readonly Held[],
): Map<string, MeasuredLevel> {
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

type Measured = {
  /** By name of the source; a source that the plan gives another instrument is another source. */
  readonly levels: ReadonlyMap<string, MeasuredLevel>;
  /** By name of the capsule, then of the source. */
  readonly ways: ReadonlyMap<string, ReadonlyMap<string, ReadWay>>;
};

type MeasuredLevel = {
  readonly instrument: string | null;
  /** Energy factor by band on the power that the plan gives. */
  readonly factor: Bands;
  readonly read: ReadLevel;
};

/** The scene of a plan as it was measured; what is so already stays. Everything after it is as without. */
export function applyReadings(scene: Scene, { levels, ways }: Measured): Scene {
  return {
    ...scene,
    asRead: true,
    sources: scene.sources.map((source) => {
      const level = levels.get(source.name);
      if (!level || source.read || level.instrument !== source.instrument) return source;
      const power = source.power.map((one, band) => one * (level.factor[band] as number));
      return { ...source, power, measured: true, read: level.read };
    }),
    capsules: scene.capsules.map((capsule) => {
      const read = ways.get(capsule.name);
      return read && read !== capsule.read ? { ...capsule, read } : capsule;
    }),
  };
}

/** A plan as it was measured, and with it every change of it; `files` are what messages call the readings. */
export const withReadings = <Plan extends OpenPlan>(
  open: Plan,
  day: MeasuredLevels,
  files: readonly string[],
): Plan => layOver(open, (scene) => applyReadings(scene, day), { ...day.told, files });
