/** The shipped catalogue as typed entries: what the plan's names are looked up in. */
import type { Instrument, Kit } from './instrument.ts';
import type { Materials } from './material.ts';
import type { Cover } from './cover.ts';

export type Catalogue = {
  readonly instruments: ReadonlyMap<string, Instrument>;
  readonly kits: ReadonlyMap<string, Kit>;
  readonly covers: ReadonlyMap<string, Cover>;
  readonly materials: Materials;
};
