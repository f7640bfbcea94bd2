/** The shipped catalogue as typed entries: what the plan's names are looked up in. */

import type { Cover } from './cover.ts';
import type { Headphones } from './headphones.ts';
import type { Figures, Instrument, Kit } from './instrument.ts';
import type { Materials } from './material.ts';

export type Catalogue = {
  readonly instruments: ReadonlyMap<string, Instrument>;
  /** Family of each instrument by name: "brass". */
  readonly families: ReadonlyMap<string, string>;
  readonly kits: ReadonlyMap<string, Kit>;
  readonly covers: ReadonlyMap<string, Cover>;
  readonly headphones: ReadonlyMap<string, Headphones>;
  readonly materials: Materials;
  /** Ears and eyes where no instrument says otherwise. */
  readonly posture: Pick<Figures, 'ears' | 'eyes'>;
  /** What the keys in every origin stand for, those of materials included. */
  readonly citations: ReadonlyMap<string, Citation>;
};

/** A publication, or the rule by which a figure was found. */
export type Citation = {
  readonly cite: string;
  /** How it was read, or where the page lies that was read. */
  readonly read?: string;
  readonly where?: string;
  readonly note?: string;
};
