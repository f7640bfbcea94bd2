/**
 * Readers of a plan's values: each turns a node into a value, reports every error at its place, and describes what it
 * accepts. Types of the plan are inferred from them, and the JSON Schema and the paths of `try` follow their descriptions.
 */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { FindingCode, Path } from '../finding.ts';
import { closestFew, oneOf, sameName } from '../text.ts';
import { conceptFix, conceptOf } from './concepts.ts';
import { type Fault, isNull, type MapNode, type Node, shown } from './document.ts';
import { LONGEST_NAME } from './names.ts';
import { DIMENSIONS, type Dimension, readQuantity } from './units.ts';

export type Reader<T> = {
  readonly shape: Shape;
  /** Undefined where an error has been reported. */
  readonly read: (node: Node, fail: Fail) => T | undefined;
};

/** What a reader returns. */
export type Out<R> = R extends Reader<infer T> ? T : never;
/** Reports an error of the value that is read; `path` leads to what lies below it. */
export type Fail = (code: FindingCode, message: string, fix: string, path?: Path) => undefined;

/** Kinds of catalogue entries whose names a plan may write. */
export type Shelf =
  | 'instruments'
  | 'playing'
  | 'covers'
  | 'finishes'
  | 'contents'
  | 'constructions'
  | 'doors'
  | 'glazings'
  | 'panels'
  | 'patterns';

/** How many of some keys one map must hold, and how many it may; only `when` one of other keys is there, or `unless` one has a value. */
export type KeyConstraint = {
  readonly among: readonly string[];
  readonly least?: 1;
  readonly most?: 1;
  readonly when?: readonly string[];
  readonly unless?: readonly [key: string, value: string];
};

/** `what` is as in "a room". */
type ObjectShape = { readonly kind: 'object'; readonly what: string; readonly keys: Keys } & Required<
  Pick<KeyRules, 'constraints'>
>;

/** What a reader accepts. */
export type Shape =
  | ObjectShape
  | {
      readonly kind: 'record';
      readonly item: Reader<unknown>;
      readonly removable: boolean;
      /** Whether its keys are names that the plan gives, names given elsewhere, or names of the catalogue. */
      readonly names: 'given' | 'elsewhere' | Shelf;
    }
  | {
      readonly kind: 'list';
      readonly items: readonly Reader<unknown>[];
      readonly least: number;
      readonly most: number;
    }
  | { readonly kind: 'union'; readonly forms: readonly Reader<unknown>[] }
  | { readonly kind: 'choice'; readonly choices: readonly string[] }
  | {
      readonly kind: 'quantity';
      readonly dimension: Dimension;
      readonly min: number;
      readonly max: number;
      /** SI value of a bare 1, where the unit of the file does not apply; null where a unit must be written. */
      readonly bareFactor?: number | null;
      /** Only whole multiples of it. */
      readonly step?: number;
    }
  | { readonly kind: 'level'; readonly weighting: 'any' | 'A'; readonly distance: boolean }
  | {
      readonly kind: 'bands';
      readonly item: Reader<unknown>;
      /** Keys beside the bands; `needed` where one of them must be there. */
      readonly beside: Readonly<Record<string, Reader<unknown>>>;
      readonly needed?: string;
    }
  | {
      readonly kind: 'name' | 'text';
      /** Where the catalogue says which names there are. */
      readonly of?: Shelf;
      /** Words with a meaning of their own. */
      readonly words?: readonly string[];
    }
  | { readonly kind: 'flag' };

export type ShapeOf<K extends Shape['kind']> = Extract<Shape, { kind: K }>;

const IN_WORDS: Readonly<Record<Shape['kind'], string>> = {
  object: 'a map',
  record: 'a map of names',
  list: 'a list',
  union: 'a value',
  choice: 'a word',
  quantity: 'a number',
  level: 'a level',
  bands: 'a value or a map by band',
  name: 'a name',
  text: 'a text',
  flag: 'true or false',
};

/**
 * A reader of `shape`. Whatever `read` returns after an error is dropped. Values of maps without an error are kept by their
 * nodes, which never change: of a plan in which one setting is varied a thousand times, the others are read once.
 */
export function reader<T>(shape: Shape, read: Reader<T>['read']): Reader<T> {
  let known: WeakMap<Node, { readonly value: T | undefined }> | null = null;
  return {
    shape,
    read: (node, fail) => {
      const before = known?.get(node);
      if (before) return before.value;
      let failed = false;
      const value = read(node, (...fault) => {
        failed = true;
        fail(...fault);
      });
      if (failed) return undefined;
      if (node.kind === 'map') {
        known ??= new WeakMap();
        known.set(node, { value });
      }
      return value;
    },
  };
}

