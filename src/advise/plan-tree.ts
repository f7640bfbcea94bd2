/** A plan as it was written, whole, for those who change it: laid over its studio, tables of files written out. */
import { readUncommon } from '../plan/any-unit.ts';
import { readDocument } from '../plan/document.ts';
import { type Load, layOverStudio } from '../plan/studio.ts';
import { readTables } from '../plan/table-file.ts';
import type { MapNode } from '../plan/tree.ts';

/** Of a text that `readPlan` reads without fault; null where the top of it is no map. */
export async function planTree(
  text: string,
  { name, load }: { readonly name: string; readonly load: Load },
): Promise<MapNode | null> {
  const { tree: own } = readDocument({ name, text });
  if (own?.kind !== 'map') return null;
  const laid = await layOverStudio(own, name, load);
  const { tree } = await readTables(laid.tree, name, load);
  await readUncommon(tree);
  return tree;
}
