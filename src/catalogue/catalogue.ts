/** Instruments, kits, materials, patterns and headphones, each value with its origin, as read from shared/catalogue. */

import type { BandScale, Bands, ByBand, Filled, RawBands, Weighting } from '../acoustics/bands.ts';
import { BAND_COUNT, bands, byBand, eightBands, energyOf, NOMINAL_BANDS } from '../acoustics/bands.ts';
import {
  angleTable,
  type Directivity,
  directivityOf,
  measuredDirectivity,
} from '../acoustics/directivity.ts';
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
  /** Ears and eyes unless an instrument overrides them. */
  readonly posture: Pick<InstrumentValues, 'ears' | 'eyes'>;
  /** The sources cited in origins, those of materials included. */
  readonly citations: ReadonlyMap<string, Citation>;
};

/** A publication, or the rule behind a value. */
export type Citation = {
  readonly cite: string;
  /** How it was read, or the page that was read. */
  readonly read?: string;
  readonly where?: string;
  readonly note?: string;
};

/** Eight values, which of them are not in the file, and their origin. */
export type BandValues = {
  readonly values: Bands;
  readonly filled: Filled;
  /** Bands of an absorption coefficient limited to `HIGHEST_ABSORPTION`, Hz. */
  readonly kept: readonly number[];
  readonly from: Origin;
  /** Origin of single bands (Hz) that differs from the rest. */
  readonly bandsFrom: ReadonlyMap<number, Origin>;
};

type Entry = Aliased & {
  /** Group within its kind. */
  readonly group: string;
  /** Plain description. */
  readonly about: string;
};

/** Finish of a room surface: absorption coefficient. */
export type Finish = Entry & { readonly absorption: BandValues };
/** Contents of a room: m² of absorption per piece, a coefficient per m² covered, or both. */
/** One number with its origin. */
export type SingleValue = { readonly value: number; readonly from: Origin };
export type Content = Entry & {
  readonly each: BandValues | null;
  readonly perArea: BandValues | null;
  /** Least floor that one piece takes, m²; null of what hangs on a wall or goes by area. */
  readonly footprint: SingleValue | null;
};

/** Wall, leaf, pane or baffle. */
export type ShippedConstruction = Entry & {
  /** Sound reduction index, dB. */
  readonly reduction: BandValues;
  /** Absorption coefficient of the faces; null for walls, whose faces have the room's finish. */
  readonly absorption: BandValues | null;
  /** Height of the lower edge of a baffle's window, m, or null. */
  readonly windowFrom: number | null;
};

/** Pattern of a mic: A of `A + B·cos θ` by band, or a table. */
export type CataloguePattern = Entry & {
  readonly response:
    | { readonly kind: 'first-order'; readonly a: BandValues }
    | {
        readonly kind: 'table';
        /** Energies re on axis: row i at `i·180/(rows−1)` degrees, eight bands a row. */
        readonly rows: number;
        readonly energy: Float64Array;
        readonly from: Origin;
      };
  /** Self-noise in dBA, or null. */
  readonly selfNoise: SingleValue | null;
};

export type Materials = {
  readonly finishes: ReadonlyMap<string, Finish>;
  readonly contents: ReadonlyMap<string, Content>;
  readonly constructions: ReadonlyMap<string, ShippedConstruction>;
  readonly doors: ReadonlyMap<string, ShippedConstruction>;
  readonly glazings: ReadonlyMap<string, ShippedConstruction>;
  readonly panels: ReadonlyMap<string, ShippedConstruction>;
  readonly patterns: ReadonlyMap<string, CataloguePattern>;
  readonly sources: ReadonlyMap<string, Citation>;
};

/** Measured coefficients reach 1.2 by edge effects; they are limited to this. */
export const HIGHEST_ABSORPTION = 0.99;
export const DYNAMICS = ['pp', 'p', 'mp', 'mf', 'f', 'ff'] as const;
export type Dynamic = (typeof DYNAMICS)[number];