/** Reads one value; undefined where there are errors. */
export function readWith<T>(reader: Reader<T>, node: Node) {
  const faults: Fault[] = [];
  const fail: Fail = (code, message, fix, path = []) => void faults.push({ code, message, fix, path });
  return { value: reader.read(node, fail), faults };
}

/** Reports errors of what lies at a path below as errors of the value above. */
export function failBelow(fail: Fail, above: Path): Fail {
  return (code, message, fix, path = []) => fail(code, message, fix, [...above, ...path]);
}

/** Reads a value one step below; its errors become errors of the value above. */
export const readBelow = <T>({ read }: Reader<T>, node: Node, step: string | number, fail: Fail) =>
  read(node, failBelow(fail, [step]));

/** Turns what was read into something else, or refuses it. */
export const transform = <A, B>(
  { shape, read }: Reader<A>,
  change: (value: A, fail: Fail, node: Node) => B | undefined,
  described = shape,
): Reader<B> =>
  reader(described, (node, fail) => {
    const value = read(node, fail);
    return value === undefined ? undefined : change(value, fail, node);
  });

/** Checks what was read, which stays as it is. */
export const refine = <T>(
  inner: Reader<T>,
  check: (value: T, fail: Fail, node: Node) => void,
  described = inner.shape,
): Reader<T> => {
  return transform(
    inner,
    (value, fail, node) => {
      check(value, fail, node);
      return value;
    },
    described,
  );
};

/** Reports that a node is not `wanted`. */
export function wrongShape(fail: Fail, node: Node, wanted: string, fix?: string): undefined {
  if (node.kind === 'scalar' && node.value === null)
    return fail('WRONG_TYPE', `is empty, must be ${wanted}`, fix ?? 'give a value, or remove the key');
  const got =
    node.kind === 'map'
      ? 'a map'
      : node.kind === 'list'
        ? `a list of ${node.items.length}`
        : shown(node.text);
  return fail('WRONG_TYPE', `must be ${wanted}, got ${got}`, fix ?? `write ${wanted}`);
}

type Presence = 'required' | 'optional' | 'default';

export type Key<T = unknown, P extends Presence = Presence> = {
  readonly reader: Reader<T>;
  readonly presence: P;
  readonly description: string;
  /** How it may be written, where its shape alone would show nothing. */
  readonly example?: unknown;
  /** What it is read as where it is left out. */
  readonly default?: T;
};

export type Keys = Readonly<Record<string, Key>>;
type Camel<S> = S extends `${infer A}-${infer B}` ? `${A}${Capitalize<Camel<B>>}` : S;
type OutOfKey<K> = K extends Key<infer T> ? T : never;

/** What is read of fixed keys, in camel case. */
type OutOfKeys<K extends Keys> = Merged<
  { readonly [P in keyof K as K[P]['presence'] extends 'optional' ? never : Camel<P>]: OutOfKey<K[P]> } & {
    readonly [P in keyof K as K[P]['presence'] extends 'optional' ? Camel<P> : never]?: OutOfKey<K[P]>;
  }
>;

type Merged<T> = { readonly [P in keyof T]: T[P] };

function keyOf<P extends Presence>(presence: P) {
  return <T>(reader: Reader<T>, description: string, example?: unknown): Key<T, P> => {
    return { reader, presence, description, example };
  };
}

/** A key that must be there. */
export const required = keyOf('required');
/** A key that may be left out. */
export const optional = keyOf('optional');
const defaulted = keyOf('default');

/** A key that is read as `value` where it is left out. */
export const withDefault = <T>(
  reader: Reader<T>,
  value: NoInfer<T>,
  description: string,
  example?: unknown,
) => ({ ...defaulted(reader, description, example), default: value });

/** A key that is read as false where it is left out. */
export const optionalFlag = (description: string) => withDefault(flag, false, description);

/** A key of a list that is empty where it is left out. */
export const optionalList = <T>(item: Reader<T>, description: string, example?: unknown) =>
  withDefault(listOf(item), [], description, example);

/** A key of a map of names that is empty where it is left out; `what` is as in `record`. */
export const optionalRecord = <T>(what: string, item: Reader<T>, description: string, example?: unknown) =>
  withDefault(record(what, item), new Map<string, T>(), description, example);

