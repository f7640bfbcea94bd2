/** Maps of fixed keys, and maps of names. */
import * as v from 'valibot';
import { offered, oneOf } from './did-you-mean.ts';
import type { Named } from './plan-values.ts';
import {
  type About,
  type Bond,
  below,
  type Complain,
  type Entries,
  type Reader,
  reader,
  wrongShape,
} from './schema-frame.ts';
import { isNull, type MapNode } from './tree.ts';

type Camel<S> = S extends `${infer A}-${infer B}` ? `${A}${Capitalize<Camel<B>>}` : S;
type Output<E extends Entries> = v.InferOutput<v.ObjectSchema<E, undefined>>;
/** What was read of fixed keys, in camel case. */
export type Keyed<E extends Entries> = { readonly [K in keyof Output<E> as Camel<K & string>]: Output<E>[K] };

/** A key that may be left out. `example` is what it may be written as, where its kind alone would show nothing. */
export function may<T>(schema: Reader<T>, description: string, example?: unknown) {
  return v.exactOptional(told(schema, description, example));
}

/** A key that is read as `value` where it is left out. */
export function or<T>(schema: Reader<T>, value: NoInfer<T>, description: string, example?: unknown) {
  return v.optional(told(schema, description, example), value);
}

/** A key that must be there. */
export function must<T>(schema: Reader<T>, description: string, example?: unknown) {
  return told(schema, description, example);
}

const told = <T>(schema: Reader<T>, description: string, example: unknown) =>
  v.pipe(schema, v.description(description), v.metadata({ example }));

type Check = (has: (key: string) => boolean, complain: Complain, map: MapNode) => void;

/** What holds between the keys of one map: as bonds, for those who describe it, and as a check. */
export type Rule = {
  readonly bonds?: readonly Bond[];
  /** Told of what is written, so that it speaks whatever else is wrong. */
  readonly check?: Check;
};

/** One of two keys, and not both. */
export const either = (first: string, second: string, mend: string): Required<Rule> => ({
  bonds: [{ among: [first, second], least: 1, most: 1 }],
  check: (has, complain) => {
    if (has(first) !== has(second)) return;
    complain({ code: 'WRONG_SHAPE', message: `needs either \`${first}\` or \`${second}\``, mend });
  },
});

/** A map that has these keys and no others. `what` names it in messages: "a room". */
export function keyed<const E extends Entries>(
  what: string,
  entries: E,
  { bonds = [], check }: Rule = {},
): Reader<Keyed<E>> {
  return reader({ takes: 'map', what, entries, bonds }, (node, complain) => {
    if (node.kind !== 'map') return void complain(wrongShape(node, `${what}: a map of keys`));
    const read: Record<string, unknown> = {};
    for (const [key, schema] of Object.entries(entries)) {
      const value = valueOfKey(node, key, schema, complain);
      if (value !== undefined) read[camel(key)] = value;
    }
    for (const key of node.entries.keys()) {
      if (!Object.hasOwn(entries, key)) complain(unknownKey(key, what, Object.keys(entries)));
    }
    check?.((key) => isWritten(node, key), complain, node);
    return read as Keyed<E>;
  });
}

const isWritten = (node: MapNode, key: string): boolean => {
  const entry = node.entries.get(key);
  return entry !== undefined && !isNull(entry.node);
};

function valueOfKey(map: MapNode, key: string, schema: Entries[string], complain: Complain): unknown {
  const node = map.entries.get(key)?.node;
  if (node && !(isNull(node) && mayStandEmpty(schema))) return below(schema, node, key, complain);
  if (schema.type === 'optional') return v.getDefault(schema as v.OptionalSchema<Reader<unknown>, unknown>);
  if (schema.type === 'exact_optional') return undefined;
  const mend = `add \`${key}\`: ${v.getDescription(schema)}`;
  return void complain({ code: 'MISSING', message: 'is missing', mend, path: [key] });
}

/** A heading with nothing below it yet, as `baffles:`, holds nothing; an empty value is a slip. */
function mayStandEmpty(schema: Entries[string]): boolean {
  const inner = 'wrapped' in schema ? (schema.wrapped as Reader<unknown>) : schema;
  return 'about' in inner && ['map', 'named'].includes((inner as Reader<unknown>).about.takes);
}

function unknownKey(key: string, what: string, known: readonly string[]) {
  const near = offered(key, known).map((name) => `\`${name}\``);
  const mend = near.length > 0 ? `write ${oneOf(near)}` : `the keys of ${what} are ${known.join(', ')}`;
  return { code: 'UNKNOWN_KEY', message: `is not a key of ${what}`, mend, path: [key] } as const;
}

const camel = (key: string): string => key.replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());

type Keys = Extract<About, { takes: 'named' }>['keys'];

/** A map from names to entries. An entry `name: ~` is kept as null where it may take something out. */
export function named<T>(what: string, item: Reader<T>, keys: Keys = 'given'): Reader<Named<T>> {
  return reader({ takes: 'named', item, removable: false, keys }, (node, complain) => {
    if (node.kind !== 'map') return void complain(wrongShape(node, `a map of names, each with ${what}`));
    const read = new Map<string, T>();
    for (const [name, entry] of node.entries) {
      if (isNull(entry.node)) complain(removesNothing(name, what));
      else {
        const value = below(item, entry.node, name, complain);
        if (value !== undefined) read.set(name, value);
      }
    }
    return read;
  });
}

/** Like `named`, of things that an instrument may have of itself: `name: ~` takes one out. */
export function namedOrRemoved<T>(what: string, item: Reader<T>): Reader<Named<T | null>> {
  return reader({ takes: 'named', item, removable: true, keys: 'given' }, (node, complain) => {
    if (node.kind !== 'map') return void complain(wrongShape(node, `a map of names, each with ${what} or ~`));
    const read = new Map<string, T | null>();
    for (const [name, entry] of node.entries) {
      const value = isNull(entry.node) ? null : below(item, entry.node, name, complain);
      if (value !== undefined) read.set(name, value);
    }
    return read;
  });
}

function removesNothing(name: string, what: string) {
  const message = `is empty, and there is nothing of that name in a studio that it could remove`;
  const mend = `write ${what} after \`${name}:\`, or take the line out`;
  return { code: 'WRONG_SHAPE', message, mend, path: [name] } as const;
}
