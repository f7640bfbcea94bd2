/** From the parsed files of shared/catalogue to the typed catalogue, each entry at its first use. */
import {
  BAND_COUNT,
  type BandScale,
  type Bands,
  type ByBand,
  bands,
  byBand,
  eightBands,
  energyOf,
  NOMINAL_BANDS,
  type RawBands,
} from '../acoustics/bands.ts';
import { angleTable, directivityOf, measuredDirectivity } from '../acoustics/directivity.ts';
import type { Vec3 } from '../geometry.ts';
import {
  type Axis,
  type Catalogue,
  type CataloguePattern,
  type Citation,
  type Claim,
  type ConstructionFigures,
  type Content,
  type Cover,
  type DirectivityFigures,
  type Figure,
  type Figures,
  type Finish,
  type Headphones,
  HIGHEST_ABSORPTION,
  type Instrument,
  type Kit,
  type Loudness,
  type MaterialSource,
  type Materials,
  type Origin,
  type Postures,
  type Weighting,
  type WithOrigin,
} from './catalogue.ts';

/** The files by name without `.yaml`, folders as maps; their schemas lie in shared/schemas. */
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

/** The files are ours and are checked against their schemas: what does not fit is our bug and throws. */
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
    posture: toPosture(posture),
    citations: new Map(Object.entries({ ...written.sources, ...cited })),
  };
}

/** An entry as written; `shared/schemas/catalogue-materials.schema.json` says which keys go where. */
export type WrittenMaterial = {
  readonly group: string;
  readonly says: string;
  readonly also?: readonly string[];
  readonly absorption?: ByBand;
  readonly each?: ByBand;
  readonly 'per-area'?: ByBand;
  readonly reduction?: ByBand;
  readonly 'window-from'?: number;
  readonly a?: ByBand;
  /** dB re on axis by band, at even steps from 0 to 180°; bands left out are 0 dB at every angle. */
  readonly 'off-axis'?: Readonly<Record<string, readonly number[]>>;
  readonly 'self-noise'?: number;
  readonly from: readonly Claim[];
};

type WrittenFile = Readonly<Record<string, WrittenMaterial>>;

/** The parsed files; `sources` is `material-sources.yaml`, every other key the file of that name. */
export type WrittenMaterials = { readonly [file in Exclude<keyof Materials, 'sources'>]: WrittenFile } & {
  readonly sources: Readonly<Record<string, MaterialSource>>;
};

/** The files are ours and are checked against their schema: what does not fit is our bug and throws. */
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

function entries<T>(file: WrittenFile, read: (entry: Named) => T): ReadonlyMap<string, T> {
  return lazyMap(file, (name, entry) => read({ ...entry, name }));
}

const head = ({ name, group, says, also = [] }: Named) => ({ name, group, says, also });

const finish = (entry: Named): Finish => ({
  ...head(entry),
  absorption: needed(entry, 'absorption', coefficient(entry, 'absorption')),
});

const content = (entry: Named): Content => ({
  ...head(entry),
  each: figure(entry, 'each', 'linear'),
  perArea: coefficient(entry, 'per-area'),
});

const construction = (entry: Named): ConstructionFigures => ({
  ...head(entry),
  reduction: needed(entry, 'reduction', figure(entry, 'reduction', 'decibel')),
  absorption: coefficient(entry, 'absorption'),
  windowFrom: entry['window-from'] ?? null,
});

function pattern(entry: Named): CataloguePattern {
  const noise = entry['self-noise'];
  const selfNoise = noise === undefined ? null : { value: noise, from: origin(entry, 'self-noise') };
  const a = figure(entry, 'a', 'linear');
  return { ...head(entry), response: a ? { kind: 'first-order', a } : table(entry), selfNoise };
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

function coefficient(entry: Named, key: 'absorption' | 'per-area'): Figure | null {
  const written = figure(entry, key, 'linear');
  if (!written) return null;
  const kept = NOMINAL_BANDS.filter((_, band) => (written.values[band] ?? 0) > HIGHEST_ABSORPTION);
  return { ...written, values: written.values.map((alpha) => Math.min(alpha, HIGHEST_ABSORPTION)), kept };
}

function figure(entry: Named, key: BandKey, scale: BandScale): Figure | null {
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
    also: raw.also ?? [],
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
  const { about, also = [], usual, playing } = raw;
  return { ...body, kind: 'kit', name, about, also, usual, playing, parts: new Map(parts) };
}

/** A way of playing overrides what it names and brings the origins of that. */
function overlaid(raw: RawInstrument, over: Partial<RawFigures>): RawFigures {
  const { power, level, ...rest } = raw;
  const loudness = over.power || over.level ? {} : { ...(power && { power }), ...(level && { level }) };
  return { ...rest, ...loudness, ...over, from: [...(over.from ?? []), ...raw.from] };
}

function toFigures(name: string, raw: RawFigures, posture: RawPosture): WithOrigin<Figures> {
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
    crest: raw.crest,
    from: {
      ...seated.from,
      loudness: originOf(raw.from, raw.power ? 'power' : 'level', name),
      ...originsOf(raw.from, name, OF_THEIR_OWN),
    },
  };
}

