/** Whether moves can be made together: they change different entries, and there is enough on hand for all. */
import type { Path } from '../finding.ts';
import type { PlanData } from '../plan/plan.ts';
import type { Move } from './move.ts';

export function canJoin(moves: readonly Move[], another: Move, plan: PlanData): boolean {
  const apart = moves.every(({ edits }) =>
    edits.every(({ path }) => another.edits.every((other) => !overlaps(path, other.path))),
  );
  return apart && isEnough([...moves, another], plan);
}

function overlaps(one: Path, other: Path): boolean {
  const [short, long] = one.length < other.length ? [one, other] : [other, one];
  return short.every((step, i) => String(step) === String(long[i]));
}

function isEnough(moves: readonly Move[], { onHand }: PlanData): boolean {
  const taken = new Map<string, number>();
  for (const [list, place] of moves.flatMap(({ takes }) => takes ?? [])) {
    const key = `${list} ${place}`;
    const count = (taken.get(key) ?? 0) + 1;
    if (count > (onHand[list][place]?.count ?? 0)) return false;
    taken.set(key, count);
  }
  return true;
}
