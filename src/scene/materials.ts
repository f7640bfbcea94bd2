import { type Bands, NOMINAL_BANDS } from '../acoustics/bands.ts';
import { massLaw, transmissionOf } from '../acoustics/transmission.ts';
import { type ConstructionFigures, HIGHEST_ABSORPTION, type Materials } from '../catalogue/catalogue.ts';
import type { Path } from '../finding.ts';
import type { ByBand, Finish, Construction as Written } from '../plan/schema.ts';
import { assume, figureNotes, lookUp, type Notes, planBands } from './context.ts';
import type { RoomJob } from './room-places.ts';

// What walls, leaves, panes and baffles let through and absorb, by name or typed.
/** `tau` is the transmission factor 10^(−R/10), `alpha` the absorption of its faces, both by band. */
export type Made = {
  readonly tau: Bands;
  readonly alpha: Bands;
  /** Height from which one sees through, or Infinity. */
  readonly windowFrom: number;
};

/** Where a thing is looked up, what a message calls it, and the finish its faces are taken for where it tells none. */
const KINDS = {
  door: { shelf: 'doors', what: 'door leaf', faces: 'wooden-door' },
  window: { shelf: 'glazings', what: 'glazing', faces: 'window-glass' },
  baffle: { shelf: 'panels', what: 'baffle', faces: 'wooden-door' },
} as const;

/** Transmission factor of a wall, whose faces are the finishes of its rooms; null, with a fault, where it is unknown. */
export function wallTau(job: RoomJob, written: Written, path: Path): Bands | null {
  if (!('name' in written)) return typedTau(job, written, path);
  const entry = lookUp(job.materials.constructions, written.name, 'wall construction', {
    path,
    notes: job.notes,
  });
  return entry && catalogueTau(job, entry, path);
}

/** A leaf, pane or baffle; null, with a fault, where it is unknown. */
export function madeOf(job: RoomJob, written: Written, kind: keyof typeof KINDS, path: Path): Made | null {
  const { shelf, what, faces } = KINDS[kind];
  if (!('name' in written)) {
    const { absorption } = written;
    const alpha =
      absorption === undefined
        ? guessedFaces(job, faces, path)
        : typedAlpha(absorption, [...path, 'absorption'], job.notes);
    return { tau: typedTau(job, written, path), alpha, windowFrom: Number.POSITIVE_INFINITY };
  }
  const entry = lookUp<ConstructionFigures>(job.materials[shelf], written.name, what, {
    path,
    notes: job.notes,
  });
  if (!entry) return null;
  const { absorption, windowFrom } = entry;
  if (absorption) figureNotes(job.notes, absorption, `absorption of ${entry.name}`, path);
  const alpha = absorption ? absorption.values : guessedFaces(job, faces, path);
  return { tau: catalogueTau(job, entry, path), alpha, windowFrom: windowFrom ?? Number.POSITIVE_INFINITY };
}

function catalogueTau(job: RoomJob, { name, reduction }: ConstructionFigures, path: Path): Bands {
  figureNotes(job.notes, reduction, `sound reduction of ${name}`, path);
  return transmissionOf(reduction.values);
}

type Typed = Exclude<Written, { readonly name: string }>;

/** By its reduction index, or estimated from its mass where that is all there is. */
function typedTau(job: RoomJob, written: Typed, path: Path): Bands {
  if ('reduction' in written) {
    return transmissionOf(planBands(written.reduction, 'decibel', [...path, 'reduction'], job.notes));
  }
  const text = `${written.mass} kg/m²: what it lets through is an estimate by the mass law for sound from all sides`;
  assume(job.notes, 'guess', path, text);
  return transmissionOf(massLaw(written.mass));
}

function guessedFaces(job: RoomJob, finish: string, path: Path): Bands {
  assume(job.notes, 'guess', path, `no absorption given: its faces are taken for the finish ${finish}`);
  return guessedAlpha(job, finish, path);
}

// Absorption coefficients of a finish, by name or typed.

type From = { readonly materials: Materials; readonly notes: Notes };

/** Coefficients by band, at most 0.99; null where the catalogue has no such finish, with a fault at `path`. */
export function finishAlpha({ materials, notes }: From, finish: Finish, path: Path): Bands | null {
  if ('absorption' in finish) return typedAlpha(finish.absorption, path, notes);
  const entry = lookUp(materials.finishes, finish.name, 'finish', { path, notes });
  if (!entry) return null;
  figureNotes(notes, entry.absorption, `finish ${entry.name}`, path);
  return entry.absorption.values;
}

/** A finish that we name ourselves: the catalogue without it is our bug. */
export function guessedAlpha({ materials, notes }: From, name: string, path: Path): Bands {
  const entry = materials.finishes.get(name);
  if (!entry) throw new Error(`catalogue: no finish ${name} to guess with`);
  figureNotes(notes, entry.absorption, `finish ${name}`, path);
  return entry.absorption.values;
}

function typedAlpha(written: ByBand, path: Path, notes: Notes): Bands {
  const values = planBands(written, 'linear', path, notes);
  const over = NOMINAL_BANDS.filter((_, band) => (values[band] ?? 0) > HIGHEST_ABSORPTION);
  if (over.length > 0) {
    assume(notes, 'clamped', path, `absorption kept to ${HIGHEST_ABSORPTION} at ${over.join(', ')} Hz`);
  }
  return values.map((alpha) => Math.min(alpha, HIGHEST_ABSORPTION));
}