/** Figures that have an origin of their own name. */
const OF_THEIR_OWN = [
  'spectrum',
  'directivity',
  'radius',
  'place',
  'axis',
  'lowestNote',
  'closest',
  'crest',
] as const;

type Seated = Pick<RawKit, 'ears' | 'eyes' | 'from'>;

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
    const [q, frontToBack] = [eightBands(raw.Q), eightBands(raw['front-to-back'])];
    return {
      ...directivityOf(
        (band) => q[band] as number,
        (band) => frontToBack[band] as number,
      ),
      frontToBack,
    };
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

/** Ears and eyes of whoever plays nothing that says otherwise. */
const toPosture = (raw: RawPosture): Pick<Figures, 'ears' | 'eyes'> => ({
  ears: postures(raw.ears),
  eyes: postures(raw.eyes),
});

/** One kind of the parsed catalogue. */
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

/** One cover of the parsed catalogue. */
export function toCover(name: string, { about, also = [], loss, from }: RawCover): Cover {
  return { name, about, also, loss: eightBands(loss), from: originsOf(from, name, ['loss']) };
}

/** Origin of the figure the file calls `figure`. Throws where the shipped catalogue lacks one: that is our bug. */
function originOf(claims: readonly Claim[], figure: string, entry: string): Origin {
  const claim = claims.find(({ of }) => of.includes(figure));
  if (!claim) throw new Error(`catalogue: ${entry} gives ${figure} without an origin`);
  return { grade: claim.grade, sources: [claim.source].flat(), note: claim.note ?? null };
}

/** Origins of several figures, which the file calls by their names in kebab case. */
const originsOf = <K extends string>(claims: readonly Claim[], entry: string, figures: readonly K[]) =>
  Object.fromEntries(
    figures.map((figure) => [
      figure,
      originOf(
        claims,
        figure.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`),
        entry,
      ),
    ]),
  ) as Record<K, Origin>;

type RawPostures = Vec3 | { readonly seated: Vec3; readonly standing: Vec3 };

type RawFigures = {
  readonly power?: Loudness['steps'];
  readonly level?: Loudness['steps'] & { readonly at: number; readonly weighting: Weighting };
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

export type RawHeadphones = {
  readonly about: string;
  readonly also?: readonly string[];
  readonly 'hears-by-air': boolean;
  readonly leak: RawBands | null;
  readonly attenuation: RawBands;
  readonly from: readonly Claim[];
};

export type RawCover = {
  readonly about: string;
  readonly also?: readonly string[];
  readonly loss: RawBands;
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
    Record<string, { readonly instrument: string; readonly place: Vec3; readonly axis: Axis }>
  >;
  readonly from: readonly Claim[];
};

/** Ears and eyes of whoever plays, where the instrument does not say otherwise. */
export type RawPosture = {
  readonly ears: RawPostures;
  readonly eyes: RawPostures;
  readonly from: readonly Claim[];
};

/** Entries of `written` by name, each read once, at its first use: a plan names a few of a catalogue of hundreds. */
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
  const keys = () => Object.keys(written)[Symbol.iterator]();
  const entries = () =>
    Object.keys(written)
      .map((name): [string, T] => [name, get(name) as T])
      [Symbol.iterator]();
  return {
    has,
    get,
    keys,
    entries,
    [Symbol.iterator]: entries,
    values: () =>
      Object.keys(written)
        .map((name) => get(name) as T)
        [Symbol.iterator](),
    forEach: (visit) => {
      for (const [name, value] of entries()) visit(value, name, made);
    },
    size: Object.keys(written).length,
  };
}
