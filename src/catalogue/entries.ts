/** Catalogue entries as lists of properties with their origins, and the search among them. */
import { type Bands, NOMINAL_BANDS } from '../acoustics/bands.ts';
import { fitDirectivity, nullAngle } from '../acoustics/directivity.ts';
import type { Vec3 } from '../geometry.ts';
import type { Shelves } from '../plan/json-schema.ts';
import { type Aliased, closestNames, MOST_OFFERED, sameName } from '../text.ts';
import type * as shipped from './catalogue.ts';
import { DYNAMICS, HIGHEST_ABSORPTION } from './catalogue.ts';

/** Names a plan may use, by where they are looked up. */
export function shelvesOf(catalogue: shipped.Catalogue): Shelves {
  const playing = [
    ...[...catalogue.instruments.values()].flatMap((instrument) => [...instrument.playing.keys()]),
    ...[...catalogue.kits.values()].flatMap((kit) => kit.playing),
  ];
  const named = Object.fromEntries(KINDS.map((kind) => [kind, catalogueNames(catalogue, kind)]));
  const { instruments, kits, ...others } = named as Record<Kind, readonly string[]>;
  return { ...others, instruments: [...instruments, ...kits], playing: [...new Set(playing)].sort() };
}

/** Names of a kind, without reading the entries. */
export const catalogueNames = ({ materials, ...rest }: shipped.Catalogue, kind: Kind): readonly string[] => [
  ...{ ...rest, ...materials }[kind].keys(),
];

export type Found = {
  /** To be shown in full. */
  readonly whole: readonly CatalogueEntry[];
  /** To be shown in one line each. */
  readonly listed: readonly CatalogueEntry[];
};

/** All entries, kind by kind. */
export const catalogueEntries = ({ instruments, families, ...rest }: shipped.Catalogue): CatalogueEntry[] => [
  ...[...instruments.values()].map((one) => instrumentEntry(one, families.get(one.name) ?? null)),
  ...[...rest.kits.values()].map(kitEntry),
  ...[...rest.covers.values()].map(coverEntry),
  ...[...rest.headphones.values()].map(headphonesEntry),
  ...materialEntries(rest.materials),
];

export const isKind = (word: string): word is Kind => KINDS.some((kind) => kind === word);

/** Entries that the words name, or else the only one with that other name; and those that have every word in some text. */
export function findEntries(entries: readonly CatalogueEntry[], words: readonly string[]): Found {
  const wanted = words.map((word) => word.toLowerCase());
  const named = entries.filter(({ name }) => name === wanted.join('-'));
  const called = entries.filter(({ also }) => also.some((one) => sameName(one, wanted.join(' '))));
  const whole = named.length === 0 && called.length === 1 ? called : named;
  const listed = entries.filter((entry) => !whole.includes(entry) && holds(entry, wanted));
  return whole.length === 0 && listed.length === 1 ? { whole: listed, listed: [] } : { whole, listed };
}

/** Up to three similar names, words of names or kinds. */
export function nearestEntries(entries: readonly CatalogueEntry[], words: readonly string[]): string[] {
  const single = new Set<string>([...entries.flatMap(({ name }) => name.split('-')), ...KINDS]);
  return [...new Set(closestNames(words.join('-'), [...entries, ...single]))].slice(0, MOST_OFFERED);
}

/** Whole words, singular or plural: "air" is not in "chair". */
function holds({ kind, name, group, about, also }: CatalogueEntry, words: readonly string[]): boolean {
  const text = new Set(wordsOf([kind, ...KIND_WORDS[kind], name, group ?? '', about, ...also].join(' ')));
  return words.flatMap(wordsOf).every((word) => text.has(word));
}

const wordsOf = (text: string): string[] =>
  (text.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? []).map((word) => word.replace(/(?<=\p{L}{2})s$/u, ''));

/** Other words of the trade for a kind: they find all its entries. */
const KIND_WORDS: Readonly<Record<Kind, readonly string[]>> = {
  instruments: [],
  kits: ['drums'],
  covers: [],
  headphones: ['cans', 'earphones'],
  finishes: ['surface', 'treatment'],
  contents: ['furniture'],
  constructions: ['wall', 'partition'],
  doors: [],
  glazings: ['window', 'glass'],
  panels: ['baffle', 'gobo', 'screen'],
  patterns: ['mic', 'microphone', 'polar pattern'],
};

