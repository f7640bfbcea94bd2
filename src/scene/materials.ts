/** What finishes absorb, and what walls, leaves, panes and baffles absorb and let through: by name or as the plan gives it. */
import { type Bands, NOMINAL_BANDS } from '../acoustics/bands.ts';
import { massLaw, transmissionOf } from '../acoustics/room-acoustics.ts';
import { HIGHEST_ABSORPTION, type ShippedConstruction } from '../catalogue/catalogue.ts';
import type { Path } from '../finding.ts';
import type { ByBand } from '../plan/schema.ts';
import type { Finish, Construction as Written } from '../plan/values.ts';
import { allOf } from '../text.ts';
import type { Context, Notes } from './context.ts';

export type Made = {
  /** Transmission factor 10^(−R/10) by band. */
  readonly tau: Bands;
  /** Absorption coefficient of the faces by band. */
  readonly alpha: Bands;
  /** Height from which one sees through, or Infinity. */
  readonly windowFrom: number;
};

/** Where a thing is looked up, what a message calls it, and the finish its faces are taken for where none is given. */
const KINDS = {
  door: { shelf: 'doors', what: 'door leaf', faces: 'wooden-door' },
  window: { shelf: 'glazings', what: 'glazing', faces: 'window-glass' },
  baffle: { shelf: 'panels', what: 'baffle', faces: 'wooden-door' },
} as const;

/** Transmission factor of a wall, whose faces are the finishes of its rooms; null, with a fault, where it is unknown. */
export function wallTau({ catalogue, notes }: Context, written: Written, path: Path): Bands | null {
  if (!('name' in written)) return typedTau(written, path, notes);
  const { constructions } = catalogue.materials;
  const entry = notes.lookUp(constructions, written.name, 'wall construction', path);
  return entry && catalogueTau(entry, path, notes);
}

/** A leaf, pane or baffle; null, with a fault, where it is unknown. */
export function madeOf(
  context: Context,
  written: Written,
  kind: keyof typeof KINDS,
  path: Path,
): Made | null {
  const { notes } = context;
  const { shelf, what, faces } = KINDS[kind];
  const assumedFaces = () => {
    notes.assume('assumed', path, `absorption of ${faces} on both faces`);
    return guessedAlpha(context, faces, path);
  };
  if (!('name' in written)) {
    const { absorption } = written;
    const alpha =
      absorption === undefined ? assumedFaces() : typedAlpha(absorption, [...path, 'absorption'], notes);
    return { tau: typedTau(written, path, notes), alpha, windowFrom: Number.POSITIVE_INFINITY };
  }
  const shelves: ReadonlyMap<string, ShippedConstruction> = context.catalogue.materials[shelf];
  const entry = notes.lookUp(shelves, written.name, what, path);
  if (!entry) return null;
  const { absorption } = entry;
  const windowFrom = entry.windowFrom ?? Number.POSITIVE_INFINITY;
  if (absorption) notes.figure(absorption, `absorption of ${entry.name}`, path);
  return { tau: catalogueTau(entry, path, notes), alpha: absorption?.values ?? assumedFaces(), windowFrom };
}

/** Names that nothing else looks up before a fix takes them: patterns to switch to, and what is on hand. */
export function lookUpSpares({ plan: { mics, onHand }, catalogue: { materials }, notes }: Context): void {
  const named = (names: readonly string[], path: Path) =>
    names.forEach((name, i) => {
      notes.lookUp(materials.patterns, name, 'pattern', [...path, i]);
    });
  for (const [name, { switchable }] of mics) named(switchable, ['mics', name, 'switchable']);
  onHand.mics.forEach(({ patterns }, i) => {
    named(patterns, ['on-hand', 'mics', i, 'patterns']);
  });
  onHand.absorption.forEach(({ finish }, i) => {
    const path = ['on-hand', 'absorption', i, 'finish'];
    if ('name' in finish) notes.lookUp(materials.finishes, finish.name, 'finish', path);
  });
  onHand.baffles.forEach(({ madeOf: made }, i) => {
    const path = ['on-hand', 'baffles', i, 'made-of'];
    if ('name' in made) notes.lookUp(materials[KINDS.baffle.shelf], made.name, KINDS.baffle.what, path);
  });
}

function catalogueTau({ name, reduction }: ShippedConstruction, path: Path, notes: Notes): Bands {
  return transmissionOf(notes.figure(reduction, `sound reduction of ${name}`, path));
}

/** By its reduction index, or estimated from its mass where that is all there is. */
function typedTau(written: Exclude<Written, { readonly name: string }>, path: Path, notes: Notes): Bands {
  if ('reduction' in written)
    return transmissionOf(notes.byBand(written.reduction, 'decibel', [...path, 'reduction']));
  const text = `reduction of ${written.mass} kg/m² by the mass law for diffuse sound`;
  notes.assume('assumed', path, text);
  return transmissionOf(massLaw(written.mass));
}

/** Coefficients of a finish by band, at most 0.99; null, with an error at `path`, where the catalogue has no such finish. */
export function finishAlpha({ catalogue, notes }: Context, finish: Finish, path: Path): Bands | null {
  if ('absorption' in finish) return typedAlpha(finish.absorption, path, notes);
  const entry = notes.lookUp(catalogue.materials.finishes, finish.name, 'finish', path);
  if (!entry) return null;
  return notes.figure(entry.absorption, `finish ${entry.name}`, path);
}

/** A finish that the program names itself: a catalogue without it is a bug and throws. */
export function guessedAlpha({ catalogue, notes }: Context, name: string, path: Path): Bands {
  const entry = catalogue.materials.finishes.get(name);
  if (!entry) throw new Error(`catalogue: no finish ${name} for an assumed surface`);
  return notes.figure(entry.absorption, `finish ${name}`, path);
}

function typedAlpha(written: ByBand, path: Path, notes: Notes): Bands {
  const values = notes.byBand(written, 'linear', path);
  const over = NOMINAL_BANDS.filter((_, band) => (values[band] ?? 0) > HIGHEST_ABSORPTION);
  if (over.length > 0)
    notes.assume(
      'clamped',
      path,
      `absorption limited to ${HIGHEST_ABSORPTION} at ${allOf(over.map(String))} Hz`,
    );
  return values.map((alpha) => Math.min(alpha, HIGHEST_ABSORPTION));
}