/** Dynamics in plain words. */
export const SPOKEN_DYNAMICS = { soft: 'p', medium: 'mf', loud: 'f' } as const;

/** Total sound power in dB re 1 pW, or a level on the axis at `at` metres, by dynamic. */
export type Loudness = { readonly steps: Readonly<Record<Dynamic, number>> } & (
  | { readonly kind: 'power' }
  | { readonly kind: 'level'; readonly at: number; readonly weighting: Weighting }
);

/** With the front-to-back ratio it was made from, dB by band; null for a table of energies re on axis. */
export type ShippedDirectivity = Directivity & { readonly frontToBack: Bands | null };
/** A position in the player's axes, metres: right, ahead, up from the player's floor. */
export type Postures = { readonly seated: Vec3; readonly standing: Vec3 };
/** Degrees: bearing clockwise from the player's facing, tilt up positive. */
export type Axis = { readonly bearing: number; readonly tilt: number };

/** Opposite corners in metres from the acoustic centre, in the player's axes: right, ahead, up. */
export type Box = readonly [Vec3, Vec3];
/** By how many people, through doors of what width in m, in how many minutes. */
export type Carried = { readonly people: number; readonly width: number; readonly minutes: number };

export type InstrumentValues = {
  readonly loudness: Loudness;
  /** Energies by band on axis; their sum is 1, a silent band is 0. */
  readonly spectrum: Bands;
  readonly directivity: ShippedDirectivity;
  /** Radius of the radiating area, m. */
  readonly radius: number;
  /** Acoustic centre and direction of radiation. */
  readonly place: Postures;
  readonly axis: Axis;
  readonly ears: Postures;
  readonly eyes: Postures;
  /** Hz. */
  readonly lowestNote: number;
  /** Nearest and furthest that a close mic on a stand usually is, m. */
  readonly closest: number;
  readonly furthest: number;
  /** What moves or is in the way beside it, by name: no mic goes there. */
  readonly keepClear: ReadonlyMap<string, Box>;
  /** How it is carried; null where it stays where it is. */
  readonly carried: Carried | null;
  /** What a DI can take: a line of its own, a pickup that it is often fitted with, or nothing. */
  readonly output: 'line' | 'pickup' | null;
  /** Crest factor, dB. */
  readonly crest: number;
};

export type Instrument = WithOrigin<InstrumentValues> &
  Aliased & {
    readonly kind: 'instrument';
    readonly about: string;
    /** True if mirrored for a left-handed player. */
    readonly mirrors: boolean;
    /** Technique of the entry's own values, or null if there is only one. */
    readonly usual: string | null;
    /** Every technique by name, the default included. */
    readonly playing: ReadonlyMap<string, WithOrigin<InstrumentValues>>;
  };

/** One piece of a kit: an instrument at its own position in the drummer's axes. */
type KitPart = WithOrigin<{ readonly place: Vec3; readonly axis: Axis }> & { readonly instrument: string };

export type Kit = WithOrigin<Pick<InstrumentValues, 'ears' | 'eyes' | 'carried'>> &
  Aliased & {
    readonly kind: 'kit';
    readonly about: string;
    readonly usual: string;
    /** Techniques; a piece without values for one of them uses its default. */
    readonly playing: readonly string[];
    readonly parts: ReadonlyMap<string, KitPart>;
  };

/** A position mirrored for a left-handed player. */
export const mirroredPlace = (place: Vec3): Vec3 => [0 - place[0], place[1], place[2]];
/** An axis mirrored for a left-handed player. */
export const mirroredAxis = (axis: Axis): Axis => ({ bearing: (360 - axis.bearing) % 360, tilt: axis.tilt });

export type Headphones = WithOrigin<{
  /** Level at 1 m re the level at the wearer's ear, dB by band; null if nothing leaks. */
  readonly leak: Bands | null;
  /** Attenuation of room sound, dB by band. */
  readonly attenuation: Bands;
  /** False if the wearer is assumed not to hear others directly. */
  readonly hearsByAir: boolean;
}> &
  Aliased & { readonly about: string };