function materialEntries(materials: shipped.Materials): CatalogueEntry[] {
  const all = <
    Entry extends shipped.Finish | shipped.Content | shipped.ShippedConstruction | shipped.CataloguePattern,
  >(
    kind: Kind,
    entries: ReadonlyMap<string, Entry>,
    properties: (entry: Entry) => Property[],
  ): CatalogueEntry[] =>
    [...entries.values()].map((entry) => {
      const { name, group, about, also } = entry;
      return { kind, name, group: group.replaceAll('-', ' '), about, also, properties: properties(entry) };
    });
  return [
    ...all('finishes', materials.finishes, finish),
    ...all('contents', materials.contents, content),
    ...all('constructions', materials.constructions, construction),
    ...all('doors', materials.doors, construction),
    ...all('glazings', materials.glazings, construction),
    ...all('panels', materials.panels, construction),
    ...all('patterns', materials.patterns, pattern),
  ];
}

const finish = ({ absorption }: shipped.Finish): Property[] => [coefficient(absorption)];

const content = ({ each, perArea, footprint }: shipped.Content): Property[] => [
  ...(each ? [byBand(each, { name: 'absorption area per piece', unit: 'm²', digits: 3 })] : []),
  ...(perArea ? [{ ...coefficient(perArea), name: 'absorption coefficient per m² covered' }] : []),
  ...(footprint
    ? [
        numberProperty(
          { name: 'floor per piece', unit: 'm²', digits: 2, from: footprint.from },
          footprint.value,
        ),
      ]
    : []),
];

const construction = ({ reduction, absorption, windowFrom }: shipped.ShippedConstruction): Property[] => [
  byBand(reduction, { name: 'sound reduction index', unit: 'dB', digits: 1 }),
  ...(absorption ? [{ ...coefficient(absorption), name: 'absorption coefficient of the faces' }] : []),
  ...(windowFrom === null
    ? []
    : [numberProperty({ name: 'window above', unit: 'm', digits: 2, from: null }, windowFrom)]),
];

function pattern({ response, selfNoise }: shipped.CataloguePattern): Property[] {
  const noise = { name: 'self-noise', unit: 'dBA', digits: 0 };
  const byAngle = { name: 'response by angle off axis', unit: 'dB', digits: 1 };
  return [
    response.kind === 'first-order'
      ? gradient(response.a)
      : angleProperty({ ...byAngle, from: response.from }, response.rows, response.energy),
    ...(selfNoise ? [numberProperty({ ...noise, from: selfNoise.from }, selfNoise.value)] : []),
  ];
}

/** A by band, and where that puts the null. */
function gradient(a: shipped.BandValues): Property {
  const shown = byBand(a, { name: 'A of A + B·cos θ', unit: '', digits: 3 });
  const at1k = nullAngle(a.values[NOMINAL_BANDS.indexOf(1000)] as number);
  const where = at1k === null ? 'no null at 1 kHz' : `null at ${at1k.toFixed(0)}° at 1 kHz`;
  return { ...shown, remarks: [where, ...shown.remarks] };
}

const coefficient = (values: shipped.BandValues): Property =>
  byBand(values, { name: 'absorption coefficient', unit: '', digits: 3 });

function byBand(shown: shipped.BandValues, named: { name: string; unit: string; digits: number }): Property {
  const { values, from, bandsFrom } = shown;
  const property = bandProperty({ ...named, from }, values);
  const single = [...bandsFrom].map(([band, origin]) => ({ of: `${band} Hz`, origin }));
  return { ...property, origins: [...property.origins, ...single], remarks: remarks(shown) };
}

function remarks({ filled, kept }: shipped.BandValues): string[] {
  const remark = (bands: readonly number[], text: string) =>
    bands.length > 0 ? [`${text} at ${bands.join(', ')} Hz`] : [];
  return [
    ...remark(filled.interpolated, 'interpolated'),
    ...remark(filled.held, 'nearest published value used'),
    ...remark(kept, `published higher, limited to ${HIGHEST_ABSORPTION}`),
  ];
}

/** The default technique in full, for the others the differences. */
function instrumentEntry(instrument: shipped.Instrument, group: string | null): CatalogueEntry {
  const { name, about, also, usual, playing } = instrument;
  const own = propertiesOf(instrument);
  const known = new Set(own.map((one) => JSON.stringify(one)));
  const others = [...playing].flatMap(([technique, over]) =>
    technique === usual
      ? []
      : propertiesOf(over)
          .filter((one) => !known.has(JSON.stringify(one)))
          .map((one) => ({ ...one, technique })),
  );
  const properties = [...own.map((one) => ({ ...one, technique: usual })), ...others];
  return { kind: 'instruments', name, group, about, also, properties };
}

