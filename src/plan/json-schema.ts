/** The format of plans as JSON Schema (draft 7), from the shapes of the readers that read them. */

import { scalarOf } from './edit.ts';
import { planSchema } from './plan.ts';
import type { Key, KeyConstraint, Reader, Shape, ShapeOf, Shelf } from './schema.ts';
import { DIMENSIONS, type Dimension, FOOT, readQuantity } from './units.ts';

/** Pieces of a JSON Schema. */
export type Json = { readonly [key: string]: unknown };
/** Names of the catalogue by shelf. */
export type Shelves = Readonly<Record<Shelf, readonly string[]>>;

type Context = {
  readonly shelves: Shelves;
  /** Puts a definition into the schema, once, and refers to it. */
  readonly define: (name: string, make: () => Json) => Json;
  /** Name of the definition of a map. */
  readonly nameOf: (shape: ShapeOf<'object'>) => string;
  /** True where a plan lies over a studio, so that any value of a map may be taken out. */
  readonly overStudio: boolean;
};

export function planJsonSchema(shelves: Shelves): Json {
  const definitions: Record<string, Json> = {};
  const define: Context['define'] = (name, make) => {
    if (!(name in definitions)) {
      // there before it is made: a map may hold itself
      definitions[name] = {};
      definitions[name] = make();
    }
    return { $ref: `#/definitions/${name}` };
  };
  const alone = { shelves, define, nameOf: namer(''), overStudio: false };
  const overStudio = { shelves, define, nameOf: namer('-over-studio'), overStudio: true };
  return {
    $schema: 'http://json-schema.org/draft-07/schema#',
    $id: 'https://spillcheck.example/schemas/plan.schema.json',
    title: 'A spillcheck plan, format version 1',
    description:
      'Describes a session: rooms, people, instruments, mics and limits. A plan with a `studio` leaves out what the studio gives, and removes by ~ what it does not want.',
    type: 'object',
    required: ['spillcheck'],
    if: { required: ['studio'] },
    // biome-ignore lint/suspicious/noThenProperty: a keyword of JSON Schema
    then: jsonOf(planSchema.shape, overStudio),
    else: jsonOf(planSchema.shape, alone),
    definitions,
  };
}

/** "a room" is titled "Room". */
export const titleOf = (what: string): string => {
  const plain = what.replace(/^(?:an?|the) /, '');
  return `${plain[0]?.toUpperCase()}${plain.slice(1)}`;
};

/** "a room" is the definition `room`; two maps of one name are told apart by number. */
function namer(suffix: string): Context['nameOf'] {
  const names = new Map<Shape, string>();
  return (shape) => {
    const known = names.get(shape);
    if (known) return known;
    const plain = shape.what.replace(/^(?:an?|the) /, '').replaceAll(' ', '-') + suffix;
    const taken = [...names.values()];
    let name = plain;
    for (let i = 2; taken.includes(name); i++) name = `${plain}-${i}`;
    names.set(shape, name);
    return name;
  };
}

export function jsonOf(shape: Shape, context: Context): Json {
  const { define } = context;
  switch (shape.kind) {
    case 'quantity':
      return quantityJson(shape, context);
    case 'level': {
      const { weighting, distance } = shape;
      const text = define(`level-${weighting}${distance ? '-at-distance' : ''}`, () => ({
        type: 'string',
        pattern: levelPattern(weighting, distance),
        patternErrorMessage: `write a level such as ${distance ? '88 dB, 88 dBA or 88 dBA at 1 m' : '85 or 85 dBA'}`,
      }));
      return anyOf([text, { type: 'number', minimum: 0, maximum: 160 }]);
    }
    case 'flag':
      return { type: 'boolean' };
    case 'choice':
      // a word such as 1 is a number to YAML
      return { enum: shape.choices.flatMap((word) => (/^\d+$/.test(word) ? [Number(word), word] : [word])) };
    case 'name':
    case 'text': {
      const words: Json[] = shape.words?.length ? [{ enum: shape.words }] : [];
      if (shape.of) return anyOf([...words, catalogueNames(shape.of, context)]);
      const any = { type: ['string', 'number', 'boolean'] };
      return anyOf([...words, shape.kind === 'text' ? any : anyName(context)]);
    }
    case 'list': {
      const { least, most } = shape;
      const [item] = shape.items;
      return {
        type: 'array',
        ...(item && { items: jsonOf(item.shape, context) }),
        ...(least > 0 && { minItems: least }),
        ...(most < MANY && { maxItems: most }),
      };
    }
    case 'union':
      return anyOf(shape.forms.map((form) => jsonOf(form.shape, context)));
    case 'bands':
      return bandsJson(shape, context);
    case 'record': {
      const value = jsonOf(shape.item.shape, context);
      return {
        type: 'object',
        propertyNames: namesJson(shape.names, context),
        additionalProperties: shape.removable ? anyOf([value, { type: 'null' }]) : orNull(value, context),
      };
    }
    case 'object':
      return define(context.nameOf(shape), () => objectJson(shape, context));
  }
}

