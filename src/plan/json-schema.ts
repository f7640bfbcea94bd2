/** The schema as JSON Schema draft 7, from `describe()`. */
import * as v from 'valibot';
import { planSchema } from './plan.ts';
import type { About, Bond, Described, Entries, Shelf } from './schema.ts';
import { BASE, type Dimension, EXAMPLES, FOOT, UNITS } from './units.ts';

// The plan format as one JSON Schema (draft 7), from the same schema that reads plans.
export function planJsonSchema(shelves: Shelves): Json {
  const definitions: Record<string, Json> = {};
  const define: Define = (name, make) => {
    if (!(name in definitions)) {
      // said before it is made: a map may hold itself
      definitions[name] = {};
      definitions[name] = make();
    }
    return { $ref: `#/definitions/${name}` };
  };
  const alone = wholeOf(define, shelves, false);
  const laid = wholeOf(define, shelves, true);
  return {
    $schema: 'http://json-schema.org/draft-07/schema#',
    title: 'A plan of spillcheck, format 1',
    description:
      'What a plan may hold. A plan that names a studio may leave out what the studio has, and take out by ~ what it does not want.',
    type: 'object',
    required: ['spillcheck'],
    if: { required: ['studio'] },
    // biome-ignore lint/suspicious/noThenProperty: a keyword of JSON Schema
    then: jsonOf(planSchema.about, laid),
    else: jsonOf(planSchema.about, alone),
    definitions,
  };
}

function wholeOf(define: Define, shelves: Shelves, laid: boolean): Whole {
  const names = new Map<About, string>();
  const taken = new Set<string>();
  const whole: Whole = {
    define,
    laid,
    map: (about) => define(nameOf(about), () => mapJson(about, whole, shelves)),
    shelf: (about) => wordJson(about, define, shelves),
    keys: (keys) => keysJson(keys, define, shelves),
  };
  return whole;

  /** "a room" is the definition `room`; two maps of one name are told apart by number. */
  function nameOf(about: Extract<About, { takes: 'map' }>): string {
    const known = names.get(about);
    if (known) return known;
    const plain = about.what.replace(/^(?:an?|the) /, '').replaceAll(' ', '-') + (laid ? '-over-studio' : '');
    let name = plain;
    for (let i = 2; taken.has(name); i++) name = `${plain}-${i}`;
    taken.add(name);
    names.set(about, name);
    return name;
  }
}

const TEXT: Json = { type: ['string', 'number', 'boolean'] };

/** Names of the catalogue one by one; whatever else is called something, by what no name can be. */
function wordJson(
  { takes, of, words = [] }: Extract<About, { takes: 'name' | 'text' }>,
  define: Define,
  shelves: Shelves,
): Json {
  const said: Json[] = words.length > 0 ? [{ enum: words }] : [];
  if (of) return anyOf([...said, define(`${of}-of-the-catalogue`, () => ({ enum: shelves[of] }))]);
  return anyOf([...said, takes === 'text' ? TEXT : anyName(define)]);
}

const anyName = (define: Define): Json =>
  define('name', () => ({ type: 'string', pattern: '\\S', not: { pattern: NO_NAME_PATTERN } }));

function keysJson(keys: Extract<About, { takes: 'named' }>['keys'], define: Define, shelves: Shelves): Json {
  if (keys === 'elsewhere') return anyName(define);
  if (keys !== 'given') return define(`${keys}-of-the-catalogue`, () => ({ enum: shelves[keys] }));
  return define('given-name', () => ({ pattern: NAME_PATTERN, not: { pattern: NO_NAME_PATTERN } }));
}

// Maps of fixed keys as JSON Schema: each key with what it means, what it counts in, and an example.

type Map = Extract<About, { takes: 'map' }>;

/** Over a studio any key may be missing, since the studio may have it. */
function mapJson({ what, entries, bonds }: Map, whole: Whole, shelves: Shelves): Json {
  const keys = Object.keys(entries);
  const required = whole.laid ? [] : keys.filter((key) => entryOf(entries, key).needed);
  const held = whole.laid ? [] : bonds.flatMap(bondJson);
  return {
    title: what,
    type: 'object',
    properties: Object.fromEntries(keys.map((key) => [key, keyJson(entries, key, whole, shelves)])),
    additionalProperties: false,
    ...(required.length > 0 && { required }),
    ...(held.length > 0 && { allOf: held }),
  };
}