/** Loss in dB by band on every path from the source except that to a mic inside. */
export type Cover = WithOrigin<{ readonly loss: Bands }> & Aliased & { readonly about: string };
export type Grade = 'published' | 'unverified' | 'estimate';

export type Origin = {
  readonly grade: Grade;
  /** Keys into `shared/catalogue/sources.yaml`. */
  readonly sources: readonly string[];
  /** How it was derived; always given for an estimate. */
  readonly note: string | null;
};

/** Values, each with its origin. */
export type WithOrigin<Values> = Values & { readonly from: { readonly [key in keyof Values]: Origin } };

/** As in the file: one origin for the values it names. */
export type Claim = {
  readonly of: readonly string[];
  readonly grade: Grade;
  readonly source: string | readonly string[];
  readonly note?: string;
};

/** The files by name without `.yaml`, folders as maps; their schemas are in shared/schemas. */
export type WrittenCatalogue = Omit<WrittenMaterials, 'sources'> & {
  readonly 'material-sources': WrittenMaterials['sources'];
  readonly sources: Readonly<Record<string, Citation>>;
  readonly posture: RawPosture;
  readonly covers: Readonly<Record<string, RawCover>>;
  readonly headphones: Readonly<Record<string, RawHeadphones>>;
  readonly instruments: { readonly kits: Readonly<Record<string, RawKit>> } & {
    readonly [family: string]: Readonly<Record<string, RawInstrument>>;
  };
};

/** The shipped files are checked against their schemas, so a mismatch is an internal error and throws. */
export function readCatalogue(written: WrittenCatalogue): Catalogue {
  const { kits, ...families } = written.instruments;
  const named = Object.entries(families).flatMap(([family, file]) =>
    Object.entries(file).map(([name, raw]) => [family, name, raw] as const),
  );
  const { posture } = written;
  const cited = written['material-sources'];
  return {
    instruments: lazyMap(Object.fromEntries(named.map(([, name, raw]) => [name, raw])), (name, raw) =>
      toInstrument(name, raw, posture),
    ),
    families: new Map(named.map(([family, name]) => [name, family])),
    kits: lazyMap(kits, (name, raw) => toKit(name, raw, posture)),
    covers: lazyMap(written.covers, toCover),
    headphones: lazyMap(written.headphones, toHeadphones),
    materials: readMaterials({ ...written, sources: cited }),
    posture: { ears: postures(posture.ears), eyes: postures(posture.eyes) },
    citations: new Map(Object.entries({ ...written.sources, ...cited })),
  };
}

/** An entry as written; see `shared/schemas/catalogue-materials.schema.json`. */
export type WrittenMaterial = Pick<Entry, 'group' | 'about'> & {
  readonly [key in BandKey]?: ByBand;
} & {
  readonly also?: readonly string[];
  readonly 'window-from'?: number;
  /** dB re on axis by band, at even steps from 0 to 180°; missing bands are 0 dB at every angle. */
  readonly 'off-axis'?: Readonly<Record<string, readonly number[]>>;
  readonly 'self-noise'?: number;
  readonly footprint?: number;
  readonly from: readonly Claim[];
};

type WrittenFile = Readonly<Record<string, WrittenMaterial>>;

/** The parsed files; `sources` is `material-sources.yaml`, every other key the file of that name. */
export type WrittenMaterials = { readonly [file in Exclude<keyof Materials, 'sources'>]: WrittenFile } & {
  readonly sources: Readonly<Record<string, Citation>>;
};

export function readMaterials(written: WrittenMaterials): Materials {
  return {
    finishes: entries(written.finishes, finish),
    contents: entries(written.contents, content),
    constructions: entries(written.constructions, construction),
    doors: entries(written.doors, construction),
    glazings: entries(written.glazings, construction),
    panels: entries(written.panels, construction),
    patterns: entries(written.patterns, pattern),
    sources: new Map(Object.entries(written.sources)),
  };
}

type Named = WrittenMaterial & { readonly name: string };

