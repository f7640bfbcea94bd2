/** Measured levels and paths of a session: applied to the scene of a plan, and its levels written into the plan's text. */
import { type Bands, bands, energyOf, sameInAllBands } from '../acoustics/bands.ts';
import type { Path } from '../finding.ts';
import type { ReadingsSummary } from '../judge/report.ts';
import { layOver, type OpenPlan } from '../judge/session.ts';
import { setIn } from '../plan/edit.ts';
import type { PlanData } from '../plan/plan.ts';
import type { PlayedEntry, SourceEntry } from '../plan/players.ts';
import type { Level } from '../plan/values.ts';
import type { MeasuredPath, ReadLevel, Scene, Source } from '../scene/scene.ts';
import { levelOnAxis } from '../scene/source-acoustics.ts';
import { predictScene } from './diagnose.ts';
import { type Fitted, type FittedReadings, fitReadings } from './fit.ts';
import type { LineCheck } from './line-check.ts';
import type { Cell, Layer, Readings, Row } from './readings.ts';

export type MeasuredLevels = Measured & { readonly summary: Omit<ReadingsSummary, 'files'> };

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
    summary: {
      ...summaryOf(scene, readings, held, levels),
      rms,
      outliers: trust.filter((one) => one < ASIDE).length,
      count: fitted.heard.length,
      degreesOfFreedom: fitted.degreesOfFreedom,
      belowNoise: fitted.belowNoise.length,
    },
    levels,
    ways: pathsOf(scene, readings, { ...fitted, groups, levels }),
  };
}

/** Trust below which a reading is an outlier. */
const ASIDE = 0.5;

function summaryOf(
  { sources }: Scene,
  { rows, layers, weighting }: Readings,
  held: readonly Held[],
  levels: Measured['levels'],
): Pick<ReadingsSummary, 'layers' | 'weighting' | 'measured' | 'predicted'> {
  const unread = sources.filter(({ name, points }) => points.length > 0 && !levels.has(name));
  return {
    layers,
    weighting,
    measured: held.map(({ row, group, level }) => {
      const { name = '', sources: own = [] } = rows[row] ?? {};
      return { name, group, level, measuredAsOne: own.length > 1 };
    }),
    predicted: unread.map(({ name }) => name),
  };
}

type Fitting = Pick<FittedReadings, 'heard' | 'groups' | 'gains'> & { readonly levels: Measured['levels'] };

/**
 * What each reading holds beyond level, gain and plan, so that energies of a path are as measured: a gain is one value
 * for all octaves, and takes no part in what one channel has of one source against another.
 */
function pathsOf(
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
  const ways = new Map<string, Map<string, MeasuredPath>>();
  for (const { row, column, layer, at, level } of largestFirst) {
    const factor = energyOf(level - (gains[column]?.value ?? Number.NaN) - (predicted[at] as number));
    const named = rows[row]?.sources.flatMap((i) => scene.sources[i]?.name ?? []) ?? [];
    const band = layers[layer] ?? null;
    for (const capsule of columns[column]?.capsules.flatMap((i) => scene.capsules[i]?.name ?? []) ?? []) {
      const here = ways.get(capsule) ?? new Map<string, MeasuredPath>();
      ways.set(capsule, here);
      for (const name of named) {
        const way = withFactor(here.get(name), named, band, factor);
        here.set(name, band === null ? { ...way, over: readings.weighting } : way);
      }
    }
  }
  return ways;
}

/** A pair or a kit as a whole comes before its capsules or pieces, which then say it more closely. */
const rankOf = ({ rows, columns }: Readings, { row, column }: Cell): number =>
  (rows[row]?.sources.length ?? 0) * 1000 + (columns[column]?.capsules.length ?? 0);

/** One octave more of a path, or all together; a smaller row begins anew. */
function withFactor(
  known: MeasuredPath | undefined,
  named: readonly string[],
  band: Layer,
  factor: number,
): MeasuredPath {
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
  readonly ways: ReadonlyMap<string, ReadonlyMap<string, MeasuredPath>>;
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
  measured: MeasuredLevels,
  files: readonly string[],
): Plan => layOver(open, (scene) => applyReadings(scene, measured), { ...measured.summary, files });