function keyJson(entries: Entries, key: string, whole: Whole, shelves: Shelves): Json {
  const entry = entryOf(entries, key);
  const value = jsonOf(entry.about, whole);
  // a heading with nothing below it yet holds nothing
  const heading = !entry.needed && ['map', 'named'].includes(entry.about.takes);
  const json = heading ? anyOf([value, { type: 'null' }]) : orNothing(value, whole);
  return {
    description: words(entry.about, entry.description),
    ...('$ref' in json ? { allOf: [json] } : json),
    ...(entry.default !== undefined && { default: entry.default }),
    examples: [exampleOfKey(entries, key, shelves)],
  };
}

/** The key's own words, and what the value counts in. */
function words(about: About, description: string): string {
  const quantity = quantityIn(about);
  return quantity ? `${description} (${quantityWords(quantity)})` : description;
}

/** The quantity that a value is, or is made of, in whatever form. */
function quantityIn(about: About): Extract<About, { takes: 'quantity' }> | null {
  if (about.takes === 'quantity') return about;
  if (about.takes === 'bands') return quantityIn(about.item.about);
  const inner =
    about.takes === 'forms'
      ? about.forms
      : about.takes === 'list'
        ? about.items.slice(0, 1)
        : about.takes === 'named'
          ? [about.item]
          : [];
  return inner.map((each) => quantityIn(each.about)).find((found) => found !== null) ?? null;
}

function bondJson({ among, least, most, when }: Bond): Json[] {
  const each = among.map((key) => ({ required: [key] }));
  const some: Json[] = least
    ? [most ? { oneOf: each } : each.length === 1 ? (each[0] ?? {}) : { anyOf: each }]
    : [];
  const pairs = most && !least ? pairsOf(among).map((required) => ({ not: { required } })) : [];
  const all = [...some, ...pairs];
  return when ? all.map((then) => ({ if: { required: [when] }, then })) : all;
}

const pairsOf = (keys: readonly string[]): string[][] =>
  keys.flatMap((first, i) => keys.slice(i + 1).map((second) => [first, second]));

// What an editor says of a quantity beside its description: what it counts in, and how far it goes.

const HOUR = 3600;

/** "length from 0.1 to 100 m; bare numbers count in the plan's units" */
function quantityWords({ dimension, min, max, bareFactor, step }: Quantity): string {
  const unit = BASE[dimension] && `${dimension === 'angle' ? '' : ' '}${BASE[dimension]}`;
  const multiples = step === undefined || step === 1 ? '' : `, in steps of ${step}`;
  return `${KINDS[dimension](step)} from ${min} to ${max}${unit}${multiples}${bare(dimension, bareFactor)}`;
}

function bare(dimension: Dimension, factor: number | null | undefined): string {
  if (factor === null) return '; it says its unit';
  if (factor === HOUR) return '; bare numbers are hours';
  if (dimension === 'length') return "; bare numbers count in the plan's units, m if unsaid";
  return BASE[dimension] ? `; bare numbers are ${BASE[dimension]}` : '';
}

const named = (kind: string) => () => kind;

const KINDS: Readonly<Record<Dimension, (step?: number) => string>> = {
  length: named('length'),
  area: named('area'),
  'surface-mass': named('mass per area'),
  frequency: named('frequency'),
  angle: named('angle'),
  temperature: named('temperature'),
  time: named('time'),
  ratio: named('number or %'),
  percent: named('percentage'),
  decibel: named('figure'),
  count: (step) => (step === 1 ? 'whole number' : 'number'),
};

// Something that each kind of value may be written as, so that an editor has an example of every key.

type Quantity = Extract<About, { takes: 'quantity' }>;

function exampleOf(about: About, shelves: Shelves): unknown {
  switch (about.takes) {
    case 'quantity':
      return quantityExample(about);
    case 'level':
      return about.distance ? '88 dBA at 1 m' : about.weighting === 'A' ? '35 dBA' : '85 dBA';
    case 'flag':
      return true;
    case 'choice':
      return about.choices[0];
    case 'name':
      return about.of ? shelves[about.of][0] : 'drums';
    case 'text':
      return about.words?.[0] ?? '7';
    case 'list':
      return listExample(about.items, about.least, shelves);
    case 'forms':
      return about.forms[0] && exampleOf(about.forms[0].about, shelves);
    case 'bands':
      return bandsExample(about, shelves);
    case 'named':
      return { [keyExample(about.keys, shelves)]: exampleOf(about.item.about, shelves) };
    case 'map':
      return mapExample(about.entries, [...about.bonds].flatMap(needed), shelves);
  }
}