/** What holds between the keys of one map: as data for descriptions, and as a check that reports errors. */
export type KeyRules = {
  readonly constraints?: readonly KeyConstraint[];
  /** `has` tells which keys are written, whatever else is wrong with them. */
  readonly check?: (has: (key: string) => boolean, fail: Fail, map: MapNode) => void;
};

/** A map that has these keys and no others. `what` names it in messages: "a room". */
export function object<const K extends Keys>(
  what: string,
  keys: K,
  { constraints = [], check }: KeyRules = {},
): Reader<OutOfKeys<K>> {
  return reader({ kind: 'object', what, keys, constraints }, (node, fail) => {
    if (node.kind !== 'map') return wrongShape(fail, node, `${what}: a map of keys`);
    const read: Record<string, unknown> = {};
    for (const [name, key] of Object.entries<Key>(keys)) {
      const value = valueOfKey(node, name, key, fail);
      if (value !== undefined) read[camel(name)] = value;
    }
    for (const name of node.entries.keys())
      if (!Object.hasOwn(keys, name)) unknownKey(name, what, Object.keys(keys), fail);
    const has = (name: string) => node.entries.has(name) && !isNull(node.entries.get(name)?.node);
    check?.(has, fail, node);
    return read as OutOfKeys<K>;
  });
}

const camel = (key: string): string => key.replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());

/** A heading with nothing below it, as `baffles:`, holds nothing; any other empty value is a slip. */
function valueOfKey(map: MapNode, name: string, key: Key, fail: Fail): unknown {
  const node = map.entries.get(name)?.node;
  const isHeading = ['object', 'record'].includes(key.reader.shape.kind);
  if (node && !(isHeading && isNull(node))) return readBelow(key.reader, node, name, fail);
  if (key.presence !== 'required') return key.default;
  return fail('MISSING_KEY', 'is missing', `add \`${name}\`, which ${asClause(key.description)}`, [name]);
}

/** The first sentence of a description, going on from "which". */
const asClause = (description: string): string =>
  description.replace(/\.(?: .*)?$/, '').replace(/^./, (letter) => letter.toLowerCase());

function unknownKey(name: string, what: string, known: readonly string[], fail: Fail): void {
  const concept = conceptOf(name, known);
  const near = closestFew(name, known);
  const listed =
    near.length > 0
      ? `write ${oneOf(near.map((one) => `\`${one}\``))}`
      : `use a key of ${what}: ${known.join(', ')}`;
  const isPlural = near.some((key) => sameName(key, name));
  fail('UNKNOWN_KEY', `is not a key of ${what}`, concept && !isPlural ? conceptFix(concept) : listed, [name]);
}

/** One of two keys, and not both. */
export const either = (first: string, second: string, fix: string): Required<KeyRules> => ({
  constraints: [{ among: [first, second], least: 1, most: 1 }],
  check: (has, fail) => {
    if (has(first) === has(second)) fail('WRONG_TYPE', `needs either \`${first}\` or \`${second}\``, fix);
  },
});

/** Reports the first of two keys where both are there. */
export function notBoth(key: string, other: string, has: (key: string) => boolean, fail: Fail): void {
  if (has(key) && has(other))
    fail('WRONG_TYPE', `cannot be combined with \`${other}\``, 'remove one of them', [key]);
}

/** Entries by name, in the order of writing; a Map, so that no name is taken for a built-in property. */
export type Named<T> = ReadonlyMap<string, T>;

/** A map from names to entries. */
export const record = <T>(
  what: string,
  item: Reader<T>,
  names: ShapeOf<'record'>['names'] = 'given',
): Reader<Named<T>> =>
  recordOf(what, { kind: 'record', item, removable: false, names }, (entry, name, fail) => {
    if (!isNull(entry)) return readBelow(item, entry, name, fail);
    const message = 'is empty, and no studio has anything of that name to remove';
    return fail('WRONG_TYPE', message, `write ${what} after \`${name}:\`, or remove the line`, [name]);
  });

/** Like `record`, of things that an instrument may bring with it: `name: ~` takes one out, and is read as null. */
export const recordOrRemoved = <T>(what: string, item: Reader<T>): Reader<Named<T | null>> =>
  recordOf(`${what} or ~`, { kind: 'record', item, removable: true, names: 'given' }, (entry, name, fail) =>
    isNull(entry) ? null : readBelow(item, entry, name, fail),
  );

function recordOf<T>(
  what: string,
  shape: ShapeOf<'record'>,
  readEntry: (entry: Node, name: string, fail: Fail) => T | undefined,
): Reader<Named<T>> {
  return reader(shape, (node, fail) => {
    if (node.kind !== 'map') return wrongShape(fail, node, `a map of names, each with ${what}`);
    const read = new Map<string, T>();
    for (const [name, entry] of node.entries) {
      const value = readEntry(entry.node, name, fail);
      if (value !== undefined) read.set(name, value);
    }
    return read;
  });
}

