/** Values to be set in a plan, as they would be written there. */
import type { LengthUnit, Node } from '../plan/tree.ts';

type Plain = number | string | boolean | Node | readonly Plain[] | { readonly [key: string]: Plain };

const NOWHERE = { source: { name: 'suggestion', text: '' }, offset: 0 };

export function nodeOf(value: Plain): Node {
  if (isNode(value)) return value;
  if (Array.isArray(value))
    return { kind: 'list', items: value.map(nodeOf), unevenCommas: false, mark: NOWHERE };
  if (typeof value === 'object') {
    const entries = Object.entries(value).map(
      ([key, one]) => [key, { key: NOWHERE, node: nodeOf(one) }] as const,
    );
    return { kind: 'map', entries: new Map(entries), mark: NOWHERE };
  }
  return scalarOf(value as number | string | boolean);
}

/** `units` is what a bare length counts in. */
export const scalarOf = (value: number | string | boolean, units: LengthUnit = 'm'): Node => ({
  kind: 'scalar',
  value,
  text: String(value),
  units,
  mark: NOWHERE,
  foreign: null,
});

const isNode = (value: Plain): value is Node =>
  typeof value === 'object' && 'kind' in value && 'mark' in value && 'source' in (value.mark as object);

/** What stands at a path, or null. */
export function nodeAt(tree: Node, path: readonly (string | number)[]): Node | null {
  return path.reduce<Node | null>((node, step) => {
    if (node?.kind === 'map') return node.entries.get(String(step))?.node ?? null;
    return node?.kind === 'list' ? (node.items[Number(step)] ?? null) : null;
  }, tree);
}
