/** Absorption coefficients of a finish, by name or typed. */
import { type Bands, NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Path } from '../finding.ts';
import type { ByBand, Finish } from '../plan/plan-values.ts';
import { planBands } from './by-band-notes.ts';
import { figureNotes } from './figure-notes.ts';
import { lookUp } from './lookup.ts';
import { HIGHEST_ABSORPTION, type Materials } from './material.ts';
import { assume, type Notes } from './notes.ts';

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

export function typedAlpha(written: ByBand, path: Path, notes: Notes): Bands {
  const values = planBands(written, 'linear', path, notes);
  const over = NOMINAL_BANDS.filter((_, band) => (values[band] ?? 0) > HIGHEST_ABSORPTION);
  if (over.length > 0) {
    assume(notes, 'clamped', path, `absorption kept to ${HIGHEST_ABSORPTION} at ${over.join(', ')} Hz`);
  }
  return values.map((alpha) => Math.min(alpha, HIGHEST_ABSORPTION));
}
