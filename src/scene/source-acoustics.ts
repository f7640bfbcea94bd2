/** How a source sounds: power, directivity, cover and axis, from its keys in the plan laid over its instrument. */
import * as octaves from '../acoustics/bands.ts';
import * as radiation from '../acoustics/directivity.ts';
import type { Axis, Dynamic, Instrument, InstrumentValues } from '../catalogue/catalogue.ts';
import { DYNAMICS, SPOKEN_DYNAMICS } from '../catalogue/catalogue.ts';
import type { Path } from '../finding.ts';
import { direction, type Vec3 } from '../geometry.ts';
import type { CoverEntry, SourceKeys, Dynamic as WrittenDynamic } from '../plan/players.ts';
import type { AngleTable, Level } from '../plan/values.ts';
import { allOf } from '../text.ts';
import type { Context, Notes, ResolvedSource, SourceAcoustics } from './context.ts';
import { bearingToward } from './context.ts';
import { type Body, instrumentAxis } from './people.ts';
import type { Source } from './scene.ts';

type Held = { readonly name: string; readonly path: Path; readonly at: Vec3; readonly body: Body };

/** Axis of what a player holds or sits at: as its instrument is usually held; its own `facing` or `tilt` overrides that. */
export function axisOf(keys: SourceKeys, usual: Axis, held: Held, { plan, notes }: Context): Vec3 {
  const tilt = keys.tilt ?? usual.tilt;
  const looker = { name: held.name, at: [held.at[0], held.at[1]] as const, path: [...held.path, 'facing'] };
  const bearing = keys.facing ? bearingToward(keys.facing, looker, plan, notes) : null;
  return bearing === null ? instrumentAxis(held.body, { ...usual, tilt }) : direction(bearing, tilt);
}

/** Energy factor of a cover by band, or null without one (or with a fault, where its name is not in the catalogue). */
export function coverOf(
  cover: CoverEntry | undefined,
  path: Path,
  { catalogue, notes }: Context,
): octaves.Bands | null {
  if (!cover) return null;
  const loss =
    'loss' in cover
      ? notes.byBand(cover.loss, 'decibel', path)
      : notes.lookUp(catalogue.covers, cover.name, 'cover', path)?.loss;
  return loss ? loss.map((lossDb) => octaves.energyOf(-lossDb)) : null;
}

export function toSource(
  resolved: ResolvedSource,
  family: string | null,
  player: number | null,
  part: number,
): Source {
  const { name, path, instrument, kit, repeats, points, cover, acoustics } = resolved;
  const { lowestNote = 0, closest = 0, furthest = 0, crest = 0 } = acoustics?.figures ?? {};
  const { aboveMf } = acoustics ?? {};
  return {
    ...{ name, path, instrument, family, player, kit, part, repeats },
    power: acoustics?.power ?? octaves.sameInAllBands(0),
    measured: acoustics?.measured ?? false,
    ...(aboveMf !== undefined && { aboveMf }),
    directivity: acoustics?.directivity ?? radiation.OMNIDIRECTIONAL,
    radius: acoustics?.radius ?? 0,
    ...{ points, cover, lowestNote, closest, furthest, crest },
  };
}

/** The part of the context that acoustics need. */
type Surroundings = Pick<Context, 'air' | 'notes'>;

/** Values of the instrument in the way it is played, or null with an error where that way is not in the catalogue. */
export function figuresOf(
  instrument: Instrument,
  playing: string | undefined,
  path: Path,
  { notes }: Surroundings,
): InstrumentValues | null {
  if (playing === undefined || playing === instrument.usual) return instrument;
  const ways = instrument.playing;
  const what = `${instrument.name} technique`;
  return ways.get(playing) ?? notes.unknown(ways.keys(), playing, what, [...path, 'playing']);
}

/** Null with an error where neither plan nor catalogue says how loud it is. */
export function sourceAcoustics(
  keys: SourceKeys,
  figures: InstrumentValues | null,
  path: Path,
  around: Surroundings,
): SourceAcoustics | null {
  const directivity = directivityFor(keys, figures, path, around.notes);
  const radius = keys.radius ?? figures?.radius ?? 0;
  const body = { q: directivity.q, radius, airLoss: around.air.loss };
  const power = soundPower(keys, figures, body, path, around.notes);
  const measured = keys.power !== undefined || keys.level !== undefined;
  if (!power) return null;
  const usual = figures && cataloguePower(figures, USUAL_DYNAMIC, { ...body, spectrum: figures.spectrum });
  const aboveMf = usual && octaves.decibels(octaves.allBands(power) / octaves.allBands(usual));
  return { power, measured, directivity, radius, figures, ...(aboveMf !== null && { aboveMf }) };
}

function soundPower(
  keys: SourceKeys,
  figures: InstrumentValues | null,
  body: Omit<Radiator, 'spectrum'>,
  path: Path,
  notes: Notes,
): octaves.Bands | null {
  if (keys.power !== undefined && typeof keys.power !== 'number')
    return notes.byBand(keys.power, 'spectrum', [...path, 'power']).map(octaves.energyOf);
  const spectrum =
    keys.spectrum !== undefined
      ? notes.byBand(keys.spectrum, 'spectrum', [...path, 'spectrum']).map(octaves.energyOf)
      : figures?.spectrum;
  if (keys.power !== undefined) {
    if (!spectrum) notes.assume('default', [...path, 'power'], 'the same power in every octave');
    return powerOfTotal(keys.power, { q: body.q, spectrum: spectrum ?? body.q });
  }
  if (!spectrum) {
    const fix = 'add `instrument` from the catalogue, `spectrum` with `level`, or `power`';
    return notes.fault('MISSING_KEY', path, 'no instrument, spectrum or power', fix);
  }
  const radiator = { ...body, spectrum };
  if (keys.level) {
    noteUnsaid(keys.level, [...path, 'level'], notes);
    return powerOfReading(keys.level, radiator);
  }
  if (!figures) {
    const message = 'a spectrum needs a level or power';
    return notes.fault('MISSING_KEY', path, message, 'add `level: 88 dB at 1 m`');
  }
  if (keys.dynamic === undefined) notes.assume('assumed', path, USUAL_DYNAMIC);
  return cataloguePower(figures, dynamicOf(keys.dynamic), radiator);
}

