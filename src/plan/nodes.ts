import type { Path } from '../finding.ts';
import type { Entry, LengthUnit, MapNode, Node } from './document.ts';

// A value of a plan as YAML on one line, so that it is read again as it is.
export function yamlText(node: Node): string {
  if (node.kind === 'list') return `[${node.items.map(yamlText).join(', ')}]`;
  if (node.kind === 'map') {
    return `{${[...node.entries].map(([key, entry]) => `${quoted(key)}: ${yamlText(entry.node)}`).join(', ')}}`;
  }
  if (node.value === null) return '~';
  return typeof node.value === 'string' ? quoted(node.text) : node.text;
}

/** Letters first, nothing that YAML gives a meaning to; or a number with a unit behind a blank. */
const PLAIN = /^(?:[\p{L}_][\p{L}\p{N}_ -]*|\d+(?:\.\d+)? [\p{L}\p{N}° .]+)$/u;

const RESERVED_WORDS = /^(?:true|false|null|yes|no|on|off)$/i;

const quoted = (text: string): string =>
  PLAIN.test(text) && !RESERVED_WORDS.test(text) && text === text.trim() ? text : JSON.stringify(text);

// Values to be set in a plan, as they would be written there.

type Plain = number | string | boolean | Node | readonly Plain[] | { readonly [key: string]: Plain };

const NO_PLACE = { source: { name: 'suggestion', text: '' }, offset: 0 };

export function nodeOf(value: Plain): Node {
  if (isOwnNode(value)) return value;
  if (Array.isArray(value))
    return { kind: 'list', items: value.map(nodeOf), unevenCommas: false, mark: NO_PLACE };
  if (typeof value === 'object') {
    const entries = Object.entries(value).map(
      ([key, one]) => [key, { key: NO_PLACE, node: nodeOf(one) }] as const,
    );
    return { kind: 'map', entries: new Map(entries), mark: NO_PLACE };
  }
  return scalarOf(value as number | string | boolean);
}

/** `units` is what a bare length counts in. */
export const scalarOf = (value: number | string | boolean, units: LengthUnit = 'm'): Node => ({
  kind: 'scalar',
  value,
  text: String(value),
  units,
  mark: NO_PLACE,
  foreign: null,
});

const isOwnNode = (value: Plain): value is Node =>
  typeof value === 'object' && 'kind' in value && 'mark' in value && 'source' in (value.mark as object);

/** What stands at a path, or null. */
export function nodeAt(tree: Node, path: readonly (string | number)[]): Node | null {
  return path.reduce<Node | null>((node, step) => {
    if (node?.kind === 'map') return node.entries.get(String(step))?.node ?? null;
    return node?.kind === 'list' ? (node.items[Number(step)] ?? null) : null;
  }, tree);
}

// Changing what a plan says: values set in the tree of what was written, which itself stays as it is.

/** Null takes the entry out. */
export type Edit = { readonly path: Path; readonly value: Node | null };

export const withEdits = (tree: MapNode, edits: readonly Edit[]): MapNode =>
  edits.reduce((whole, { path, value }) => withValue(whole, path, value) as MapNode, tree);

/** What stands in the way of a longer path, as a single value where a map is needed, gives way to it. */
function withValue(node: Node | null, [step, ...rest]: Path, value: Node | null): Node | null {
  if (step === undefined) return value;
  if (node?.kind === 'list' && typeof step === 'number') {
    const item = withValue(node.items[step] ?? null, rest, value);
    const items = node.items.flatMap((one, i) => (i === step ? (item ?? []) : [one]));
    return { ...node, items };
  }
  const entries = new Map<string, Entry>(node?.kind === 'map' ? node.entries : []);
  const key = String(step);
  const inner = withValue(entries.get(key)?.node ?? null, rest, value);
  const mark = node?.mark ?? NOWHERE;
  if (inner === null) entries.delete(key);
  else entries.set(key, { key: entries.get(key)?.key ?? mark, node: inner });
  return { kind: 'map', entries, mark };
}

const NOWHERE = { source: { name: '', text: '' }, offset: 0 };

// A value of a plan on one line, as one would write it.

export function flowText(node: Node): string {
  if (node.kind === 'scalar') return node.value === null ? '~' : node.text;
  if (node.kind === 'list') return `[${node.items.map(flowText).join(', ')}]`;
  return `{${[...node.entries].map(([key, entry]) => `${key}: ${flowText(entry.node)}`).join(', ')}}`;
}