/** A list of at least `least` and at most `most` of a kind. */
export function listOf<T>(item: Reader<T>, least = 0, most = 100_000): Reader<readonly T[]> {
  return reader({ kind: 'list', items: [item], least, most }, (node, fail) => {
    if (node.kind !== 'list') return wrongShape(fail, node, 'a list in brackets');
    const count = node.items.length;
    if (count < least || count > most) {
      const wanted = most === least ? `${least}` : count < least ? `at least ${least}` : `at most ${most}`;
      return wrongShape(fail, node, `a list of ${wanted}`);
    }
    return node.items.map((each, i) => readBelow(item, each, i, fail)).filter((value) => value !== undefined);
  });
}

/** Two or three of a kind in a list, such as coordinates; `wanted` names them: "[x, y]". */
export function tuple<T>(
  item: Reader<T>,
  wanted: string,
  [least, most]: readonly [2, 2 | 3],
): Reader<readonly [T, T] | readonly [T, T, T]> {
  const items = Array.from({ length: most }, () => item);
  return reader({ kind: 'list', items, least, most }, (node, fail) => {
    if (node.kind !== 'list') return wrongShape(fail, node, wanted);
    if (node.unevenCommas) {
      const message = 'mixes decimal commas and separators';
      return fail('BAD_VALUE', message, `use decimal points: write ${wanted}, as in [2.5, 3]`);
    }
    if (node.items.length < least || node.items.length > most)
      return wrongShape(fail, node, wanted, `write ${wanted} with decimal points, as in [2.5, 3]`);
    const [first, second, third] = node.items.map((each, i) => readBelow(item, each, i, fail));
    if (first === undefined || second === undefined) return undefined;
    return third === undefined ? [first, second] : [first, second, third];
  });
}

/** Two of a kind in a list. */
export const pairOf = <T>(item: Reader<T>, wanted: string): Reader<readonly [T, T]> =>
  transform(tuple(item, wanted, [2, 2]), ([first, second]) => [first, second] as const);

/** One alone, or a list of them; always a list once read. */
export const oneOrMore = <T>(item: Reader<T>): Reader<readonly T[]> =>
  union({ scalar: transform(item, (value): readonly T[] => [value]), list: listOf(item, 1) });

type Forms = { readonly [K in Node['kind']]?: Reader<unknown> };

/** One of several ways to write a value, told apart by its node: a single value, a list, a map. */
export function union<F extends Forms>(forms: F): Reader<Out<F[keyof F]>> {
  const readers: readonly Reader<unknown>[] = Object.values(forms);
  return reader({ kind: 'union', forms: readers }, (node, fail) => {
    const fitting = isNull(node) ? undefined : (forms[node.kind] as Reader<Out<F[keyof F]>> | undefined);
    if (fitting) return fitting.read(node, fail);
    return wrongShape(fail, node, readers.map(({ shape }) => IN_WORDS[shape.kind]).join(' or '));
  });
}

export type Span = readonly [min: number, max: number];

/** A quantity within bounds in SI. `bareFactor`, where given, is the SI value of a bare 1. */
export function quantity(dimension: Dimension, [min, max]: Span, bareFactor?: number): Reader<number> {
  const bare = bareFactor === undefined ? {} : { bareFactor };
  return reader({ kind: 'quantity', dimension, min, max, ...bare }, (node, fail) => {
    if (node.kind !== 'scalar' || node.value === null || typeof node.value === 'boolean')
      return wrongShape(fail, node, `one value such as ${DIMENSIONS[dimension].example}`);
    const reading = readQuantity(node, dimension, { min, max }, bareFactor);
    return reading.ok ? reading.value : fail(reading.code, reading.message, reading.fix);
  });
}

export const decibels = (span: Span): Reader<number> => quantity('decibel', span);

/** A whole number. */
export const whole = ([min, max]: Span): Reader<number> =>
  refine(
    quantity('count', [min, max]),
    (value, fail) => {
      if (!Number.isInteger(value))
        fail('OUT_OF_RANGE', `must be a whole number, got ${value}`, `write ${Math.round(value)}`);
    },
    { kind: 'quantity', dimension: 'count', min, max, step: 1 },
  );

export const flag: Reader<boolean> = reader({ kind: 'flag' }, (node, fail) =>
  node.kind === 'scalar' && typeof node.value === 'boolean'
    ? node.value
    : wrongShape(fail, node, 'true or false'),
);

