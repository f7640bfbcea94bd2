import {
  type Bands,
  bands,
  byBand,
  energyOf,
  NOMINAL_BANDS,
  sameInAllBands,
  WEIGHTS,
  type Weighting,
  weightedSum,
} from '../acoustics/bands.ts';
import {
  angleTable,
  type Directivity,
  type DirectivityTable,
  directivityOf,
  fitDirectivity,
  measuredDirectivity,
  OMNIDIRECTIONAL,
  spreading,
} from '../acoustics/directivity.ts';
import {
  type Axis,
  DYNAMICS,
  type DynamicFigures,
  type Figures,
  type Instrument,
  SPOKEN_DYNAMICS,
} from '../catalogue/catalogue.ts';
import type { Path } from '../finding.ts';
import { direction, type Vec3 } from '../geometry.ts';
import type { CoverEntry, SourceKeys, Dynamic as WrittenDynamic } from '../plan/players.ts';
import type { AngleTable, Level } from '../plan/schema.ts';
import {
  assume,
  bearingToward,
  fault,
  lookUp,
  type Notes,
  planBands,
  type ResolvedSource,
  type Setting,
  type SourceAcoustics,
  unknownName,
} from './context.ts';
import { type Body, instrumentAxis } from './people.ts';
import type { Air, Source } from './scene.ts';

// Whither something speaks that a player holds or sits at.
type Held = { readonly name: string; readonly path: Path; readonly at: Vec3; readonly body: Body };

/** Along its usual axis in the player's hands; a `facing` or a `tilt` of its own goes before that. */
export function axisOf(keys: SourceKeys, usual: Axis, held: Held, { plan, notes }: Setting): Vec3 {
  const tilt = keys.tilt ?? usual.tilt;
  const looker = { name: held.name, at: [held.at[0], held.at[1]] as const, path: [...held.path, 'facing'] };
  const bearing = keys.facing ? bearingToward(keys.facing, looker, plan, notes) : null;
  return bearing === null ? instrumentAxis(held.body, { ...usual, tilt }) : direction(bearing, tilt);
}

// What a cover over a source lets through.

/** Energy factor by band, or null without a cover (or with a fault, where its name is not in the catalogue). */
export function coverOf(cover: CoverEntry | undefined, path: Path, setting: Setting): Bands | null {
  if (!cover) return null;
  const { catalogue, notes } = setting;
  const loss =
    'loss' in cover
      ? planBands(cover.loss, 'decibel', path, notes)
      : lookUp(catalogue.covers, cover.name, 'cover', { path, notes })?.loss;
  return loss ? loss.map((lossDb) => energyOf(-lossDb)) : null;
}

// One sounding thing on its way to a source of the scene: what placing microphones needs besides.

export function toSource(voice: ResolvedSource, player: number | null, part: number): Source {
  const figures = voice.sounding?.figures;
  return {
    name: voice.name,
    path: voice.path,
    instrument: voice.instrument,
    player,
    kit: voice.kit,
    part,
    repeats: voice.repeats,
    power: voice.sounding?.power ?? sameInAllBands(0),
    measured: voice.sounding?.measured ?? false,
    directivity: voice.sounding?.directivity ?? OMNIDIRECTIONAL,
    radius: voice.sounding?.radius ?? 0,
    points: voice.points,
    cover: voice.cover,
    lowestNote: figures?.lowestNote ?? 0,
    closest: figures?.closest ?? 0,
    crest: figures?.crest ?? 0,
  };
}

// How a source sounds: its keys in the plan laid over its instrument in the catalogue.

type Context = { readonly path: Path; readonly notes: Notes; readonly air: Air };

