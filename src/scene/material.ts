/** The catalogue of materials, typed. Every figure knows what was filled in and where it comes from. */
import type { Bands } from '../acoustics/bands.ts';
import type { Called } from '../plan/called.ts';
import type { Filled } from './by-band.ts';
import type { Origin } from './origin.ts';

/** Eight values, what of them the file does not write, and their origin. */
export type Figure = {
  readonly values: Bands;
  readonly filled: Filled;
  /** Nominal bands of an absorption coefficient that were kept to `HIGHEST_ABSORPTION`. */
  readonly kept: readonly number[];
  readonly from: Origin;
  /** Origin of single bands (nominal hertz) that come from elsewhere than the rest. */
  readonly bandsFrom: ReadonlyMap<number, Origin>;
};

type Entry = Called & {
  /** Heading it stands under in the catalogue. */
  readonly group: string;
  /** What it is, in plain words. */
  readonly says: string;
};

/** What a room's surface is made of: absorption coefficient. */
export type Finish = Entry & { readonly absorption: Figure };

/** What stands in a room: m² of absorption a piece, or a coefficient for each m² it covers, or both. */
export type Content = Entry & { readonly each: Figure | null; readonly perArea: Figure | null };

/** Wall, leaf, pane or baffle. */
export type Construction = Entry & {
  /** Sound reduction index, dB. */
  readonly reduction: Figure;
  /** Absorption coefficient of its faces; null for walls, whose faces are the room's finish. */
  readonly absorption: Figure | null;
  /** Height from which one sees through a baffle, m, or null. */
  readonly windowFrom: number | null;
};

/** A microphone's pattern: A of `A + B·cos θ` by band, or a table. */
export type CataloguePattern = Entry & {
  readonly response:
    | { readonly kind: 'first-order'; readonly a: Figure }
    | {
        readonly kind: 'table';
        /** Energies re on axis: row i at `i·180/(rows−1)` degrees, eight bands a row. */
        readonly rows: number;
        readonly energy: Float64Array;
        readonly from: Origin;
      };
  /** Self-noise in dBA, or null. */
  readonly selfNoise: { readonly value: number; readonly from: Origin } | null;
};

/** A publication, or a rule by which figures were filled in. */
export type MaterialSource = { readonly cite: string; readonly read?: string; readonly note?: string };

export type Materials = {
  readonly finishes: ReadonlyMap<string, Finish>;
  readonly contents: ReadonlyMap<string, Content>;
  readonly constructions: ReadonlyMap<string, Construction>;
  readonly doors: ReadonlyMap<string, Construction>;
  readonly glazings: ReadonlyMap<string, Construction>;
  readonly panels: ReadonlyMap<string, Construction>;
  readonly patterns: ReadonlyMap<string, CataloguePattern>;
  readonly sources: ReadonlyMap<string, MaterialSource>;
};

/** Measured coefficients reach 1.2 by edge effects; in use none is above this. */
export const HIGHEST_ABSORPTION = 0.99;
