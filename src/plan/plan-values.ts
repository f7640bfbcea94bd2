/** Values that entries of a plan are made of, past their units. */

/** Entries by name, in the order of writing; a Map, so that no name is ever taken for a built-in property. */
export type Named<T> = ReadonlyMap<string, T>;

export type Point = readonly [number, number];

/** A point that may go without a height. */
export type Place = { readonly x: number; readonly y: number; readonly z?: number };

/** One number for all eight bands, or points to interpolate between: nominal hertz, ascending, and value. */
export type ByBand =
  | number
  | { readonly kind: 'bands'; readonly points: readonly (readonly [number, number])[] };

/** Measured about an axis: dB re on axis at ascending angles from 0 to 180, a column for each band given (nominal hertz). */
export type AngleTable = {
  readonly angles: readonly number[];
  readonly columns: readonly { readonly hertz: number; readonly levels: readonly number[] }[];
};

/** A bearing in degrees (0 up the page, clockwise, 0 to below 360), or the name of what it looks at. */
export type Facing = { readonly bearing: number } | { readonly target: string };

/** What a meter read, dB re 20 µPa, and from how far. */
export type Level = {
  readonly spl: number;
  readonly weighting: Weighting;
  readonly at: number;
  /** What was taken because it was not written: dBA for a bare number, 1 m. */
  readonly unsaid?: readonly ('weighting' | 'distance')[];
};

export type Weighting = 'Z' | 'A' | 'C';

/** A finish of the catalogue, or absorption (0 to 1) by band. */
export type Finish = { readonly name: string } | { readonly absorption: ByBand };

/**
 * A construction of the catalogue, or its sound reduction index in dB by band, or its mass in kg/m² where no more is known;
 * with the absorption of its faces.
 */
export type Construction =
  | { readonly name: string }
  | { readonly mass: number; readonly absorption?: ByBand }
  | { readonly reduction: ByBand; readonly absorption?: ByBand };