export type FittedLevel = {
  readonly name: string;
  /** What gets the key `level`. */
  readonly path: Path;
  readonly level: Level;
  /** Instrument that a value of one word names, should it have to become a map. */
  readonly instrument: string | null;
};

type FittedLevels = {
  readonly levels: readonly FittedLevel[];
  /** Sources that were measured, whose loudness the plan gives as a power by octave: nothing is written for them. */
  readonly kept: readonly string[];
};

/** Each source changes as the smallest row says that holds it; a row with no other in its group tells nothing of levels. */
export function fittedLevels(
  scene: Scene,
  plan: PlanData,
  rows: readonly Row[],
  check: LineCheck,
): FittedLevels {
  const changes = scene.sources.map((_, i) => changeOf(i, rows, check));
  const changed = [...scene.sources.keys()].filter((i) => changes[i] !== null);
  const kits = [...new Set(changed.flatMap((i) => scene.sources[i]?.kit ?? []))];
  const single = changed.filter((i) => scene.sources[i]?.kit === null);
  const written = single.map((i) => singleLevel(scene, plan, i, changes[i] as number));
  return {
    levels: [
      ...written.flatMap((one) => (typeof one === 'string' ? [] : one)),
      ...kits.flatMap((kit) => kitLevels(scene, plan, kit, changes)),
    ],
    kept: written.filter((one) => typeof one === 'string'),
  };
}

function changeOf(source: number, rows: readonly Row[], { sources, groups }: LineCheck): number | null {
  const holding = rows
    .flatMap((row, i) =>
      row.sources.includes(source) ? [{ row, overall: sources[i]?.overall ?? null }] : [],
    )
    .filter(({ row }) => groups.some((group) => group.sources.length > 1 && group.sources.includes(row.name)))
    .sort((a, b) => a.row.sources.length - b.row.sources.length);
  return holding[0]?.overall?.value ?? null;
}

/** The name alone where the plan gives a power. */
function singleLevel(scene: Scene, plan: PlanData, index: number, change: number): FittedLevel | string {
  const source = scene.sources[index] as Source;
  const entry = entryOf(plan, source.path);
  if (entry?.power !== undefined) return source.name;
  const players = entry && 'section' in entry ? (entry.section?.players ?? 1) : 1;
  const level = entry?.level ?? readingOf(scene, [source], players);
  return {
    name: source.name,
    path: source.path,
    level: raised(level, change),
    instrument: source.instrument,
  };
}

/** Rounded to so many parts of a decibel. */
const raised = (level: Level, change: number, parts = 10): Level => ({
  ...level,
  spl: Math.round((level.spl + change) * parts) / parts,
});

/** What the plan says of a source by itself. */
function entryOf(plan: PlanData, path: Path): PlayedEntry | SourceEntry | undefined {
  const [list, name, , instrument] = path.map(String);
  if (list === 'sources') return plan.sources.get(name ?? '');
  const plays = plan.players.get(name ?? '')?.plays ?? [];
  return instrument === undefined ? plays[0] : plays.find((one) => one.name === instrument);
}

/** Unweighted, on axis at 1 m, all together as energies; of one of so many players. */
function readingOf({ air }: Scene, sources: readonly Source[], players = 1): Level {
  const energies = sources.map(({ power, directivity, radius }) =>
    energyOf(levelOnAxis(power, { q: directivity.q, radius, airLoss: air.loss }, 1, 'Z')),
  );
  const sum = energies.reduce((all, one) => all + one, 0);
  return { spl: 10 * Math.log10(sum / players), weighting: 'Z', at: 1 };
}

