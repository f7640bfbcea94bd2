/** Moves written into the text of a plan: what they do not touch stays byte for byte. */
import type { Path } from '../finding.ts';
import { setIn } from '../plan/edit.ts';
import type { PlanData } from '../plan/plan.ts';
import type { MapNode } from '../plan/tree.ts';
import type { Move } from './move.ts';
import { type Edit, withEdits } from './set-value.ts';
import { nodeAt, nodeOf } from './written.ts';
import { yamlText } from './yaml-text.ts';

/** The changed text, and the tree that it must be read as; null where the text has no place for a change. */
export function applied(
  text: string,
  { tree, plan }: { readonly tree: MapNode; readonly plan: PlanData },
  moves: readonly Move[],
): { readonly text: string; readonly tree: MapNode } | null {
  const edits = [...moves.flatMap((move) => move.edits), ...usedUp(plan, moves)];
  const changed = withEdits(tree, edits);
  let now: string | null = text;
  for (const edit of edits) now = now === null ? null : written(now, edit, changed);
  return now === null ? null : { text: now, tree: changed };
}

/** What the text cannot say at its place, or what goes out, makes the map or list around it be written anew. */
function written(text: string, { path, value }: Edit, changed: MapNode): string | null {
  if (value !== null) {
    const edited = setIn(text, { path, value: yamlText(value) });
    if ('text' in edited) return edited.text;
  }
  return rewritten(text, path.slice(0, -1), changed);
}

function rewritten(text: string, path: Path, changed: MapNode): string | null {
  const node = path.length === 0 ? null : nodeAt(changed, path);
  if (!node) return null;
  const edited = setIn(text, { path, value: yamlText(node) });
  return 'text' in edited ? edited.text : rewritten(text, path.slice(0, -1), changed);
}

/** What is on hand is fewer afterwards; the last of a kind goes out of its list, from the end on. */
function usedUp({ onHand }: PlanData, moves: readonly Move[]): Edit[] {
  const taken = moves.flatMap(({ takes }) => takes ?? []);
  return (['baffles', 'absorption', 'mics'] as const).flatMap((list) =>
    onHand[list]
      .map(({ count }, place) => ({
        place,
        count,
        used: taken.filter(([of, at]) => of === list && at === place).length,
      }))
      .filter(({ used }) => used > 0)
      .reverse()
      .map(({ place, count, used }) =>
        used < count
          ? { path: ['on-hand', list, place, 'count'], value: nodeOf(count - used) }
          : { path: ['on-hand', list, place], value: null },
      ),
  );
}