/** One of a few words. */
export function choice<const T extends string>(...choices: readonly T[]): Reader<T> {
  return reader({ kind: 'choice', choices }, (node, fail) => {
    const written = node.kind === 'scalar' ? node.text : '';
    const chosen = choices.find((word) => word === written);
    if (chosen !== undefined) return chosen;
    const near = closestFew(written, choices);
    const wanted = choices.length > 1 ? `one of ${choices.join(', ')}` : `${choices[0]}`;
    return wrongShape(fail, node, wanted, `write ${near.length > 0 ? oneOf(near) : wanted}`);
  });
}

/** A name, which the catalogue or the plan must have (looked up later), or one of a few words with a meaning of their own. */
function nameAs(detail: { readonly of?: Shelf; readonly words?: readonly string[] }): Reader<string> {
  return reader({ kind: 'name', ...detail }, (node, fail) => {
    if (node.kind !== 'scalar' || typeof node.value !== 'string' || node.text.trim() === '')
      return wrongShape(fail, node, 'a name');
    return withinLength(node.text, LONGEST_NAME, fail);
  });
}

/** The name of something of the plan. */
export const name: Reader<string> = nameAs({});
/** The name of an entry of the catalogue. */
export const nameOf = (of: Shelf, ...words: readonly string[]): Reader<string> => nameAs({ of, words });
/** The name of something of the plan, or one of a few words. */
export const nameOrWord = (...words: readonly string[]): Reader<string> => nameAs({ words });
/** Of a title, a path, an input, in characters. */
const LONGEST_TEXT = 1000;

/** Free text; numbers are taken as they are written. */
export const text: Reader<string> = reader({ kind: 'text' }, (node, fail) =>
  node.kind === 'scalar' && node.value !== null
    ? withinLength(node.text, LONGEST_TEXT, fail)
    : wrongShape(fail, node, 'a text'),
);

function withinLength(written: string, most: number, fail: Fail): string | undefined {
  if (written.length <= 2 * most && [...written].length <= most) return written;
  const message = `is longer than ${most} characters: ${shown(written)}`;
  return fail('OUT_OF_RANGE', message, 'make it shorter');
}

/** One number for all eight bands, or points to interpolate between: nominal hertz, ascending, and value. */
export type ByBand =
  | number
  | { readonly kind: 'bands'; readonly points: readonly (readonly [number, number])[] };

/** One value for all bands, or a map of them. Keys in `beside` are read by someone else. */
export function byBand(item: Reader<number>, beside: readonly string[] = []): Reader<ByBand> {
  return reader({ kind: 'bands', item, beside: {} }, (node, fail) => {
    if (node.kind === 'scalar') return item.read(node, fail);
    if (node.kind !== 'map') return wrongShape(fail, node, 'one value or a map by band');
    const points = bandsOf(node, beside, item, fail);
    if (points.length > 0) return { kind: 'bands', points };
    if ([...node.entries.keys()].some((key) => !beside.includes(key))) return undefined;
    return wrongShape(fail, node, 'a map by band such as {125: 0.2, 1000: 0.5}');
  });
}

/** The values of a map by octave, ascending. */
export function bandsOf<T>(
  map: MapNode,
  beside: readonly string[],
  item: Reader<T>,
  fail: Fail,
): readonly (readonly [hertz: number, value: T])[] {
  const found = new Map<number, T>();
  for (const [key, { node }] of map.entries) {
    if (beside.includes(key)) continue;
    const octave = octaveOf(key);
    if (octave === undefined)
      fail('UNKNOWN_KEY', 'is not an octave band', `use one of ${NOMINAL_BANDS.join(', ')} Hz`, [key]);
    else if (found.has(octave)) fail('BAD_NAME', `repeats the ${octave} Hz octave`, 'remove one', [key]);
    else {
      const value = readBelow(item, node, key, fail);
      if (value !== undefined) found.set(octave, value);
    }
  }
  return [...found].sort(([a], [b]) => a - b);
}

/** The nominal frequency of an octave band (IEC 61260-1) written as 63, 125 Hz, 1k or 0.5 kHz. */
export function octaveOf(key: string): number | undefined {
  const [, digits = '', kilo] = /^(\d+(?:\.\d+)?)\s*(k?)(?:hz)?$/i.exec(key.trim()) ?? [];
  const hertz = digits === '' ? 0 : Number(digits) * (kilo ? 1000 : 1);
  return NOMINAL_BANDS.find((band) => band === hertz);
}
