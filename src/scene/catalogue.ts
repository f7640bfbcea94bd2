/** The shipped catalogue as typed entries: what the plan's names are looked up in. */

import type { Cover } from './cover.ts';
import type { Figures, Instrument, Kit } from './instrument.ts';
import type { Materials } from './material.ts';

export type Catalogue = {
  readonly instruments: ReadonlyMap<string, Instrument>;
  readonly kits: ReadonlyMap<string, Kit>;
  readonly covers: ReadonlyMap<string, Cover>;
  readonly materials: Materials;
  /** Ears and eyes where no instrument says otherwise. */
  readonly posture: Pick<Figures, 'ears' | 'eyes'>;
};