const entries = <T>(file: WrittenFile, read: (entry: Named) => T): ReadonlyMap<string, T> =>
  lazyMap(file, (name, entry) => read({ ...entry, name }));

const head = ({ name, group, about, also = [] }: Named) => ({ name, group, about, also });

const finish = (entry: Named): Finish => ({
  ...head(entry),
  absorption: needed(entry, 'absorption', coefficient(entry, 'absorption')),
});

const content = (entry: Named): Content => ({
  ...head(entry),
  each: bandValues(entry, 'each', 'linear'),
  perArea: coefficient(entry, 'per-area'),
  footprint: singleValue(entry, 'footprint'),
});

const construction = (entry: Named): ShippedConstruction => ({
  ...head(entry),
  reduction: needed(entry, 'reduction', bandValues(entry, 'reduction', 'decibel')),
  absorption: coefficient(entry, 'absorption'),
  windowFrom: entry['window-from'] ?? null,
});

function pattern(entry: Named): CataloguePattern {
  const selfNoise = singleValue(entry, 'self-noise');
  const a = bandValues(entry, 'a', 'linear');
  return { ...head(entry), response: a ? { kind: 'first-order', a } : table(entry), selfNoise };
}

function singleValue(entry: Named, key: 'self-noise' | 'footprint'): SingleValue | null {
  const value = entry[key];
  return value === undefined ? null : { value, from: origin(entry, key) };
}

function table(entry: Named): CataloguePattern['response'] {
  const written = needed(entry, 'off-axis', entry['off-axis'] ?? null);
  const rows = Math.max(...Object.values(written).map((levels) => levels.length));
  const energy = Float64Array.from({ length: rows * BAND_COUNT }, (_, i) => {
    const levels = written[NOMINAL_BANDS[i % BAND_COUNT] ?? ''];
    return energyOf(levels?.[Math.floor(i / BAND_COUNT)] ?? 0);
  });
  return { kind: 'table', rows, energy, from: origin(entry, 'off-axis') };
}

type BandKey = 'absorption' | 'each' | 'per-area' | 'reduction' | 'a';

function coefficient(entry: Named, key: 'absorption' | 'per-area'): BandValues | null {
  const written = bandValues(entry, key, 'linear');
  if (!written) return null;
  const kept = NOMINAL_BANDS.filter((_, band) => (written.values[band] ?? 0) > HIGHEST_ABSORPTION);
  return { ...written, values: written.values.map((alpha) => Math.min(alpha, HIGHEST_ABSORPTION)), kept };
}

function bandValues(entry: Named, key: BandKey, scale: BandScale): BandValues | null {
  const written = entry[key];
  if (written === undefined) return null;
  const claimed = NOMINAL_BANDS.filter((band) => entry.from.some(({ of }) => of.includes(`${key}.${band}`)));
  const bandsFrom = new Map(claimed.map((band) => [band, origin(entry, `${key}.${band}`)]));
  return { ...byBand(written, scale), kept: [], from: origin(entry, key), bandsFrom };
}

const origin = (entry: Named, key: string) => originOf(entry.from, key, entry.name);

function needed<T>(entry: Named, key: string, value: T | null): T {
  if (value === null) throw new Error(`catalogue: ${entry.name} lacks ${key}`);
  return value;
}

export function toInstrument(name: string, raw: RawInstrument, posture: RawPosture): Instrument {
  const own = toValues(name, raw, posture);
  const { about, also = [], mirrors = true, usual = null } = raw;
  const variants = Object.entries(raw.playing ?? {}).map(
    ([technique, over]) =>
      [technique, toValues(`${name}, ${technique}`, overlaid(raw, over), posture)] as const,
  );
  const playing = new Map(usual === null ? variants : [[usual, own], ...variants]);
  return { ...own, kind: 'instrument', name, about, also, mirrors, usual, playing };
}

