/** Instruments, voices, drums and loudspeakers of the catalogue: from parsed files to typed figures, each with its origin. */
import { BAND_COUNT, type Bands, bands, energyOf } from '../acoustics/bands.ts';
import { type Claim, type Origin, originOf, type WithOrigin } from './origin.ts';
import type { Vec3 } from './vector.ts';

export const DYNAMICS = ['pp', 'p', 'mp', 'mf', 'f', 'ff'] as const;
export type Dynamic = (typeof DYNAMICS)[number];

/** The plain words for a dynamic. */
export const SPOKEN_DYNAMICS = { soft: 'p', medium: 'mf', loud: 'f' } as const satisfies Record<
  string,
  Dynamic
>;

/** Total sound power in dB re 1 pW, or a level on the axis at `at` metres, by dynamic. */
export type Loudness =
  | { readonly kind: 'power'; readonly steps: Readonly<Record<Dynamic, number>> }
  | {
      readonly kind: 'level';
      readonly steps: Readonly<Record<Dynamic, number>>;
      readonly at: number;
      readonly weighting: 'Z' | 'A' | 'C';
    };

/** Directivity factor and front-to-back ratio in dB by band, or energies re the axis, row i at `i·180/(rows−1)` degrees. */
export type DirectivityFigures =
  | { readonly kind: 'facts'; readonly q: Bands; readonly frontToBack: Bands }
  | { readonly kind: 'table'; readonly rows: number; readonly energy: Float64Array };

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

export type Instrument = WithOrigin<Figures> & {
  readonly kind: 'instrument';
  readonly name: string;
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

export type Kit = WithOrigin<{ readonly ears: Postures; readonly eyes: Postures }> & {
  readonly kind: 'kit';
  readonly name: string;
  readonly about: string;
  readonly usual: string;
  /** Ways of playing; a piece without a figure of its own for one of them sounds as usual. */
  readonly playing: readonly string[];
  readonly parts: ReadonlyMap<string, KitPart>;
};

type RawTriple = readonly [number, number, number];
type RawPostures = RawTriple | { readonly seated: RawTriple; readonly standing: RawTriple };
type RawBands = number | readonly (number | null)[];
type RawSteps = Readonly<Record<Dynamic, number>>;

export type RawFigures = {
  readonly power?: RawSteps;
  readonly level?: RawSteps & { readonly at: number; readonly weighting: 'Z' | 'A' | 'C' };
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
  readonly mirrors?: boolean;
  readonly usual?: string;
  readonly playing?: Readonly<Record<string, Partial<RawFigures>>>;
};

export type RawKit = {
  readonly about: string;
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

/** One instrument of the parsed catalogue. */
export function toInstrument(name: string, raw: RawInstrument, posture: RawPosture): Instrument {
  const own = toFigures(name, raw, posture);
  const usual = raw.usual ?? null;
  const variants = Object.entries(raw.playing ?? {}).map(
    ([way, over]) => [way, toFigures(`${name}, ${way}`, overlaid(raw, over), posture)] as const,
  );
  return {
    ...own,
    kind: 'instrument',
    name,
    about: raw.about,
    mirrors: raw.mirrors ?? true,
    usual,
    playing: new Map(usual === null ? variants : [[usual, own], ...variants]),
  };
}

/** One kit of the parsed catalogue. */
export function toKit(name: string, raw: RawKit, posture: RawPosture): Kit {
  const body = seats(name, raw, posture);
  const origin = originOf(raw.from, 'parts', name);
  const parts = Object.entries(raw.parts).map(
    ([part, { instrument, place, axis }]) =>
      [part, { instrument, place, axis, from: { place: origin, axis: origin } }] as const,
  );
  const { about, usual, playing } = raw;
  return { ...body, kind: 'kit', name, about, usual, playing, parts: new Map(parts) };
}

/** A place as a left-handed player has it. */
export const mirroredPlace = (place: Vec3): Vec3 => [0 - place[0], place[1], place[2]];
/** An axis as a left-handed player has it. */
export const mirroredAxis = (axis: Axis): Axis => ({ bearing: (360 - axis.bearing) % 360, tilt: axis.tilt });

/** A way of playing overrides what it names and brings the origins of that. */
function overlaid(raw: RawInstrument, over: Partial<RawFigures>): RawFigures {
  const { power, level, ...rest } = raw;
  const loudness = over.power || over.level ? {} : { ...(power && { power }), ...(level && { level }) };
  return { ...rest, ...loudness, ...over, from: [...(over.from ?? []), ...raw.from] };
}

function toFigures(name: string, raw: RawFigures, posture: RawPosture): WithOrigin<Figures> {
  const from = (figure: string): Origin => originOf(raw.from, figure, name);
  const { ears, eyes, from: seen } = seats(name, raw, posture);
  return {
    loudness: loudness(name, raw),
    spectrum: shares(raw.spectrum),
    directivity: directivity(raw.directivity),
    radius: raw.radius,
    place: postures(raw.place),
    axis: raw.axis,
    ears,
    eyes,
    lowestNote: raw['lowest-note'],
    closest: raw.closest,
    crest: raw.crest,
    from: {
      loudness: from(raw.power ? 'power' : 'level'),
      spectrum: from('spectrum'),
      directivity: from('directivity'),
      radius: from('radius'),
      place: from('place'),
      axis: from('axis'),
      ...seen,
      lowestNote: from('lowest-note'),
      closest: from('closest'),
      crest: from('crest'),
    },
  };
}

type Seated = { readonly ears?: RawPostures; readonly eyes?: RawPostures; readonly from: readonly Claim[] };

function seats(name: string, raw: Seated, posture: RawPosture): WithOrigin<Pick<Figures, 'ears' | 'eyes'>> {
  return {
    ears: postures(raw.ears ?? posture.ears),
    eyes: postures(raw.eyes ?? posture.eyes),
    from: {
      ears: originOf(raw.ears ? raw.from : posture.from, 'ears', name),
      eyes: originOf(raw.eyes ? raw.from : posture.from, 'eyes', name),
    },
  };
}

function loudness(name: string, { power, level }: RawFigures): Loudness {
  if (power) return { kind: 'power', steps: power };
  if (!level) throw new Error(`catalogue: ${name} has neither power nor level`);
  const { at, weighting, ...steps } = level;
  return { kind: 'level', steps, at, weighting };
}

function directivity(raw: RawFigures['directivity']): DirectivityFigures {
  if (!('table' in raw)) {
    return { kind: 'facts', q: byBand(raw.Q), frontToBack: byBand(raw['front-to-back']) };
  }
  const rows = Object.entries(raw.table).sort(([a], [b]) => Number(a) - Number(b));
  const energy = rows.flatMap(([, row]) => [...byBand(row)].map(energyOf));
  return { kind: 'table', rows: rows.length, energy: Float64Array.from(energy) };
}

/** Relative levels as energies that sum to 1; null is silence. */
function shares(raw: RawBands): Bands {
  const energy = bands((band) => {
    const level = typeof raw === 'number' ? raw : raw[band];
    return level === null || level === undefined ? 0 : energyOf(level);
  });
  const sum = energy.reduce((total, one) => total + one, 0);
  return energy.map((one) => one / sum);
}

function byBand(raw: RawBands): Bands {
  if (typeof raw !== 'number' && raw.length !== BAND_COUNT) throw new Error('catalogue: not eight bands');
  return bands((band) => (typeof raw === 'number' ? raw : (raw[band] ?? 0)));
}

const postures = (raw: RawPostures): Postures => ('seated' in raw ? raw : { seated: raw, standing: raw });
