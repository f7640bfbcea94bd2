/** A plan as it was written: values with the file and place that hold each. */
import type { Path } from '../finding.ts';

/** A file with its text, as places in it are shown. */
export type Source = { readonly name: string; readonly text: string };

export type Mark = { readonly source: Source; readonly offset: number };

export type LengthUnit = 'm' | 'ft';

/** A quantity in a unit that our own table does not hold, in SI. */
export type Foreign = { readonly dimension: string; readonly value: number };

export type Scalar = {
  readonly kind: 'scalar';
  readonly value: string | number | boolean | null;
  /** As written, without quotes. */
  readonly text: string;
  /** What a bare length in its file counts in. */
  readonly units: LengthUnit;
  readonly mark: Mark;
  /** Set before reading where `text` is a quantity in an uncommon unit. */
  foreign: Foreign | null;
};

export type MapNode = {
  readonly kind: 'map';
  readonly entries: ReadonlyMap<string, Entry>;
  readonly mark: Mark;
};

export type Entry = { readonly key: Mark; readonly node: Node };

export type ListNode = {
  readonly kind: 'list';
  readonly items: readonly Node[];
  /** True where some items are parted by a comma alone and some by comma and blank: `[2,5, 3]`. */
  readonly unevenCommas: boolean;
  readonly mark: Mark;
};

export type Node = Scalar | MapNode | ListNode;

/** What bare lengths of the plan itself count in, whatever a studio under it says. */
export function unitsOf({ entries, mark }: MapNode): LengthUnit {
  const units = entries.get('units')?.node;
  const isOwn = units?.mark.source === mark.source;
  return isOwn && units?.kind === 'scalar' && units.text === 'ft' ? 'ft' : 'm';
}

export const isNull = (node: Node): boolean => node.kind === 'scalar' && node.value === null;

/** Where a path was written: the nearest written value; with `key`, the key of a map that leads to it. */
export function markOf(tree: Node, path: Path, want: 'key' | 'value' = 'value'): Mark {
  let node = tree;
  for (const [depth, step] of path.entries()) {
    const entry = node.kind === 'map' ? node.entries.get(String(step)) : undefined;
    const item = node.kind === 'list' ? node.items[Number(step)] : undefined;
    if (want === 'key' && entry && depth === path.length - 1) return entry.key;
    const next = entry?.node ?? item;
    if (!next) return node.mark;
    node = next;
  }
  return node.mark;
}

/** Every scalar below a node, aliases once for each place they stand. */
export function* scalarsOf(node: Node): Generator<Scalar> {
  if (node.kind === 'scalar') yield node;
  else if (node.kind === 'list') for (const item of node.items) yield* scalarsOf(item);
  else for (const entry of node.entries.values()) yield* scalarsOf(entry.node);
}

const LONGEST_SHOWN = 60;

/** What was written, cut short enough for a message. */
export const shown = (text: string): string =>
  text.length <= LONGEST_SHOWN ? text : `${text.slice(0, LONGEST_SHOWN)}…`;