/** Figures of the instrument in the way it is played, or null with a fault where that way is not in the catalogue. */
export function figuresOf(
  instrument: Instrument,
  playing: string | undefined,
  context: Context,
): Figures | null {
  if (playing === undefined || playing === instrument.usual) return instrument;
  const ways = instrument.playing;
  const figures = ways.get(playing) ?? null;
  const at = { path: [...context.path, 'playing'], notes: context.notes };
  if (!figures) unknownName(ways.keys(), playing, `way of playing the ${instrument.name}`, at);
  return figures;
}

/** Null with a fault where neither plan nor catalogue says how loud it is. */
export function sourceAcoustics(
  keys: SourceKeys,
  figures: Figures | null,
  context: Context,
): SourceAcoustics | null {
  const directivity = directivityFor(keys, figures, context);
  const radius = keys.radius ?? figures?.radius ?? 0;
  const power = powerFor(keys, figures, { q: directivity.q, radius, airLoss: context.air.loss }, context);
  const measured = keys.power !== undefined || keys.level !== undefined;
  return power && { power, measured, directivity, radius, figures };
}

function powerFor(
  keys: SourceKeys,
  figures: Figures | null,
  body: Omit<Radiator, 'spectrum'>,
  context: Context,
): Bands | null {
  if (keys.power !== undefined) {
    return planBands(keys.power, 'decibel', [...context.path, 'power'], context.notes).map(energyOf);
  }
  const spectrum =
    keys.spectrum !== undefined
      ? planBands(keys.spectrum, 'spectrum', [...context.path, 'spectrum'], context.notes).map(energyOf)
      : figures?.spectrum;
  if (!spectrum)
    return missing(
      context,
      'nothing says what it sounds like',
      'give an instrument of the catalogue, a spectrum with a level, or a power',
    );
  const radiator = { ...body, spectrum };
  if (keys.level) {
    noteUnsaid(keys.level, context);
    return powerOfReading(keys.level, radiator);
  }
  if (!figures)
    return missing(
      context,
      'a spectrum of its own has neither level nor power',
      'give a level: 88 dB at 1 m',
    );
  const dynamic = dynamicOf(keys.dynamic);
  if (keys.dynamic === undefined) {
    assume(context.notes, 'guess', context.path, `plays mf, since neither level nor dynamic is given`);
  }
  const { loudness } = figures;
  const level = loudness.steps[dynamic];
  if (loudness.kind === 'power') return powerOfTotal(level, radiator);
  return powerOfReading({ spl: level, weighting: loudness.weighting, at: loudness.at }, radiator);
}

function noteUnsaid({ spl, unsaid = [] }: Level, { path, notes }: Context): void {
  const where = [...path, 'level'];
  if (unsaid.includes('weighting'))
    assume(notes, 'default', where, `${spl} is taken as dBA, since no unit is given`);
  if (unsaid.includes('distance')) assume(notes, 'default', where, 'read at 1 m, since no distance is given');
}

function missing({ path, notes }: Context, message: string, mend: string): null {
  fault(notes, 'MISSING', path, message, mend);
  return null;
}

function dynamicOf(written: WrittenDynamic | undefined): DynamicFigures {
  if (written === 'soft' || written === 'medium' || written === 'loud') return SPOKEN_DYNAMICS[written];
  return DYNAMICS.find((dynamic) => dynamic === written) ?? 'mf';
}

function directivityFor(keys: SourceKeys, figures: Figures | null, context: Context): Directivity {
  const typed = keys.directivity;
  const path = [...context.path, 'directivity'];
  if (typed?.kind === 'table') return measuredDirectivity(anglesOf(typed.table));
  if (typed) {
    const q = planBands(typed.q, 'factor', [...path, 'Q'], context.notes);
    const ratio =
      typed.frontToBack === undefined
        ? null
        : planBands(typed.frontToBack, 'decibel', [...path, 'front-to-back'], context.notes);
    noteBent(q, ratio, path, context.notes);
    return directivityOf(
      (band) => q[band] ?? 1,
      (band) => ratio?.[band] ?? null,
    );
  }
  return figures?.directivity ? shippedDirectivity(figures.directivity) : OMNIDIRECTIONAL;
}

