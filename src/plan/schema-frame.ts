/**
 * How the schema reads what was written: maps, names, lists and forms, with every fault of each, not the first alone.
 * The schemas are valibot's in kind, so that descriptions, optional keys and inferred types are its own.
 */
import * as v from 'valibot';
import type { FindingCode, Path } from '../finding.ts';
import { type Node, shown } from './tree.ts';
import type { Dimension } from './units.ts';

/** `message` goes on from the name of the value: "must be …, got …". `path` is what lies below the value. */
export type Fault = {
  readonly code: FindingCode;
  readonly message: string;
  readonly mend?: string;
  readonly path?: Path;
};
export type Complain = (fault: Fault) => void;

/** Shelves of the catalogue whose names a plan may write. */
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

/** How many keys of some must stand in one map, and how many may; `when` another does, if that is said. */
export type Bond = {
  readonly among: readonly string[];
  readonly least?: 1;
  readonly most?: 1;
  readonly when?: string;
};

export type Described = { readonly about: About };

/** What a schema takes, for those who describe it to others. */
export type About =
  | {
      readonly takes: 'map';
      /** "a room" */
      readonly what: string;
      readonly entries: Entries;
      readonly bonds: readonly Bond[];
    }
  | {
      readonly takes: 'named';
      readonly item: Described;
      readonly removable: boolean;
      /** Whether its keys are names that the plan gives, names given elsewhere, or names of the catalogue. */
      readonly keys: 'given' | 'elsewhere' | Shelf;
    }
  | {
      readonly takes: 'list';
      readonly items: readonly Described[];
      readonly least: number;
      readonly most: number;
    }
  | { readonly takes: 'forms'; readonly forms: readonly Described[] }
  | { readonly takes: 'choice'; readonly choices: readonly string[] }
  | {
      readonly takes: 'quantity';
      readonly dimension: Dimension;
      readonly min: number;
      readonly max: number;
      /** What one of a bare number is in SI, where the unit of the file does not rule; null where it must say its unit. */
      readonly bareFactor?: number | null;
      /** Whole multiples of it alone. */
      readonly step?: number;
    }
  | { readonly takes: 'level'; readonly weighting: 'any' | 'A'; readonly distance: boolean }
  | {
      readonly takes: 'bands';
      readonly item: Described;
      /** Keys beside the bands; `needed` where one of them must be there. */
      readonly beside: Readonly<Record<string, Described>>;
      readonly needed?: string;
    }
  | {
      readonly takes: 'name' | 'text';
      /** Where the catalogue says which names there are. */
      readonly of?: Shelf;
      /** Words with a meaning of their own. */
      readonly words?: readonly string[];
    }
  | { readonly takes: 'flag' };

export type Reader<T> = v.GenericSchema<unknown, T> & Described;
export type Entries = Readonly<Record<string, v.GenericSchema<unknown, unknown>>>;

type Read<T> = (node: Node, complain: Complain) => T | undefined;
type Issue = v.BaseIssue<unknown> & { readonly fault: Fault };

/**
 * A schema of our own. `read` gives undefined where it has complained. What was read of a map without fault is kept by its
 * node: of a plan of which one entry is changed a thousand times, the others are read once.
 */
export function reader<T>(about: About, read: Read<T>): Reader<T> {
  const schema = { ...v.unknown(), type: about.takes, about };
  const known = new WeakMap<Node, { readonly typed: true; readonly value: T | undefined }>();
  const run = (dataset: v.UnknownDataset): unknown => {
    const node = dataset.value as Node;
    const before = known.get(node);
    if (before) return { ...before };
    const faults: Fault[] = [];
    const value = read(node, (fault) => faults.push(fault));
    if (faults.length > 0) return { typed: false, value, issues: faults.map(issueOf) };
    if (node.kind === 'map') known.set(node, { typed: true, value });
    return { typed: true, value };
  };
  return v._standardSchema({ ...schema, '~run': run } as unknown as Omit<
    Reader<T>,
    '~standard'
  >) as Reader<T>;
}

function issueOf(fault: Fault): Issue {
  const { message } = fault;
  return { kind: 'schema', type: 'fault', input: undefined, expected: null, received: '', message, fault };
}

/** Reads one value; its value is undefined where there are faults. */
export function readWith<T>(
  schema: v.GenericSchema<unknown, T>,
  node: Node,
): { value?: T; faults: readonly Fault[] } {
  const result = v.safeParse(schema, node);
  return result.success
    ? { value: result.output, faults: [] }
    : { faults: (result.issues as unknown as Issue[]).map((i) => i.fault) };
}

/** Reads a value below this one; its faults become faults of this one. */
export function below<T>(
  schema: v.GenericSchema<unknown, T>,
  node: Node,
  step: string | number,
  complain: Complain,
): T | undefined {
  const { value, faults } = readWith(schema, node);
  for (const fault of faults) complain({ ...fault, path: [step, ...(fault.path ?? [])] });
  return value;
}

/** Reads this very value by another schema; its faults become faults of this one. */
export function by<T>(schema: v.GenericSchema<unknown, T>, node: Node, complain: Complain): T | undefined {
  const { value, faults } = readWith(schema, node);
  faults.forEach(complain);
  return value;
}

/** A further look at what was read, which may turn it into something else. */
export function into<A, B>(
  schema: Reader<A>,
  go: (value: A, complain: Complain, node: Node) => B | undefined,
  about = schema.about,
): Reader<B> {
  return reader(about, (node, complain) => {
    const value = by(schema, node, complain);
    return value === undefined ? undefined : go(value, complain, node);
  });
}

/** The same reader, of which more can be said than of what it is made of. */
export const described = <T>(schema: Reader<T>, about: About): Reader<T> =>
  into(schema, (value) => value, about);

/** One of several ways to write a value, told apart by what stands there: a single value, a list, a map. */
export function forms<K extends Kinds>(
  kinds: K,
): Reader<v.InferOutput<NonNullable<K[keyof K & keyof Kinds]>>> {
  type T = v.InferOutput<NonNullable<K[keyof K & keyof Kinds]>>;
  const given = Object.values(kinds) as Reader<T>[];
  return reader<T>({ takes: 'forms', forms: given }, (node, complain) => {
    const fitting = kinds[node.kind] as Reader<T> | undefined;
    if (!fitting || (node.kind === 'scalar' && node.value === null)) {
      return void complain(wrongShape(node, given.map(({ about }) => IN_WORDS[about.takes]).join(' or ')));
    }
    return by(fitting, node, complain);
  });
}

type Kinds = { readonly [K in Node['kind']]?: Reader<unknown> };

const IN_WORDS: Readonly<Record<About['takes'], string>> = {
  map: 'a map',
  named: 'a map of names',
  list: 'a list',
  forms: 'a value',
  choice: 'a word',
  quantity: 'a number',
  level: 'a level',
  bands: 'a value or a map by band',
  name: 'a name',
  text: 'a text',
  flag: 'true or false',
};

/** What a node is, in words. */
export function kindOf(node: Node): string {
  if (node.kind === 'map') return 'a map';
  if (node.kind === 'list') return `a list of ${node.items.length}`;
  return node.value === null ? 'nothing' : shown(node.text);
}

export function wrongShape(node: Node, wanted: string, mend?: string): Fault {
  const empty = node.kind === 'scalar' && node.value === null;
  const message = empty ? `is empty: ${wanted} is needed` : `must be ${wanted}, got ${kindOf(node)}`;
  return {
    code: 'WRONG_SHAPE',
    message,
    mend: mend ?? (empty ? 'write it, or take the key out' : `write ${wanted}`),
  };
}