function cataloguePower({ loudness }: InstrumentValues, dynamic: Dynamic, radiator: Radiator): octaves.Bands {
  const level = loudness.steps[dynamic];
  if (loudness.kind === 'power') return powerOfTotal(level, radiator);
  return powerOfReading({ spl: level, weighting: loudness.weighting, at: loudness.at }, radiator);
}

function noteUnsaid({ spl, unsaid = [] }: Level, path: Path, notes: Notes): void {
  if (unsaid.includes('weighting')) notes.assume('default', path, `${spl} dBA`);
  if (unsaid.includes('distance')) notes.assume('default', path, 'measured at 1 m');
}

export const USUAL_DYNAMIC = 'mf';

function dynamicOf(written: WrittenDynamic | undefined): Dynamic {
  if (written === 'soft' || written === 'medium' || written === 'loud') return SPOKEN_DYNAMICS[written];
  return DYNAMICS.find((dynamic) => dynamic === written) ?? USUAL_DYNAMIC;
}

function directivityFor(
  { directivity: typed }: SourceKeys,
  figures: InstrumentValues | null,
  path: Path,
  notes: Notes,
): radiation.Directivity {
  if (!typed) return figures?.directivity ?? radiation.OMNIDIRECTIONAL;
  if (typed.kind === 'table') return radiation.measuredDirectivity(anglesOf(typed.table));
  const at = [...path, 'directivity'];
  const q = notes.byBand(typed.q, 'factor', [...at, 'Q']);
  const ratio =
    typed.frontToBack === undefined
      ? null
      : notes.byBand(typed.frontToBack, 'decibel', [...at, 'front-to-back']);
  const bent = octaves.NOMINAL_BANDS.filter(
    (_, band) => radiation.fitDirectivity(q[band] ?? 1, ratio?.[band] ?? null).bent,
  );
  if (bent.length > 0)
    notes.assume('clamped', at, `front-to-back ratio changed to fit Q at ${allOf(bent.map(String))} Hz`);
  return radiation.directivityOf(
    (band) => q[band] ?? 1,
    (band) => ratio?.[band] ?? null,
  );
}

/** A typed table as a table of even steps; bands without a column are interpolated in dB. */
export function anglesOf(table: AngleTable): radiation.DirectivityTable {
  const levels = table.angles.map((_, row) => {
    const written = table.columns.map((column) => [column.hertz, column.levels[row] ?? 0] as const);
    return [...octaves.byBand(Object.fromEntries(written), 'decibel').values];
  });
  return radiation.angleTable(table.angles, levels);
}

export type Reading = { readonly spl: number; readonly weighting: octaves.Weighting; readonly at: number };

/** What turns on-axis sound into power and back. */
type Radiator = {
  /** Energies by band of the sound on the axis, in any scale. */
  readonly spectrum: octaves.Bands;
  /** Directivity factor by band. */
  readonly q: octaves.Bands;
  /** Radius of the disc, m. */
  readonly radius: number;
  /** The air's loss, dB per metre by band. */
  readonly airLoss: octaves.Bands;
};

/**
 * Sound power by band (p²·m² re (20 µPa)²·m²) that reads as the meter read on axis, spread over the on-axis spectrum such
 * that the weighted band sum equals the reading: `W = p²·4π·10^(α r/10)/(Q·E(r))`.
 */
export function powerOfReading(reading: Reading, radiator: Radiator): octaves.Bands {
  const { spectrum, q, radius, airLoss } = radiator;
  const perUnit =
    octaves.energyOf(reading.spl) / octaves.weightedSum(spectrum, octaves.WEIGHTS[reading.weighting]);
  const spread = radiation.spreading(radius, reading.at);
  return octaves.bands((band) => {
    const pressure = perUnit * (spectrum[band] ?? 0) * octaves.energyOf((airLoss[band] ?? 0) * reading.at);
    return (pressure * 4 * Math.PI) / ((q[band] ?? 1) * spread);
  });
}

/** Sound power by band of a total sound power level in dB re 1 pW, shared over the bands as `10^(s/10)/Q`. */
export function powerOfTotal(levelDb: number, radiator: Pick<Radiator, 'spectrum' | 'q'>): octaves.Bands {
  const shares = octaves.bands((band) => (radiator.spectrum[band] ?? 0) / (radiator.q[band] ?? 1));
  const sum = shares.reduce((total, share) => total + share, 0);
  return shares.map((share) => (octaves.energyOf(levelDb) * share) / sum);
}

/** Level in dB on the axis at `r` metres, in a free field with air, weighted. */
export function levelOnAxis(
  power: octaves.Bands,
  { q, radius, airLoss }: Omit<Radiator, 'spectrum'>,
  r: number,
  weighting: octaves.Weighting,
): number {
  const pressure = octaves.bands((band) => {
    const air = octaves.energyOf(-(airLoss[band] ?? 0) * r);
    return ((power[band] ?? 0) * (q[band] ?? 1) * radiation.spreading(radius, r) * air) / (4 * Math.PI);
  });
  return 10 * Math.log10(octaves.weightedSum(pressure, octaves.WEIGHTS[weighting]));
}
