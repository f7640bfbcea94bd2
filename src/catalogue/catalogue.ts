/** What the catalogue holds of instruments, kits, materials, patterns and headphones, each figure with its origin. */
import type { Bands, Filled } from '../acoustics/bands.ts';
import type { Directivity } from '../acoustics/directivity.ts';
import type { Vec3 } from '../geometry.ts';
import type { Aliased } from '../text.ts';

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

type Entry = Aliased & {
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
export type ConstructionFigures = Entry & {
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
  readonly constructions: ReadonlyMap<string, ConstructionFigures>;
  readonly doors: ReadonlyMap<string, ConstructionFigures>;
  readonly glazings: ReadonlyMap<string, ConstructionFigures>;
  readonly panels: ReadonlyMap<string, ConstructionFigures>;
  readonly patterns: ReadonlyMap<string, CataloguePattern>;
  readonly sources: ReadonlyMap<string, MaterialSource>;
};

/** Measured coefficients reach 1.2 by edge effects; in use none is above this. */
export const HIGHEST_ABSORPTION = 0.99;
export const DYNAMICS = ['pp', 'p', 'mp', 'mf', 'f', 'ff'] as const;
export type DynamicFigures = (typeof DYNAMICS)[number];

/** The plain words for a dynamic. */
export const SPOKEN_DYNAMICS = { soft: 'p', medium: 'mf', loud: 'f' } as const satisfies Record<
  string,
  DynamicFigures
>;

export type Weighting = 'Z' | 'A' | 'C';

/** Total sound power in dB re 1 pW, or a level on the axis at `at` metres, by dynamic. */
export type Loudness =
  | { readonly kind: 'power'; readonly steps: Readonly<Record<DynamicFigures, number>> }
  | {
      readonly kind: 'level';
      readonly steps: Readonly<Record<DynamicFigures, number>>;
      readonly at: number;
      readonly weighting: Weighting;
    };

/** With the front-to-back ratio in dB by band that it was made from; null for a table of energies re the axis. */
export type DirectivityFigures = Directivity & { readonly frontToBack: Bands | null };

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
  Aliased & {
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
type KitPart = WithOrigin<{ readonly place: Vec3; readonly axis: Axis }> & { readonly instrument: string };

export type Kit = WithOrigin<{ readonly ears: Postures; readonly eyes: Postures }> &
  Aliased & {
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

export type Headphones = WithOrigin<{
  /** Level at 1 m re the level at the wearer's ear, dB by band; null where nothing leaks. */
  readonly leak: Bands | null;
  /** What the wearer loses of the sound in the room, dB by band. */
  readonly attenuation: Bands;
  /** False where the wearer is taken to hear nobody by air. */
  readonly hearsByAir: boolean;
}> &
  Aliased & { readonly about: string };

/** Loss in dB by band, off everything of the source but the way to a mic inside. */
export type Cover = WithOrigin<{ readonly loss: Bands }> & Aliased & { readonly about: string };
export type Grade = 'published' | 'from-memory' | 'estimate';

export type Origin = {
  readonly grade: Grade;
  /** Keys into `shared/catalogue/sources.yaml`. */
  readonly sources: readonly string[];
  /** How it was derived or why it is believed; always there for an estimate. */
  readonly note: string | null;
};

/** A set of figures together with an origin for each of them. */
export type WithOrigin<Figures> = Figures & { readonly from: { readonly [Figure in keyof Figures]: Origin } };

/** As the file writes it: one origin for the figures it names. */
export type Claim = {
  readonly of: readonly string[];
  readonly grade: Grade;
  readonly source: string | readonly string[];
  readonly note?: string;
};