/** The whole kit at once where all its pieces change alike, with the pieces that have a level of their own; else each piece. */
function kitLevels(
  scene: Scene,
  plan: PlanData,
  kit: string,
  changes: readonly (number | null)[],
): FittedLevel[] {
  const pieces = scene.sources.flatMap((source, i) =>
    source.kit === kit ? [{ source, change: changes[i] ?? 0 }] : [],
  );
  const path = kitPath(pieces[0]?.source as Source);
  const entry = entryOf(plan, path) as PlayedEntry | undefined;
  const alike = pieces.every(({ change }) => change === pieces[0]?.change);
  const sources = pieces.map(({ source }) => source);
  const sharer = entry?.level ? loudestFree(scene, kit, sources, entry) : null;
  const own = pieces.flatMap(({ source, change }): FittedLevel[] => {
    const piece = source.name.slice(kit.length + 1);
    const written = entry?.parts.get(piece)?.level;
    if (alike ? !written : source === sharer) return [];
    const level = raised(written ?? readingOf(scene, [source]), change, FINE);
    return [{ name: source.name, path: [...path, 'parts', piece], level, instrument: null }];
  });
  // what the plan says of a whole kit holds for its pieces together, so that it has to follow them
  if (!alike && !entry?.level) return own;
  const together = entry?.level ?? readingOf(scene, sources);
  const rise = alike ? (pieces[0]?.change ?? 0) : riseOf(scene, pieces);
  const level = raised(together, rise, own.length > 0 ? FINE : 10);
  return [{ name: kit, path, level, instrument: entry?.instrument ?? null }, ...own];
}

/** A kit that has a level needs a piece without one, which takes what the others leave: the loudest, so that it is exact. */
function loudestFree(
  scene: Scene,
  kit: string,
  pieces: readonly Source[],
  { parts }: PlayedEntry,
): Source | null {
  const free = pieces.filter(({ name }) => !parts.get(name.slice(kit.length + 1))?.level);
  const loudness = (source: Source) => readingOf(scene, [source]).spl;
  return free.reduce<Source | null>(
    (best, one) => (best && loudness(best) >= loudness(one) ? best : one),
    null,
  );
}

/** Pieces without a level share what is left of the kit's: a difference of two values, which rounding would spoil. */
const FINE = 100;

/** Path of the kit of a piece, which may be written in the kit's own `parts`. */
const kitPath = ({ path }: Source): Path => (path.at(-2) === 'parts' ? path.slice(0, -2) : path);

function riseOf(
  scene: Scene,
  pieces: readonly { readonly source: Source; readonly change: number }[],
): number {
  const loudness = ({ source }: { source: Source }) => energyOf(readingOf(scene, [source]).spl);
  const before = pieces.reduce((sum, piece) => sum + loudness(piece), 0);
  const after = pieces.reduce((sum, piece) => sum + loudness(piece) * energyOf(piece.change), 0);
  return 10 * Math.log10(after / before);
}

type Written = {
  readonly text: string;
  /** Names for which the text has no place: what they are is written elsewhere for several at once. */
  readonly left: readonly string[];
};

/** The text of a plan with levels, each where the plan gives or would give it. */
export function writeLevels(plan: string, levels: readonly FittedLevel[]): Written {
  let text = plan;
  const left: string[] = [];
  for (const level of levels) {
    const edited = withLevel(text, level);
    if (edited === null) left.push(level.name);
    else text = edited;
  }
  return { text, left };
}

/** A level that is a map becomes one value: it says the same. An instrument in one word becomes a map of keys. */
function withLevel(text: string, { path, level, instrument }: FittedLevel): string | null {
  const { spl, weighting, at } = level;
  const unit = weighting === 'Z' ? 'dB' : `dB${weighting}`;
  const value = `${spl.toFixed(2).replace(/0$/, '')} ${unit} at ${Number(at.toFixed(3))} m`;
  const edited = setIn(text, { path: [...path, 'level'], value });
  if ('text' in edited) return edited.text;
  if (edited.problem !== 'scalar' || instrument === null) return null;
  const inFull = setIn(text, { path, value: `{instrument: ${instrument}, level: ${value}}` });
  return 'text' in inFull ? inFull.text : null;
}