export function toKit(name: string, raw: RawKit, posture: RawPosture): Kit {
  const body = seats(name, raw, posture);
  const origin = originOf(raw.from, 'parts', name);
  const from = { ...body.from, carried: originOf(raw.from, 'carried', name) };
  const parts = Object.entries(raw.parts).map(
    ([part, { instrument, place, axis }]) =>
      [part, { instrument, place, axis, from: { place: origin, axis: origin } }] as const,
  );
  const { about, also = [], usual, playing, carried } = raw;
  return { ...body, carried, from, kind: 'kit', name, about, also, usual, playing, parts: new Map(parts) };
}

/** A technique overrides the values it names, with their origins. */
function overlaid(raw: RawInstrument, over: Partial<RawValues>): RawValues {
  const { power, level, ...rest } = raw;
  const loudness = over.power || over.level ? {} : { ...(power && { power }), ...(level && { level }) };
  return { ...rest, ...loudness, ...over, from: [...(over.from ?? []), ...raw.from] };
}

function toValues(name: string, raw: RawValues, posture: RawPosture): WithOrigin<InstrumentValues> {
  const seated = seats(name, raw, posture);
  return {
    ...seated,
    loudness: loudness(name, raw),
    spectrum: shares(raw.spectrum),
    directivity: directivity(raw.directivity),
    radius: raw.radius,
    place: postures(raw.place),
    axis: raw.axis,
    lowestNote: raw['lowest-note'],
    closest: raw.closest,
    furthest: raw.furthest,
    keepClear: new Map(Object.entries(raw['keep-clear'] ?? {})),
    carried: raw.carried,
    output: raw.output ?? null,
    crest: raw.crest,
    from: {
      ...seated.from,
      loudness: originOf(raw.from, raw.power ? 'power' : 'level', name),
      ...originsOf(raw.from, name, OWN),
      keepClear: originOf(raw.from, raw['keep-clear'] ? 'keep-clear' : 'closest', name),
      output: originOf(raw.from, raw.output ? 'output' : 'closest', name),
    },
  };
}

/** Values with an origin under their own name. */
const OWN = [
  ...(['spectrum', 'directivity', 'radius', 'place', 'axis', 'lowestNote', 'crest'] as const),
  ...(['closest', 'furthest', 'carried'] as const),
] as const;
type Seated = WithOrigin<Pick<InstrumentValues, 'ears' | 'eyes'>>;

function seats(name: string, raw: Pick<RawKit, keyof Seated>, posture: RawPosture): Seated {
  return {
    ears: postures(raw.ears ?? posture.ears),
    eyes: postures(raw.eyes ?? posture.eyes),
    from: {
      ears: originOf(raw.ears ? raw.from : posture.from, 'ears', name),
      eyes: originOf(raw.eyes ? raw.from : posture.from, 'eyes', name),
    },
  };
}

function loudness(name: string, { power, level }: RawValues): Loudness {
  if (power) return { kind: 'power', steps: power };
  if (!level) throw new Error(`catalogue: ${name} has neither power nor level`);
  const { at, weighting, ...steps } = level;
  return { kind: 'level', steps, at, weighting };
}

