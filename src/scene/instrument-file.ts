/** Shapes of the catalogue's files once parsed; `shared/schemas/catalogue-instruments.schema.json` says the same. */
import type { RawBands } from './eight-bands.ts';
import type { Axis, Dynamic, Weighting } from './instrument.ts';
import type { Claim } from './origin.ts';

type RawTriple = readonly [number, number, number];
export type RawPostures = RawTriple | { readonly seated: RawTriple; readonly standing: RawTriple };
type RawSteps = Readonly<Record<Dynamic, number>>;

export type RawFigures = {
  readonly power?: RawSteps;
  readonly level?: RawSteps & { readonly at: number; readonly weighting: Weighting };
  readonly spectrum: RawBands;
  readonly directivity:
    | { readonly Q: RawBands; readonly 'front-to-back': RawBands }
    | { readonly table: Readonly<Record<string, RawBands>> };
  readonly radius: number;
  readonly place: RawPostures;
  readonly axis: Axis;
  readonly ears?: RawPostures;
  readonly eyes?: RawPostures;
  readonly 'lowest-note': number;
  readonly closest: number;
  readonly crest: number;
  readonly from: readonly Claim[];
};

export type RawInstrument = RawFigures & {
  readonly about: string;
  readonly also?: readonly string[];
  readonly mirrors?: boolean;
  readonly usual?: string;
  readonly playing?: Readonly<Record<string, Partial<RawFigures>>>;
};

export type RawKit = {
  readonly about: string;
  readonly also?: readonly string[];
  readonly usual: string;
  readonly playing: readonly string[];
  readonly ears?: RawPostures;
  readonly eyes?: RawPostures;
  readonly parts: Readonly<
    Record<string, { readonly instrument: string; readonly place: RawTriple; readonly axis: Axis }>
  >;
  readonly from: readonly Claim[];
};

/** Ears and eyes of whoever plays, where the instrument does not say otherwise. */
export type RawPosture = {
  readonly ears: RawPostures;
  readonly eyes: RawPostures;
  readonly from: readonly Claim[];
};
