/** Entries in which plans differ, as they are written. */
import type { Path } from '../finding.ts';
import type { Node, Scalar } from '../plan/tree.ts';
import { flowText } from './flow-text.ts';

export type EntryRow = {
  readonly path: Path;
  /** As each plan writes it; null where it does not. */
  readonly values: readonly (string | null)[];
};

/** Not entries of their own: they say how a file is to be read. */
const OF_THE_FILE = new Set(['spillcheck', 'units', 'studio']);

/** In the order of the first plan, then of the others; a list is one entry, and so is what some plan does not have at all. */
export function differingEntries(trees: readonly Node[]): EntryRow[] {
  return differing(trees, []).filter(({ path }) => !OF_THE_FILE.has(String(path[0])));
}

function differing(nodes: readonly (Node | null)[], path: Path): EntryRow[] {
  const [first, ...others] = nodes;
  if (others.every((other) => isSame(first ?? null, other))) return [];
  const maps = nodes.filter((node) => node?.kind === 'map');
  if (maps.length < nodes.length) return [{ path, values: nodes.map((node) => node && flowText(node)) }];
  const keys = new Set(maps.flatMap(({ entries }) => [...entries.keys()]));
  return [...keys].flatMap((key) =>
    differing(
      maps.map(({ entries }) => entries.get(key)?.node ?? null),
      [...path, key],
    ),
  );
}

function isSame(a: Node | null, b: Node | null): boolean {
  if (a === null || b === null) return a === b;
  if (a.kind === 'scalar' && b.kind === 'scalar') return isSameScalar(a, b);
  if (a.kind === 'list' && b.kind === 'list') {
    return a.items.length === b.items.length && a.items.every((item, i) => isSame(item, b.items[i] ?? null));
  }
  if (a.kind !== 'map' || b.kind !== 'map' || a.entries.size !== b.entries.size) return false;
  return [...a.entries].every(([key, { node }]) => isSame(node, b.entries.get(key)?.node ?? null));
}

/** 9 and 9.0 are one number; a bare one counts in its file's units, which may differ. */
function isSameScalar(a: Scalar, b: Scalar): boolean {
  const bare = typeof a.value === 'number' || typeof b.value === 'number';
  return a.value === b.value && (!bare || a.units === b.units);
}
