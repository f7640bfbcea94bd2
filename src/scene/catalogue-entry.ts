/** An entry of the catalogue as a list of figures, whatever its kind: what a page or a script shows of it. */
import { type Bands, NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Called } from '../plan/called.ts';
import type { Origin } from './origin.ts';
import type { Vec3 } from './vector.ts';

export const KINDS = [
  'instruments',
  'kits',
  'covers',
  'headphones',
  'finishes',
  'contents',
  'constructions',
  'doors',
  'glazings',
  'panels',
  'patterns',
] as const;
export type Kind = (typeof KINDS)[number];

export type CatalogueEntry = Called & {
  readonly kind: Kind;
  /** Heading it stands under, or null. */
  readonly group: string | null;
  readonly about: string;
  readonly figures: readonly ShownFigure[];
};

/** A figure as a small table: by band, by dynamic, by posture; a single number has no columns. */
export type ShownFigure = {
  readonly name: string;
  readonly unit: string;
  /** Way of playing it stands for, or null where there is but one. */
  readonly way: string | null;
  /** Most decimals worth showing. */
  readonly digits: number;
  readonly columns: readonly string[];
  /** Null is silence. */
  readonly rows: readonly { readonly label: string; readonly values: readonly (number | null)[] }[];
  /** `of` names what of the figure an origin is for: a band ("63 Hz"); empty for all the rest. */
  readonly origins: readonly { readonly of: string; readonly origin: Origin }[];
  /** What of it is not as it was found: interpolated, kept within bounds. */
  readonly remarks: readonly string[];
};

type Named = Pick<ShownFigure, 'name' | 'unit' | 'digits'> & {
  /** Null where nothing was measured: what the thing is. */
  readonly from: Origin | null;
};

const BAND_COLUMNS = NOMINAL_BANDS.map(String);
const AXES = ['right', 'ahead', 'up'];

export const figureOf = (
  { from, ...named }: Named,
  columns: readonly string[],
  rows: ShownFigure['rows'],
): ShownFigure => {
  const origins = from ? [{ of: '', origin: from }] : [];
  return { ...named, way: null, columns, rows, origins, remarks: [] };
};

export const byBandFigure = (named: Named, values: Bands): ShownFigure =>
  figureOf(named, BAND_COLUMNS, [{ label: '', values: Array.from(values, finite) }]);

export const numberFigure = (named: Named, value: number): ShownFigure =>
  figureOf(named, [], [{ label: '', values: [value] }]);

export const wordFigure = (named: Named, word: string): ShownFigure =>
  figureOf(named, [], [{ label: word, values: [] }]);

/** Energies re the axis as dB at every 30°, by band. */
export function angleFigure(named: Named, rows: number, energy: Float64Array): ShownFigure {
  const step = (rows - 1) / 6;
  const angles = [0, 1, 2, 3, 4, 5, 6].map((i) => ({
    label: `${i * 30}°`,
    values: NOMINAL_BANDS.map((_, band) => {
      const level = 10 * Math.log10(energy[Math.round(i * step) * NOMINAL_BANDS.length + band] ?? 0);
      return finite(level);
    }),
  }));
  return figureOf(named, BAND_COLUMNS, angles);
}

export function placeFigure(named: Named, places: Readonly<Record<string, Vec3>>): ShownFigure {
  const rows = Object.entries(places).map(([label, values]) => ({ label, values }));
  const [first, second] = rows;
  const same = first && second && first.values.every((value, i) => value === second.values[i]);
  return figureOf(named, AXES, same ? [{ ...first, label: '' }] : rows);
}

/** Silence, and a null without a floor, have no level in dB. */
const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);