function propertiesOf(one: shipped.WithOrigin<shipped.InstrumentValues>): Property[] {
  const { from } = one;
  const metres = { unit: 'm', digits: 3 };
  return [
    loudness(one),
    bandProperty(
      { name: 'on-axis spectrum', unit: 'dB re total', digits: 1, from: from.spectrum },
      one.spectrum.map((share) => 10 * Math.log10(share)),
    ),
    ...directivity(one),
    numberProperty({ name: 'radius of the radiating area', ...metres, from: from.radius }, one.radius),
    placeProperty({ name: 'acoustic centre', ...metres, from: from.place }, one.place),
    propertyOf({ name: 'axis', unit: '°', digits: 0, from: from.axis }, ANGLES, [
      { label: '', values: [one.axis.bearing, one.axis.tilt] },
    ]),
    placeProperty({ name: 'ears', ...metres, from: from.ears }, one.ears),
    placeProperty({ name: 'eyes', ...metres, from: from.eyes }, one.eyes),
    numberProperty({ name: 'lowest note', unit: 'Hz', digits: 2, from: from.lowestNote }, one.lowestNote),
    numberProperty({ name: 'closest mic on a stand', ...metres, from: from.closest }, one.closest),
    numberProperty({ name: 'furthest close mic', ...metres, from: from.furthest }, one.furthest),
    ...keptClear(one),
    carrying(one),
    ...outputOf(one),
    numberProperty({ name: 'crest factor', unit: 'dB', digits: 1, from: from.crest }, one.crest),
  ];
}

/** From its acoustic centre, as the player faces. */
function keptClear({ keepClear, from }: shipped.WithOrigin<shipped.InstrumentValues>): Property[] {
  const rows = [...keepClear].map(([label, [a, b]]) => ({ label, values: [...a, ...b] }));
  const named = { name: 'kept clear of mics', unit: 'm', digits: 2, from: from.keepClear };
  const columns = [...AXES.map((axis) => `${axis} from`), ...AXES.map((axis) => `${axis} to`)];
  return rows.length === 0 ? [] : [propertyOf(named, columns, rows)];
}

function carrying({
  carried,
  from,
}: shipped.WithOrigin<Pick<shipped.InstrumentValues, 'carried'>>): Property {
  const named = { name: 'carried', unit: '', digits: 1, from: from.carried };
  if (!carried) return wordProperty(named, 'no, it stays where it is');
  const { people, width, minutes } = carried;
  return propertyOf(
    named,
    ['people', 'door, m', 'minutes'],
    [{ label: '', values: [people, width, minutes] }],
  );
}

function outputOf({ output, from }: shipped.WithOrigin<shipped.InstrumentValues>): Property[] {
  const named = { name: 'taken by a DI', unit: '', digits: 0, from: from.output };
  return output === null ? [] : [wordProperty(named, output === 'line' ? 'its line' : 'its pickup')];
}

function loudness({ loudness: loud, from }: shipped.WithOrigin<shipped.InstrumentValues>): Property {
  const named =
    loud.kind === 'power'
      ? { name: 'sound power', unit: 'dB re 1 pW' }
      : {
          name: 'level on axis',
          unit: `dB${loud.weighting === 'Z' ? '' : loud.weighting} at ${loud.at} m`,
        };
  return propertyOf({ ...named, digits: 1, from: from.loudness }, DYNAMICS, [
    { label: '', values: DYNAMICS.map((dynamic) => loud.steps[dynamic]) },
  ]);
}

function directivity({ directivity: known, from }: shipped.WithOrigin<shipped.InstrumentValues>): Property[] {
  const { q, frontToBack, table } = known;
  if (table || !frontToBack) {
    const named = { name: 'level by angle off axis', unit: 'dB', digits: 1, from: from.directivity };
    return table ? [angleProperty(named, table.rows, table.energy)] : [];
  }
  const isBent = (band: number) => fitDirectivity(q[band] ?? 1, frontToBack[band] ?? null).bent;
  const bent = NOMINAL_BANDS.filter((_, band) => isBent(band));
  const ratio = { name: 'front-to-back ratio', unit: 'dB', digits: 1, from: from.directivity };
  const remarks = bent.length > 0 ? [`adjusted to keep Q at ${bent.join(', ')} Hz`] : [];
  return [
    bandProperty({ name: 'directivity factor Q', unit: '', digits: 2, from: from.directivity }, q),
    { ...bandProperty(ratio, frontToBack), remarks },
  ];
}