const listExample = (items: readonly Described[], least: number, shelves: Shelves): unknown[] =>
  Array.from({ length: Math.max(1, least) }, (_, i) => {
    const item = items[i] ?? items[0];
    return item && exampleOf(item.about, shelves);
  });

function bandsExample({ item, beside, needed: key }: Extract<About, { takes: 'bands' }>, shelves: Shelves) {
  const value = exampleOf(item.about, shelves);
  const first = key && beside[key];
  // a table is filled in by hand: its columns go by its angles
  return first ? { [key]: [0, 90, 180], 1000: [0, -6, -20] } : { 125: value, 1000: value };
}

const keyExample = (keys: Extract<About, { takes: 'named' }>['keys'], shelves: Shelves): string =>
  keys === 'given' ? 'first' : keys === 'elsewhere' ? 'drums' : (shelves[keys][0] ?? '');

const needed = ({ among: [first], least, when }: { among: readonly string[]; least?: 1; when?: string }) =>
  least && !when && first ? [first] : [];

/** What must be there; of a map that needs nothing, its first key. */
function mapExample(entries: Entries, wanted: readonly string[], shelves: Shelves): unknown {
  const must = Object.keys(entries).filter((key) => entryOf(entries, key).needed || wanted.includes(key));
  const keys = must.length > 0 ? must : Object.keys(entries).slice(0, 1);
  return Object.fromEntries(keys.map((key) => [key, exampleOfKey(entries, key, shelves)]));
}

/** The example a key has been given, else one of its kind. */
export function exampleOfKey(entries: Entries, key: string, shelves: Shelves): unknown {
  const { about, schema } = entryOf(entries, key);
  const { example } = v.getMetadata(schema as v.GenericSchema) as { readonly example?: unknown };
  return example ?? exampleOf(about, shelves);
}

/** As one would write it, within bounds. */
function quantityExample({ dimension, min, max, bareFactor, step }: Quantity): unknown {
  const fits = WRITTEN[dimension].filter(([, si]) => si >= min && si <= max);
  if (bareFactor === null) return fits.find(([written]) => typeof written === 'string')?.[0] ?? min;
  const [first] = fits.filter(([, si]) => step === undefined || si % step === 0);
  return first?.[0] ?? (step === undefined ? max : Math.ceil(min / step) * step);
}

type Dimensions = Quantity['dimension'];

const WRITTEN: Readonly<Record<Dimensions, readonly (readonly [written: number | string, si: number])[]>> = {
  length: [
    ['30 cm', 0.3],
    ['6 ft', 6 * FOOT],
    [2.5, 2.5],
    ['10 cm', 0.1],
  ],
  area: [['6 m2', 6]],
  'surface-mass': [['12 kg/m2', 12]],
  frequency: [['100 Hz', 100]],
  angle: [[30, 30]],
  temperature: [['20 °C', 20]],
  time: [
    ['0.6 s', 0.6],
    ['3 h', 10_800],
  ],
  ratio: [[0.2, 0.2]],
  percent: [['50 %', 50]],
  decibel: [
    ['12 dB', 12],
    ['3 dB', 3],
    ['-25 dB', -25],
  ],
  count: [[4, 4]],
};

// A key of a map as the plan's schema holds it.

type Entry = {
  readonly about: About;
  /** Without what wraps it where it may be left out. */
  readonly schema: Entries[string];
  readonly description: string;
  readonly needed: boolean;
  /** What it is read as where it is left out; undefined where that is nothing one could write. */
  readonly default: string | number | boolean | undefined;
};

export function entryOf(entries: Entries, key: string): Entry {
  const outer = entries[key] as Entries[string];
  const schema = 'wrapped' in outer ? (outer.wrapped as Entries[string]) : outer;
  const value =
    outer.type === 'optional' ? v.getDefault(outer as v.OptionalSchema<v.GenericSchema, unknown>) : undefined;
  return {
    schema,
    about: (schema as unknown as Described).about,
    description: v.getDescription(schema) ?? '',
    needed: outer === schema,
    default: ['string', 'number', 'boolean'].includes(typeof value)
      ? (value as string | number | boolean)
      : undefined,
  };
}

