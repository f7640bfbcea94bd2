/** Changing what a plan says: values set in the tree of what was written, which itself stays as it is. */
import type { Path } from '../finding.ts';
import type { Entry, MapNode, Node } from '../plan/tree.ts';

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