function kitEntry({
  name,
  about,
  also,
  usual,
  parts,
  ears,
  eyes,
  from,
  playing,
  carried,
}: shipped.Kit): CatalogueEntry {
  const pieces = [...parts].map(([piece, { instrument, place, axis }]) => ({
    label: piece === instrument ? piece : `${piece} (${instrument})`,
    values: [...place, axis.bearing, axis.tilt],
  }));
  const origin = [...parts.values()][0]?.from.place ?? null;
  const metres = { unit: 'm', digits: 3 };
  const techniques = playing.map((one) => (one === usual ? `${one} (default)` : one)).join(', ');
  const properties = [
    propertyOf({ name: 'pieces', unit: 'm and °', digits: 2, from: origin }, [...AXES, ...ANGLES], pieces),
    placeProperty({ name: 'ears', ...metres, from: from.ears }, ears),
    placeProperty({ name: 'eyes', ...metres, from: from.eyes }, eyes),
    carrying({ carried, from }),
  ];
  return { kind: 'kits', name, group: null, about: `${about}; played with ${techniques}`, also, properties };
}

function coverEntry({ name, about, also, loss, from }: shipped.Cover): CatalogueEntry {
  const properties = [bandProperty({ name: 'loss', unit: 'dB', digits: 1, from: from.loss }, loss)];
  return { kind: 'covers', name, group: null, about, also, properties };
}

function headphonesEntry(one: shipped.Headphones): CatalogueEntry {
  const { name, about, also, leak, attenuation, hearsByAir, from } = one;
  const hears = { name: 'hears others directly', unit: '', digits: 0, from: from.hearsByAir };
  const leaks = { name: 'leak: level at 1 m re the ear', unit: 'dB', digits: 1, from: from.leak };
  const loss = { name: 'attenuation of room sound', unit: 'dB', digits: 1, from: from.attenuation };
  const properties = [
    wordProperty(hears, hearsByAir ? 'yes' : 'no'),
    leak ? bandProperty(leaks, leak) : wordProperty({ ...leaks, unit: '' }, 'nothing'),
    bandProperty(loss, attenuation),
  ];
  return { kind: 'headphones', name, group: null, about, also, properties };
}

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

export type CatalogueEntry = Aliased & {
  readonly kind: Kind;
  /** Group within its kind, or null. */
  readonly group: string | null;
  readonly about: string;
  readonly properties: readonly Property[];
};

/** A property as a small table: by band, by dynamic, by posture; a single number has no columns. */
export type Property = {
  readonly name: string;
  readonly unit: string;
  /** Its playing technique, or null if there is only one. */
  readonly technique: string | null;
  /** Most decimals worth showing. */
  readonly digits: number;
  readonly columns: readonly string[];
  /** Null is silence. */
  readonly rows: readonly { readonly label: string; readonly values: readonly (number | null)[] }[];
  /** `of` names the band of an origin ("63 Hz"); empty for all others. */
  readonly origins: readonly { readonly of: string; readonly origin: shipped.Origin }[];
  /** How values differ from the source: interpolated, limited. */
  readonly remarks: readonly string[];
};

type Named = Pick<Property, 'name' | 'unit' | 'digits'> & {
  /** Null if nothing was measured: a dimension of the thing itself. */
  readonly from: shipped.Origin | null;
};

const BAND_COLUMNS = NOMINAL_BANDS.map(String);
const AXES = ['right', 'ahead', 'up'];
const ANGLES = ['bearing', 'tilt'];

function propertyOf({ from, ...named }: Named, columns: readonly string[], rows: Property['rows']) {
  const origins = from ? [{ of: '', origin: from }] : [];
  return { ...named, technique: null, columns, rows, origins, remarks: [] } satisfies Property;
}

export const bandProperty = (named: Named, values: Bands): Property =>
  propertyOf(named, BAND_COLUMNS, [{ label: '', values: Array.from(values, finite) }]);

export const numberProperty = (named: Named, value: number): Property =>
  propertyOf(named, [], [{ label: '', values: [value] }]);

const wordProperty = (named: Named, word: string): Property =>
  propertyOf(named, [], [{ label: word, values: [] }]);

/** Energies re on axis as dB at every 30°, by band. */
function angleProperty(named: Named, rows: number, energy: Float64Array): Property {
  const step = (rows - 1) / 6;
  const angles = [0, 1, 2, 3, 4, 5, 6].map((i) => ({
    label: `${i * 30}°`,
    values: NOMINAL_BANDS.map((_, band) =>
      finite(10 * Math.log10(energy[Math.round(i * step) * NOMINAL_BANDS.length + band] ?? 0)),
    ),
  }));
  return propertyOf(named, BAND_COLUMNS, angles);
}

export function placeProperty(named: Named, places: Readonly<Record<string, Vec3>>): Property {
  const rows = Object.entries(places).map(([label, values]) => ({ label, values }));
  const [first, second] = rows;
  const same = first && second && first.values.every((value, i) => value === second.values[i]);
  return propertyOf(named, AXES, same ? [{ ...first, label: '' }] : rows);
}

/** Silence and a perfect null have no level in dB. */
const finite = (value: number): number | null => (Number.isFinite(value) ? value : null);