// What a schema takes, as JSON Schema (draft 7). Texts by pattern, names and maps are looked up among the definitions.

/** Where a value stands: `map` and `names` tell what there is only in the whole. */
type Whole = {
  readonly define: Define;
  readonly map: (about: Extract<About, { takes: 'map' }>) => Json;
  readonly shelf: (about: Extract<About, { takes: 'name' | 'text' }>) => Json;
  readonly keys: (keys: Extract<About, { takes: 'named' }>['keys']) => Json;
  /** True where a plan lies over a studio, so that any value of a map may be taken out. */
  readonly laid: boolean;
};

export function jsonOf(about: About, whole: Whole): Json {
  switch (about.takes) {
    case 'quantity':
      return quantityJson(about, whole.define);
    case 'level':
      return levelJson(about, whole.define);
    case 'flag':
      return { type: 'boolean' };
    case 'choice':
      return { enum: about.choices.flatMap(numberAsWell) };
    case 'name':
    case 'text':
      return whole.shelf(about);
    case 'list':
      return listJson(about, whole);
    case 'forms':
      return anyOf(about.forms.map((form: Described) => jsonOf(form.about, whole)));
    case 'bands':
      return bandsJson(about, whole);
    case 'named':
      return namedJson(about, whole);
    case 'map':
      return whole.map(about);
  }
}

/** A word such as 1 is a number to YAML. */
const numberAsWell = (word: string): (string | number)[] =>
  word !== '' && String(Number(word)) === word ? [Number(word), word] : [word];

const MANY = 100_000;

function listJson({ items: [item], least, most }: Extract<About, { takes: 'list' }>, whole: Whole): Json {
  return {
    type: 'array',
    ...(item && { items: jsonOf(item.about, whole) }),
    ...(least > 0 && { minItems: least }),
    ...(most < MANY && { maxItems: most }),
  };
}

/** One value for all bands, or a map of them; a table has no single value. */
function bandsJson(about: Extract<About, { takes: 'bands' }>, whole: Whole): Json {
  const { item, beside, needed } = about;
  const value = jsonOf(item.about, whole);
  const map = {
    type: 'object',
    properties: Object.fromEntries(
      Object.entries(beside).map(([key, each]) => [key, orNothing(jsonOf(each.about, whole), whole)]),
    ),
    patternProperties: { [BAND_PATTERN]: orNothing(value, whole) },
    additionalProperties: false,
    minProperties: needed && !whole.laid ? 2 : 1,
    ...(needed && !whole.laid && { required: [needed] }),
  };
  return needed ? map : anyOf([value, map]);
}

function namedJson({ item, removable, keys }: Extract<About, { takes: 'named' }>, whole: Whole): Json {
  const value = jsonOf(item.about, whole);
  return {
    type: 'object',
    propertyNames: whole.keys(keys),
    additionalProperties: removable ? anyOf([value, { type: 'null' }]) : orNothing(value, whole),
  };
}

const orNothing = (json: Json, { laid }: { readonly laid: boolean }): Json =>
  laid ? anyOf([json, { type: 'null' }]) : json;

// Quantities and levels as JSON Schema: a bare number within bounds, or a text by pattern.

/** Bare lengths may count in feet: what is too much in metres is not in feet. */
const LARGEST_BARE = 1 / FOOT;

function quantityJson(about: Extract<About, { takes: 'quantity' }>, define: Define): Json {
  const { dimension, min, max, bareFactor, step } = about;
  const text = define(bareFactor === null ? `${dimension}-with-unit` : dimension, () => ({
    type: 'string',
    pattern: quantityPattern(dimension, bareFactor === null),
    patternErrorMessage: `write it such as ${EXAMPLES[dimension]}`,
  }));
  if (bareFactor === null) return text;
  const feet = dimension === 'length' ? LARGEST_BARE : 1;
  const bare = bareFactor ?? 1;
  const span = {
    minimum: min < 0 ? (min * feet) / bare : min / bare,
    maximum: (max * feet) / bare,
  };
  const number =
    step === 1
      ? { type: 'integer', ...span }
      : { type: 'number', ...span, ...(step && { multipleOf: step }) };
  return anyOf([text, number]);
}

