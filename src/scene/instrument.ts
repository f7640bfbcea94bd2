/** What the catalogue holds of instruments, voices, drums and loudspeakers: figures, each with its origin. */
import type { AngleTable } from '../acoustics/angle-table.ts';
import type { Bands } from '../acoustics/bands.ts';
import type { Called } from '../plan/called.ts';
import type { WithOrigin } from './origin.ts';
import type { Vec3 } from './vector.ts';

export const DYNAMICS = ['pp', 'p', 'mp', 'mf', 'f', 'ff'] as const;
export type Dynamic = (typeof DYNAMICS)[number];

/** The plain words for a dynamic. */
export const SPOKEN_DYNAMICS = { soft: 'p', medium: 'mf', loud: 'f' } as const satisfies Record<
  string,
  Dynamic
>;

export type Weighting = 'Z' | 'A' | 'C';

/** Total sound power in dB re 1 pW, or a level on the axis at `at` metres, by dynamic. */
export type Loudness =
  | { readonly kind: 'power'; readonly steps: Readonly<Record<Dynamic, number>> }
  | {
      readonly kind: 'level';
      readonly steps: Readonly<Record<Dynamic, number>>;
      readonly at: number;
      readonly weighting: Weighting;
    };

/** Directivity factor and front-to-back ratio in dB by band, or a table of energies re the axis. */
export type DirectivityFigures =
  | { readonly kind: 'facts'; readonly q: Bands; readonly frontToBack: Bands }
  | ({ readonly kind: 'table' } & AngleTable);

/** A place in the player's axes, metres: to the right, ahead, up from the floor the player stands on. */
export type Postures = { readonly seated: Vec3; readonly standing: Vec3 };
/** Degrees: bearing clockwise from where the player faces, tilt up positive. */
export type Axis = { readonly bearing: number; readonly tilt: number };

export type Figures = {
  readonly loudness: Loudness;
  /** Energies by band of the sound on the axis; their sum is 1, a silent band is 0. */
  readonly spectrum: Bands;
  readonly directivity: DirectivityFigures;
  /** Radius of the sounding area, m. */
  readonly radius: number;
  /** Acoustic centre and the way it speaks. */
  readonly place: Postures;
  readonly axis: Axis;
  readonly ears: Postures;
  readonly eyes: Postures;
  /** Hz. */
  readonly lowestNote: number;
  /** Nearest sensible distance of a microphone, m. */
  readonly closest: number;
  /** Peak over mean, dB. */
  readonly crest: number;
};

export type Instrument = WithOrigin<Figures> &
  Called & {
    readonly kind: 'instrument';
    readonly about: string;
    /** True where a left-handed player has it the other way round. */
    readonly mirrors: boolean;
    /** The way of playing the entry's own figures stand for, or null where there is only one. */
    readonly usual: string | null;
    /** Every way of playing by name, the usual one included. */
    readonly playing: ReadonlyMap<string, WithOrigin<Figures>>;
  };

/** One piece of a kit: an instrument at a place of its own, in the drummer's axes. */
export type KitPart = WithOrigin<{ readonly place: Vec3; readonly axis: Axis }> & {
  readonly instrument: string;
};

export type Kit = WithOrigin<{ readonly ears: Postures; readonly eyes: Postures }> &
  Called & {
    readonly kind: 'kit';
    readonly about: string;
    readonly usual: string;
    /** Ways of playing; a piece without a figure of its own for one of them sounds as usual. */
    readonly playing: readonly string[];
    readonly parts: ReadonlyMap<string, KitPart>;
  };

/** A place as a left-handed player has it. */
export const mirroredPlace = (place: Vec3): Vec3 => [0 - place[0], place[1], place[2]];
/** An axis as a left-handed player has it. */
export const mirroredAxis = (axis: Axis): Axis => ({ bearing: (360 - axis.bearing) % 360, tilt: axis.tilt });
