/** What was read on the day: who played alone, and the level of it at each microphone. */
import type { Weighting } from '../acoustics/weighting.ts';

/** A player, source, kit or part that played alone. */
export type Row = { readonly name: string; readonly sources: readonly number[] };

/** A capsule, or a pair taken as the sum of its two. */
export type Column = { readonly name: string; readonly mic: number; readonly capsules: readonly number[] };

/** One octave by its number, or all octaves together. */
export type Layer = number | null;

export type Readings = {
  readonly rows: readonly Row[];
  readonly columns: readonly Column[];
  readonly layers: readonly Layer[];
  /** Of what was read over all octaves: none, A or C. */
  readonly weighting: Weighting;
  /** dB on a scale of its own for each column, packed [row][column][layer]; NaN for a gap. */
  readonly levels: Float64Array;
  /** The same with nobody playing, packed [column][layer]; NaN where it was not read. */
  readonly noise: Float64Array;
  /** Columns that were passed over, in words: direct lines, which hear nothing by air. */
  readonly passedOver: readonly string[];
};

export const cellAt = ({ columns, layers }: Readings, row: number, column: number, layer: number): number =>
  (row * columns.length + column) * layers.length + layer;

export const cellCount = ({ rows, columns, layers }: Readings): number =>
  rows.length * columns.length * layers.length;

/** Where readings stand in what was given: in a text at an offset, or a file as a whole. */
export type Place = { readonly file: string; readonly offset?: number };

/** One level as it was written or measured, names not yet looked up. */
export type Entry = {
  readonly who: Named;
  readonly mic: Named;
  readonly layer: Layer;
  /** Null for a gap. */
  readonly level: number | null;
  /** As written behind the figure; empty where nothing was. */
  readonly unit: string;
  readonly place: Place;
};

/** A name and where it was first written. */
export type Named = { readonly name: string; readonly place: Place };