/** Lists of no more than this say nothing of their most. */
const MANY = 100_000;

const catalogueNames = (shelf: Shelf, { define, shelves }: Context): Json =>
  define(`${shelf}-of-the-catalogue`, () => ({ enum: shelves[shelf] }));

/** What is called something, by what no name can be. */
const anyName = ({ define }: Context): Json =>
  define('name', () => ({ type: 'string', pattern: '\\S', not: { pattern: NO_NAME_PATTERN } }));

function namesJson(names: ShapeOf<'record'>['names'], context: Context): Json {
  if (names === 'elsewhere') return anyName(context);
  if (names !== 'given') return catalogueNames(names, context);
  return context.define('given-name', () => ({ pattern: NAME_PATTERN, not: { pattern: NO_NAME_PATTERN } }));
}

/** Bare lengths may count in feet: what is too much in metres is not in feet. */
const LARGEST_BARE = 1 / FOOT;

/** A bare number within bounds, or a text by pattern. */
function quantityJson(shape: ShapeOf<'quantity'>, { define }: Context): Json {
  const { dimension, min, max, bareFactor, step } = shape;
  const needsUnit = bareFactor === null;
  const text = define(needsUnit ? `${dimension}-with-unit` : dimension, () => ({
    type: 'string',
    pattern: quantityPattern(dimension, needsUnit),
    patternErrorMessage: `write ${DIMENSIONS[dimension].name} such as ${DIMENSIONS[dimension].example}`,
  }));
  if (needsUnit) return text;
  const feet = dimension === 'length' ? LARGEST_BARE : 1;
  const bare = bareFactor ?? 1;
  const span = { minimum: min < 0 ? (min * feet) / bare : min / bare, maximum: (max * feet) / bare };
  if (step === 1) return anyOf([text, { type: 'integer', ...span }]);
  return anyOf([text, { type: 'number', ...span, ...(step && { multipleOf: step }) }]);
}

/** One value for all bands, or a map of them; a table has no single value. */
function bandsJson({ item, beside, needed }: ShapeOf<'bands'>, context: Context): Json {
  const value = jsonOf(item.shape, context);
  const required = context.overStudio ? undefined : needed;
  const json = (shape: Shape) => orNull(jsonOf(shape, context), context);
  const others = Object.entries(beside).map(([key, { shape }]) => [key, json(shape)]);
  const map = {
    type: 'object',
    properties: Object.fromEntries(others),
    patternProperties: { [BAND_PATTERN]: orNull(value, context) },
    additionalProperties: false,
    minProperties: required ? 2 : 1,
    ...(required && { required: [required] }),
  };
  return needed ? map : anyOf([value, map]);
}

/** Over a studio any key may be missing, since the studio may have it. */
function objectJson({ what, keys, constraints }: ShapeOf<'object'>, context: Context): Json {
  const all = Object.entries<Key>(keys);
  const required = all.flatMap(([name, { presence }]) => (presence === 'required' ? [name] : []));
  const rules = constraints.flatMap(constraintJson);
  return {
    title: titleOf(what),
    type: 'object',
    properties: Object.fromEntries(all.map(([name, key]) => [name, keyJson(key, context)])),
    additionalProperties: false,
    ...(!context.overStudio && required.length > 0 && { required }),
    ...(!context.overStudio && rules.length > 0 && { allOf: rules }),
  };
}

function constraintJson({ among, least, most, when, unless }: KeyConstraint): Json[] {
  const each = among.map((key) => having(key));
  const some = most ? { oneOf: each } : each.length === 1 ? (each[0] ?? {}) : { anyOf: each };
  const pairs = among.flatMap((first, i) => among.slice(i + 1).map((second) => having(first, second)));
  const all: Json[] = least ? [some] : most ? pairs.map((both) => ({ not: both })) : [];
  if (unless) {
    const [key, value] = unless;
    const other = { required: [key], properties: { [key]: { const: value } } };
    return all.map((one) => ({ anyOf: [one, other] }));
  }
  const asked = when?.map((key) => having(key)) ?? [];
  const [first] = asked;
  return first ? all.map((then) => ({ if: asked.length > 1 ? { anyOf: asked } : first, then })) : all;
}