function levelJson({ weighting, distance }: Extract<About, { takes: 'level' }>, define: Define): Json {
  const text = define(`level-${weighting}${distance ? '-at-distance' : ''}`, () => ({
    type: 'string',
    pattern: levelPattern(weighting, distance),
    patternErrorMessage: `write it such as ${distance ? '88 dB, 88 dBA or 88 dBA at 1 m' : '85 or 85 dBA'}`,
  }));
  return anyOf([text, { type: 'number', minimum: 0, maximum: 160 }]);
}

// What may be written as text, as regular expressions for editors: quantities, levels, bands and names, as `quantity.ts` and its neighbours read them.

const SIGN = '[+\\-−–]?';

const DIGITS = '(?:\\d+\\.?\\d*|\\.\\d+)';

const NUMBER = `${SIGN}${DIGITS}(?:[eE]${SIGN}\\d+)?`;

const FOOT_MARK = "['′’]";

const INCH_MARK = `(?:["″”]|${FOOT_MARK}{2})`;

const PLAIN = '\\d+(?:\\.\\d+)?';

const FEET_AND_INCHES = `${SIGN}${PLAIN}\\s*(?:${FOOT_MARK}|ft|feet|foot)\\s*${PLAIN}\\s*(?:${INCH_MARK}|in|inch|inches)?`;

const whole = (pattern: string): string => `^\\s*(?:${pattern})\\s*$`;

/** In either case, letter by letter: a pattern of JSON Schema has no flags. */
const anyCase = (word: string): string =>
  word.replace(/[a-z]/gi, (letter) => `[${letter.toLowerCase()}${letter.toUpperCase()}]`);

const MARKS: Readonly<Record<string, string>> = { "'": FOOT_MARK, '"': INCH_MARK };

const common = (dimension: Dimension): string[] =>
  [...UNITS[dimension].keys()].map((unit) => MARKS[unit] ?? unit);

/** A quantity as text; with `needsUnit` a bare number is none. */
export function quantityPattern(dimension: Dimension, needsUnit = false): string {
  const uncommon = UNCOMMON[dimension];
  const units = [...common(dimension), ...(uncommon ? [uncommon] : [])].join('|');
  const number = units === '' ? NUMBER : `${NUMBER}\\s*(?:${units})${needsUnit ? '' : '?'}`;
  return whole(dimension === 'length' ? `${number}|${FEET_AND_INCHES}` : number);
}

/** A level as a meter reads it. Its distance takes the common units alone. */
export function levelPattern(weighting: 'any' | 'A', distance: boolean): string {
  const letters = weighting === 'A' ? 'aA' : 'aAcCzZ';
  const weighted = `${anyCase('dB')}(?:[${letters}]|\\([${letters}]\\))${weighting === 'A' ? '' : '?'}`;
  const far = `\\s+(?:at|@)\\s+(?:${NUMBER}\\s*(?:${common('length').join('|')})?|${FEET_AND_INCHES})`;
  return whole(`${NUMBER}\\s*(?:${weighted})?${distance ? `(?:${far})?` : ''}`);
}

/** An octave band as a key: 63, 125 Hz, 1k, 0.5 kHz. */
export const BAND_PATTERN = whole(
  `0*(?:63|125|250|500|[1248]000)(?:\\.0+)?\\s*(?:${anyCase('Hz')})?|` +
    `(?:0*[1248](?:\\.0+)?|0+\\.(?:063|125|25|5)0*)\\s*[kK](?:${anyCase('Hz')})?`,
);

const dimensions = Object.keys(UNITS) as Dimension[];

/** What reads as a number or a quantity in a common unit, and is no name therefore. */
export const NO_NAME_PATTERN = whole(
  [
    `${NUMBER}\\s*(?:${anyCase('dB')}[aAcCzZ]?|${dimensions.flatMap(common).join('|')})?`,
    FEET_AND_INCHES,
    `${SIGN}\\d+,\\d+\\D*`,
    '0[xXoO][\\da-fA-F]+',
    `${SIGN}\\.(?:${anyCase('inf')}|${anyCase('nan')})`,
  ].join('|'),
);

const TAKEN = ['all', 'room', 'outside', '~', ...['true', 'false', 'null'].map(anyCase)];