function directivity(raw: RawValues['directivity']): ShippedDirectivity {
  if (!('table' in raw)) {
    const [q, frontToBack] = [eightBands(raw.Q), eightBands(raw['front-to-back'])];
    const fitted = directivityOf(
      (band) => q[band] as number,
      (band) => frontToBack[band] as number,
    );
    return Object.assign(fitted, { frontToBack });
  }
  const rows = Object.entries(raw.table).sort(([a], [b]) => Number(a) - Number(b));
  const degrees = rows.map(([at]) => Number(at));
  const levels = rows.map(([, row]) => [...eightBands(row)]);
  return { ...measuredDirectivity(angleTable(degrees, levels)), frontToBack: null };
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

const postures = (raw: RawPostures): Postures => ('seated' in raw ? raw : { seated: raw, standing: raw });

export function toHeadphones(name: string, raw: RawHeadphones): Headphones {
  const { about, also = [], leak, attenuation } = raw;
  return {
    name,
    about,
    also,
    leak: leak === null ? null : eightBands(leak),
    attenuation: eightBands(attenuation),
    hearsByAir: raw['hears-by-air'],
    from: originsOf(raw.from, name, ['leak', 'attenuation', 'hearsByAir']),
  };
}

export function toCover(name: string, { about, also = [], loss, from }: RawCover): Cover {
  return { name, about, also, loss: eightBands(loss), from: originsOf(from, name, ['loss']) };
}

/** Origin of a value by its name in the file. Throws if the shipped catalogue lacks one: an internal error. */
function originOf(claims: readonly Claim[], value: string, entry: string): Origin {
  const claim = claims.find(({ of }) => of.includes(value));
  if (!claim) throw new Error(`catalogue: ${entry} gives ${value} without an origin`);
  return { grade: claim.grade, sources: [claim.source].flat(), note: claim.note ?? null };
}

/** Origins of several values, in kebab case in the file. */
function originsOf<K extends string>(claims: readonly Claim[], entry: string, names: readonly K[]) {
  const kebab = (name: string) => name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`);
  const origins = names.map((name) => [name, originOf(claims, kebab(name), entry)]);
  return Object.fromEntries(origins) as Record<K, Origin>;
}

type RawPostures = Vec3 | Postures;

type RawValues = {
  readonly power?: Loudness['steps'];
  readonly level?: Loudness['steps'] & { readonly at: number; readonly weighting: Weighting };
  readonly spectrum: RawBands;
  readonly directivity:
    | { readonly Q: RawBands; readonly 'front-to-back': RawBands }
    | { readonly table: Readonly<Record<string, RawBands>> };
  readonly place: RawPostures;
  readonly 'lowest-note': number;
  readonly 'keep-clear'?: Readonly<Record<string, Box>>;
  readonly output?: 'line' | 'pickup';
} & Pick<InstrumentValues, 'radius' | 'axis' | 'closest' | 'furthest' | 'carried' | 'crest'> &
  Partial<RawPosture> &
  Pick<RawPosture, 'from'>;

/** Keys of every entry. */
type RawEntry = Readonly<{ about: string; also?: readonly string[]; from: readonly Claim[] }>;

export type RawHeadphones = RawEntry &
  Readonly<{ 'hears-by-air': boolean; leak: RawBands | null; attenuation: RawBands }>;
export type RawCover = RawEntry & { readonly loss: RawBands };

export type RawInstrument = RawEntry &
  RawValues & {
    readonly mirrors?: boolean;
    readonly usual?: string;
    readonly playing?: Readonly<Record<string, Partial<RawValues>>>;
  };

export type RawKit = RawEntry &
  Partial<Pick<RawPosture, 'ears' | 'eyes'>> & {
    readonly usual: string;
    readonly playing: readonly string[];
    readonly carried: Carried;
    readonly parts: Readonly<Record<string, Omit<KitPart, 'from'>>>;
  };

/** Ears and eyes of players, unless the instrument overrides them. */
export type RawPosture = Readonly<{ ears: RawPostures; eyes: RawPostures; from: readonly Claim[] }>;

/** Entries by name, each read once at its first use: a plan names a few of hundreds. */
function lazyMap<Written, T>(
  written: Readonly<Record<string, Written>>,
  read: (name: string, written: Written) => T,
): ReadonlyMap<string, T> {
  const made = new Map<string, T>();
  const has = (name: string): boolean => Object.hasOwn(written, name);
  const get = (name: string): T | undefined => {
    if (!made.has(name) && has(name)) made.set(name, read(name, written[name] as Written));
    return made.get(name);
  };
  const names = Object.keys(written);
  const entries = () => names.map((name): [string, T] => [name, get(name) as T]).values();
  return {
    has,
    get,
    entries,
    keys: () => names.values(),
    values: () => names.map((name) => get(name) as T).values(),
    [Symbol.iterator]: entries,
    forEach: (visit) => {
      for (const [name, value] of entries()) visit(value, name, made);
    },
    size: names.length,
  };
}