/** With these keys; ~ is no value. */
const having = (...keys: readonly string[]): Json => ({
  required: keys,
  properties: Object.fromEntries(keys.map((key) => [key, { not: { type: 'null' } }])),
});

function keyJson(key: Key, context: Context): Json {
  const { shape } = key.reader;
  const value = jsonOf(shape, context);
  // a heading with nothing below it yet holds nothing
  const isHeading = key.presence !== 'required' && ['object', 'record'].includes(shape.kind);
  const json = isHeading ? anyOf([value, { type: 'null' }]) : orNull(value, context);
  return {
    description: describeKey(key),
    ...('$ref' in json ? { allOf: [json] } : json),
    ...(['string', 'number', 'boolean'].includes(typeof key.default) && { default: key.default }),
    examples: [exampleOfKey(key, context.shelves)],
  };
}

const orNull = (json: Json, { overStudio }: Context): Json =>
  overStudio ? anyOf([json, { type: 'null' }]) : json;

/** One of several, each once; those that are choices themselves are opened. */
function anyOf(all: readonly Json[]): Json {
  const isChoice = (each: Json) => Object.keys(each).join() === 'anyOf';
  const flat = all.flatMap((each) => (isChoice(each) ? (each.anyOf as Json[]) : [each]));
  const once = [...new Map(flat.map((each) => [JSON.stringify(each), each])).values()];
  return once.length === 1 && once[0] ? once[0] : { anyOf: once };
}

/** The quantity that a value is, or is made of, in whatever form. */
export function quantityIn(shape: Shape): ShapeOf<'quantity'> | null {
  if (shape.kind === 'quantity') return shape;
  const inner = innerOf(shape);
  return inner.map((each) => quantityIn(each.shape)).find((found) => found !== null) ?? null;
}

function innerOf(shape: Shape): readonly Reader<unknown>[] {
  if (shape.kind === 'union') return shape.forms;
  if (shape.kind === 'list') return shape.items.slice(0, 1);
  return shape.kind === 'bands' || shape.kind === 'record' ? [shape.item] : [];
}

/** "From 0.1 to 100 m; a bare number is in the plan's units." */
export function rangeInWords(shape: Shape): string {
  const quantity = quantityIn(shape);
  if (!quantity) return '';
  const { dimension, min, max, bareFactor, step } = quantity;
  const { base } = DIMENSIONS[dimension];
  const hours = bareFactor !== undefined && bareFactor !== null;
  const unit = hours ? ' hours' : base && `${dimension === 'angle' ? '' : ' '}${base}`;
  const number = (si: number) => (hours ? Number((si / bareFactor).toPrecision(3)) : si);
  const isAlone = shape.kind === 'quantity';
  const whole = step === 1 ? `${isAlone ? 'a whole number' : 'whole numbers'} ` : isAlone ? '' : 'numbers ';
  const multiples = step === undefined || step === 1 ? '' : `, in steps of ${step}`;
  const from = `${whole}from ${number(min)} to ${number(max)}${unit}`;
  return `${from[0]?.toUpperCase()}${from.slice(1)}${multiples}${bareInWords(dimension, bareFactor)}.`;
}

/** Where the unit of a bare number is not plain from the range. */
function bareInWords(dimension: Dimension, factor: number | null | undefined): string {
  if (factor === null) return ', with its unit';
  return dimension === 'length' ? "; a bare number is in the plan's units" : '';
}

/** "Default: 12 dB." */
function defaultInWords({ default: value, reader: { shape } }: Key): string {
  if (!['string', 'number', 'boolean'].includes(typeof value)) return '';
  const quantity = quantityIn(shape);
  const base = quantity && value !== 0 ? DIMENSIONS[quantity.dimension].base : '';
  return `Default: ${value}${base && ` ${base}`}.`;
}

/** What a key means, with its range and default: it reads alone, as editors show it. */
export const describeKey = (key: Key): string =>
  [key.description, rangeInWords(key.reader.shape), defaultInWords(key)].filter(Boolean).join(' ');

