/** How a source sounds: its keys in the plan laid over its instrument in the catalogue. */
import { type AngleTable as Angles, angleTable } from '../acoustics/angle-table.ts';
import { type Bands, energyOf, NOMINAL_BANDS } from '../acoustics/bands.ts';
import {
  directivityOf,
  fitDirectivity,
  measuredDirectivity,
  OMNIDIRECTIONAL,
} from '../acoustics/directivity.ts';
import type { Path } from '../finding.ts';
import type { SourceKeys, Dynamic as WrittenDynamic } from '../plan/plan-players.ts';
import type { AngleTable, Level } from '../plan/plan-values.ts';
import { byBand } from './by-band.ts';
import { planBands } from './by-band-notes.ts';
import { DYNAMICS, type Dynamic, type Figures, type Instrument, SPOKEN_DYNAMICS } from './instrument.ts';
import { unknownName } from './lookup.ts';
import { assume, fault, type Notes } from './notes.ts';
import type { Air, Directivity } from './scene.ts';
import { powerOfReading, powerOfTotal, type Radiator } from './strength.ts';

export type Sounding = {
  readonly power: Bands;
  /** True where the plan gives power or level. */
  readonly measured: boolean;
  readonly directivity: Directivity;
  readonly radius: number;
  readonly figures: Figures | null;
};

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
export function soundingOf(keys: SourceKeys, figures: Figures | null, context: Context): Sounding | null {
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

function dynamicOf(written: WrittenDynamic | undefined): Dynamic {
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
export function anglesOf(table: AngleTable): Angles {
  const levels = table.angles.map((_, row) => {
    const written = table.columns.map((column) => [column.hertz, column.levels[row] ?? 0] as const);
    return [...byBand(Object.fromEntries(written), 'decibel').values];
  });
  return angleTable(table.angles, levels);
}