type Shipped = NonNullable<Figures['directivity']>;

const shipped = new WeakMap<Shipped, Directivity>();

/** Of the catalogue, made once: a plan that is tried a thousand times has the same instruments. */
function shippedDirectivity(figures: Shipped): Directivity {
  const known = shipped.get(figures);
  if (known) return known;
  const made =
    figures.kind === 'table'
      ? measuredDirectivity(figures)
      : directivityOf(
          (band) => figures.q[band] ?? 1,
          (band) => figures.frontToBack[band] ?? null,
        );
  shipped.set(figures, made);
  return made;
}

function noteBent(q: Bands, ratio: Bands | null, path: Path, notes: Notes): void {
  const bent = NOMINAL_BANDS.filter((_, band) => fitDirectivity(q[band] ?? 1, ratio?.[band] ?? null).bent);
  if (bent.length === 0) return;
  assume(notes, 'clamped', path, `Q kept and the front-to-back ratio bent to it at ${bent.join(', ')} Hz`);
}

/** A typed table as a table of even steps; bands without a column are interpolated in dB. */
export function anglesOf(table: AngleTable): DirectivityTable {
  const levels = table.angles.map((_, row) => {
    const written = table.columns.map((column) => [column.hertz, column.levels[row] ?? 0] as const);
    return [...byBand(Object.fromEntries(written), 'decibel').values];
  });
  return angleTable(table.angles, levels);
}

// How strong a source is: from a power, a reading or a dynamic to sound power by band.

export type Reading = { readonly spl: number; readonly weighting: Weighting; readonly at: number };

/** What turns on-axis sound into power and back. */
type Radiator = {
  /** Energies by band of the sound on the axis, in any scale. */
  readonly spectrum: Bands;
  /** Directivity factor by band. */
  readonly q: Bands;
  /** Radius of the disc, m. */
  readonly radius: number;
  /** The air's loss, dB per metre by band. */
  readonly airLoss: Bands;
};

/**
 * Sound power by band (p²·m² re (20 µPa)²·m²) that reads as the meter read on axis, spread over the on-axis spectrum such
 * that the weighted band sum equals the reading: `W = p²·4π·10^(α r/10)/(Q·E(r))`.
 */
export function powerOfReading(reading: Reading, radiator: Radiator): Bands {
  const { spectrum, q, radius, airLoss } = radiator;
  const perUnit = energyOf(reading.spl) / weightedSum(spectrum, WEIGHTS[reading.weighting]);
  const spread = spreading(radius, reading.at);
  return bands((band) => {
    const pressure = perUnit * (spectrum[band] ?? 0) * energyOf((airLoss[band] ?? 0) * reading.at);
    return (pressure * 4 * Math.PI) / ((q[band] ?? 1) * spread);
  });
}

/** Sound power by band of a total sound power level in dB re 1 pW, shared over the bands as `10^(s/10)/Q`. */
export function powerOfTotal(levelDb: number, radiator: Pick<Radiator, 'spectrum' | 'q'>): Bands {
  const shares = bands((band) => (radiator.spectrum[band] ?? 0) / (radiator.q[band] ?? 1));
  const sum = shares.reduce((total, share) => total + share, 0);
  return shares.map((share) => (energyOf(levelDb) * share) / sum);
}

/** Level in dB on the axis at `r` metres, in a free field with air, weighted. */
export function levelOnAxis(
  power: Bands,
  radiator: Omit<Radiator, 'spectrum'>,
  r: number,
  weighting: Weighting,
): number {
  const pressure = bands((band) => {
    const air = energyOf(-(radiator.airLoss[band] ?? 0) * r);
    return (
      ((power[band] ?? 0) * (radiator.q[band] ?? 1) * spreading(radiator.radius, r) * air) / (4 * Math.PI)
    );
  });
  return 10 * Math.log10(weightedSum(pressure, WEIGHTS[weighting]));
}
