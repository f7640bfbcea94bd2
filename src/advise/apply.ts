/** Moves written into the text of a plan: what they do not touch stays byte for byte. */
import type { Path } from '../finding.ts';
import { cutOut } from '../plan/cut-out.ts';
import { type Edited, setIn } from '../plan/edit.ts';
import type { PlanData } from '../plan/plan.ts';
import { type MapNode, type Node, scalarsOf } from '../plan/tree.ts';
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
  for (const edit of edits) now = now === null ? null : written(now, edit, { tree, changed });
  return now === null ? null : { text: now, tree: changed };
}

type Trees = { readonly tree: MapNode; readonly changed: MapNode };

/** What the text cannot say at its place, or what goes out of a list, makes the map or list around it be written anew. */
function written(text: string, { path, value }: Edit, { tree, changed }: Trees): string | null {
  const edited = value === null ? takenOut(text, path, tree) : setIn(text, { path, value: yamlText(value) });
  return 'text' in edited ? edited.text : rewritten(text, path.slice(0, -1), changed);
}

/** What the studio has, too, would come back if it only went out of the plan. */
const takenOut = (text: string, path: Path, tree: MapNode): Edited =>
  typeof path.at(-1) === 'string' && isOfStudio(nodeAt(tree, path), tree)
    ? setIn(text, { path, value: '~' })
    : cutOut(text, path);

const isOfStudio = (node: Node | null, { mark }: MapNode): boolean =>
  node !== null && [...scalarsOf(node)].some((one) => one.mark.source !== mark.source);

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