/** Control characters, and those that turn the direction of writing. */
const CONTROL =
  '\\u0000-\\u001f\\u007f-\\u009f\\u2028\\u2029\\u061c\\u200e\\u200f\\u202a-\\u202e\\u2066-\\u2069\\ufeff';

const CHARACTER = `[^.[\\]{}()${CONTROL}]`;

/** A name that a plan gives. */
export const NAME_PATTERN = `^(?!\\s)(?!(?:${TAKEN.join('|')})$)${CHARACTER}{0,99}(?!\\s)${CHARACTER}$`;

// Names of the units beyond our own table, as the unit library knows them, so that an editor takes what a plan may hold.
// A test holds the lists to the library's own. Quotients and powers other than an area are read in plans, too, but not listed.

/** Prefixes in full and as letters: the SI's, with those of 2022. */
const LONG =
  'deca|hecto|kilo|mega|giga|tera|peta|exa|zetta|yotta|ronna|quetta|deci|centi|milli|micro|nano|pico|femto|atto|zepto|yocto|ronto|quecto';

const SHORT = 'da|[hkMGTPEZYRQdcmunpfazyrq]';

/** Names without a prefix, with one in full, and with one as a letter, each as the branches of a pattern. */
type Names = { readonly bare?: string; readonly long?: string; readonly short?: string };

const NAMES = {
  length: {
    long: 'meters?',
    short: 'm',
    bare: 'inch(?:es)?|foot|feet|(?:yard|mile|link|rod|chain|angstrom)s?|in|ft|yd|mi|li|rd|ch|mil',
  },
  area: {
    short: 'm2',
    bare: 'sq(?:in|ft|yd|mi|rd|ch|mil|feet|yard|miles?)|acres?|hectares?',
  },
  mass: {
    long: 'grams?|tonnes?',
    short: 'g|t|tons?',
    bare: '(?:grain|dram|ounce|hundredweight|stick)s?|poundmass(?:es)?|stone|gr|dr|oz|lbm|cwt|lbs?',
  },
  time: {
    long: 'sec(?:ond)?s?',
    short: 's',
    bare: '(?:minute|hour|day|week|month|year|decade|min|hr)s?|h|centur(?:y|ies)|millenni(?:um|a)',
  },
  frequency: { long: 'hertz', short: 'Hz' },
  angle: {
    long: '(?:radian|degree|gradian)s?',
    short: 'rad|deg|grad',
    bare: 'cycles?|arcsec(?:onds?)?|arcmin(?:utes?)?',
  },
  temperature: { long: 'kelvin|celsius|fahrenheit|rankine', short: 'K|deg[CFR]', bare: '°?F' },
} satisfies Readonly<Record<string, Names>>;

const branches = ({ bare, long, short }: Names): string =>
  [
    ...(long ? [`(?:${LONG})?(?:${long})`] : []),
    ...(short ? [`(?:${SHORT})?(?:${short})`] : []),
    ...(bare ? [bare] : []),
  ].join('|');

const squared = `(?:${branches(NAMES.length)})(?:\\^2|²)`;

/** What may stand after a number of each dimension that the library reads. */
export const UNCOMMON: Readonly<Record<string, string>> = {
  length: branches(NAMES.length),
  area: `${branches(NAMES.area)}|${squared}`,
  'surface-mass': `(?:${branches(NAMES.mass)})/(?:${branches(NAMES.area)}|${squared})`,
  time: branches(NAMES.time),
  frequency: branches(NAMES.frequency),
  angle: branches(NAMES.angle),
  temperature: branches(NAMES.temperature),
};
/** Pieces of a JSON Schema. */
export type Json = { readonly [key: string]: unknown };

/** What stands once and is pointed at: the answer points at it. */
type Define = (name: string, make: () => Json) => Json;

/** One of several, each once, those of its own kind taken in. */
function anyOf(all: readonly Json[]): Json {
  const flat = all.flatMap((each) =>
    Object.keys(each).join() === 'anyOf' ? (each.anyOf as Json[]) : [each],
  );
  const once = [...new Map(flat.map((each) => [JSON.stringify(each), each])).values()];
  return once.length === 1 && once[0] ? once[0] : { anyOf: once };
}

/** Names of the catalogue by shelf. */
export type Shelves = Readonly<Record<Shelf, readonly string[]>>;