/** The example a key has been given, else one of its shape. */
export const exampleOfKey = (key: Key, shelves: Shelves): unknown =>
  key.example ?? exampleOf(key.reader.shape, shelves);

function exampleOf(shape: Shape, shelves: Shelves): unknown {
  switch (shape.kind) {
    case 'quantity':
      return quantityExample(shape);
    case 'level':
      return shape.distance ? '88 dBA at 1 m' : shape.weighting === 'A' ? '35 dBA' : '85 dBA';
    case 'flag':
      return true;
    case 'choice':
      return shape.choices[0];
    case 'name':
      return shape.of ? shelves[shape.of][0] : 'drums';
    case 'text':
      return shape.words?.[0] ?? '7';
    case 'list':
      return Array.from({ length: Math.max(1, shape.least) }, (_, i) => {
        const item = shape.items[i] ?? shape.items[0];
        return item && exampleOf(item.shape, shelves);
      });
    case 'union':
      return shape.forms[0] && exampleOf(shape.forms[0].shape, shelves);
    case 'bands': {
      // the columns of a table go by its angles
      if (shape.needed) return { [shape.needed]: [0, 90, 180], 1000: [0, -6, -20] };
      const value = exampleOf(shape.item.shape, shelves);
      return { 125: value, 1000: value };
    }
    case 'record': {
      const { names, item } = shape;
      const name = names === 'given' ? 'first' : names === 'elsewhere' ? 'drums' : (shelves[names][0] ?? '');
      return { [name]: exampleOf(item.shape, shelves) };
    }
    case 'object':
      return objectExample(shape, shelves);
  }
}

/** What must be there; of a map that needs nothing, its first key. */
function objectExample({ keys, constraints }: ShapeOf<'object'>, shelves: Shelves): unknown {
  const asked = constraints.map(({ among, least, when }) => (least && !when ? among[0] : undefined));
  const all = Object.entries<Key>(keys);
  const needed = all.filter(([name, key]) => key.presence === 'required' || asked.includes(name));
  const shown = needed.length > 0 ? needed : all.slice(0, 1);
  return Object.fromEntries(shown.map(([name, key]) => [name, exampleOfKey(key, shelves)]));
}

/** As one would write it, within bounds. */
function quantityExample({ dimension, min, max, bareFactor, step }: ShapeOf<'quantity'>): unknown {
  const written: readonly (number | string)[] = DIMENSIONS[dimension].written;
  const fits = written.filter((one) => {
    const read = readQuantity(scalarOf(one), dimension, { min, max });
    return read.ok && (step === undefined || read.value % step === 0);
  });
  if (bareFactor === null) return fits.find((one) => typeof one === 'string') ?? min;
  return fits[0] ?? (step === undefined ? max : Math.ceil(min / step) * step);
}

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
  [...DIMENSIONS[dimension].units.keys()].map((unit) => MARKS[unit] ?? unit);

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

const dimensions = Object.keys(DIMENSIONS) as Dimension[];

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
/** Controls, format characters and separators that no name may hold, as ranges of code points (Unicode 15). */
const UNSAFE =
  '0-1f 7f-9f ad 600-605 61c 6dd 70f 890-891 8e2 180e 200b 200e-200f 2028-202e 2060-2064 2066-206f feff fff9-fffb 110bd 110cd 13430-1343f 1bca0-1bca3 1d173-1d17a e0001 e0020-e007f';

const character = (hex: string): string =>
  hex.length > 4 ? String.fromCodePoint(Number.parseInt(hex, 16)) : `\\u${hex.padStart(4, '0')}`;

const unsafe = UNSAFE.replaceAll(/[\da-f]+/g, character).replaceAll(' ', '');
/** Tags may follow a black flag, which they make that of a region. */
const FLAG = `${character('1f3f4')}[${character('e0020')}-${character('e007f')}]+`;
const CHARACTER = `(?:${FLAG}|[^.[\\]{}()${unsafe}])`;
/** A name that a plan gives. */
export const NAME_PATTERN = `^(?!\\s)(?!(?:${TAKEN.join('|')})$)${CHARACTER}{0,99}(?!\\s)${CHARACTER}$`;

// Names of the units beyond the table here, as the unit library knows them, so that an editor takes what a plan may hold.
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
  area: { short: 'm2', bare: 'sq(?:in|ft|yd|mi|rd|ch|mil|feet|yard|miles?)|acres?|hectares?' },
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
