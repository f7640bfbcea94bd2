/** Edits into the text of the plan; all that go together. */
import { type Finding, type Path, takes, usageError } from '../finding.ts';
import { contextOf, type LimitMargins, marginsOf } from '../judge/criteria.ts';
import { type MapNode, type Node, scalarsOf } from '../plan/document.ts';
import type { Edit, Edited } from '../plan/edit.ts';
import {
  nodeAt,
  nodeOf,
  remarksOf,
  removeEntry,
  setIn,
  unshared,
  withEdits,
  yamlInline,
} from '../plan/edit.ts';
import type { PlanData } from '../plan/plan.ts';
import {
  type Baseline,
  baselineOf,
  type Computed,
  evaluatorOf,
  firstBaseline,
  tryFixes,
} from './evaluate.ts';
import type { Fix } from './fixes.ts';
import { byWorth, isWorthwhile, type Objective, type Worth, worthOf } from './objective.ts';
import { canJoin, takenBy } from './search.ts';

/** The changed text, and the tree that it must be read as; an error where the text has no place for a change. */
export function applied(
  text: string,
  { tree, plan }: { readonly tree: MapNode; readonly plan: PlanData },
  fixes: readonly Fix[],
): { readonly text: string; readonly tree: MapNode } | Finding {
  takes('applied', 'the text of a plan', text, 'string');
  takes('applied', 'a list of fixes', fixes, 'list');
  const edits = [...fixes.flatMap((fix) => fix.edits), ...usedUp(plan, fixes)];
  const changed = withEdits(tree, edits);
  let now: string | null = text;
  for (const edit of edits) now = now === null ? null : written(now, edit, { tree, changed });
  if (now !== null && keepsRemarks(text, now)) return { text: now, tree: changed };
  return notWritable();
}

export const notWritable = (): Finding =>
  usageError(
    'these settings cannot be written into the plan',
    'make the changes by hand: what to set is in --json',
  );

type Trees = { readonly tree: MapNode; readonly changed: MapNode };

/** Null where the text has no place for it. */
function written(text: string, { path, value }: Edit, trees: Trees): string | null {
  const plain = unshared(text, path, trees.tree);
  if (value === null) {
    const left = textOf(takenOut(plain, path, trees.tree));
    const isItem = typeof path.at(-1) === 'number';
    return left ?? (isItem ? writtenAround(plain, path, 'list', trees) : null);
  }
  const here = nodeAt(trees.tree, path);
  const inner = here && !isOfStudio(here, trees.tree) ? innerEdits(here, { path, value }) : null;
  if (inner)
    return inner.reduce<string | null>(
      (now, edit) => (now === null ? null : written(now, edit, trees)),
      plain,
    );
  const edited = setIn(plain, { path, value: yamlInline(value) });
  return 'text' in edited ? edited.text : writtenAround(plain, path, edited.problem, trees);
}

const textOf = (edited: Edited): string | null => ('text' in edited ? edited.text : null);

/** A map or list is changed entry by entry, so that it keeps its lines and what is written beside them; null for anything else. */
function innerEdits(here: Node, { path, value }: Edit): Edit[] | null {
  if (here.kind === 'list' && value?.kind === 'list' && here.items.length === value.items.length)
    return value.items.map((item, i) => ({ path: [...path, i], value: item }));
  if (here.kind !== 'map' || value?.kind !== 'map') return null;
  const gone = [...here.entries.keys()].filter((key) => !value.entries.has(key));
  return [
    ...[...value.entries].map(([key, { node }]) => ({ path: [...path, key], value: node })),
    ...gone.map((key) => ({ path: [...path, key], value: null })),
  ];
}

/** A list of the studio is written whole into the plan; a single value that becomes a map, in its place. */
function writtenAround(text: string, path: Path, problem: string, { tree, changed }: Trees): string | null {
  const isPlace = (n: number): boolean =>
    problem === 'list'
      ? typeof path[n] === 'number'
      : problem === 'scalar' && nodeAt(tree, path.slice(0, n))?.kind === 'scalar';
  const depth = path.findIndex((_, n) => n > 0 && isPlace(n));
  const place = path.slice(0, depth);
  const node = depth < 0 ? null : nodeAt(changed, place);
  return node && textOf(setIn(text, { path: place, value: yamlInline(node) }));
}

/** What the studio has, too, would come back if it only went out of the plan. */
const takenOut = (text: string, path: Path, tree: MapNode): Edited =>
  typeof path.at(-1) === 'string' && isOfStudio(nodeAt(tree, path), tree)
    ? setIn(text, { path, value: '~' })
    : removeEntry(text, path);

const isOfStudio = (node: Node | null, { mark }: MapNode): boolean =>
  node !== null && [...scalarsOf(node)].some((one) => one.mark.source !== mark.source);

/** Whether every comment and anchor is still there. */
function keepsRemarks(before: string, after: string): boolean {
  const left = remarksOf(after);
  return remarksOf(before).every((one) => {
    const at = left.indexOf(one);
    if (at >= 0) left.splice(at, 1);
    return at >= 0;
  });
}

/** What is on hand is fewer afterwards; the last of a kind goes out of its list, from the end on. */
function usedUp({ onHand }: PlanData, fixes: readonly Fix[]): Edit[] {
  const taken = takenBy(fixes);
  return (['baffles', 'absorption', 'mics'] as const).flatMap((list) =>
    onHand[list]
      .flatMap(({ count }, place): Edit[] => {
        const used = taken.filter(([of, at]) => of === list && at === place).length;
        if (used === 0) return [];
        const path = ['on-hand', list, place];
        return used < count
          ? [{ path: [...path, 'count'], value: nodeOf(count - used) }]
          : [{ path, value: null }];
      })
      .reverse(),
  );
}

type Taken = { readonly fixes: readonly Fix[]; readonly margins: LimitMargins };

/**
 * Of suggestions, best for their effort first: one after another in that order; or the one that does most, then the others. What
 * does more is taken, less the fixes that the later ones have made idle.
 */
export function allTogether(
  base: Computed,
  suggestions: readonly { readonly fixes: readonly Fix[]; readonly worth: Worth }[],
  objective: Objective,
): readonly Fix[] {
  const most = [...suggestions].sort((a, b) => byWorth(a.worth, b.worth)).slice(0, 1);
  const first = firstBaseline(evaluatorOf(base));
  const orders = [suggestions, [...most, ...suggestions]].map((order) => [
    ...new Set(order.flatMap(({ fixes }) => fixes)),
  ]);
  const [one, other] = orders.map((fixes) => oneAfterAnother(first, fixes, objective));
  if (!one || !other) return [];
  const better = isWorthwhile(worthOf(one.margins, other.margins, objective)) ? other : one;
  return withoutIdle(first, better, objective);
}

/** The fixes that are left out would do nothing more, or harm. */
function oneAfterAnother(first: Baseline, fixes: readonly Fix[], objective: Objective): Taken {
  let now = first;
  const taken: Fix[] = [];
  for (const fix of fixes) {
    if (!canJoin(taken, fix, first.evaluator.base.plan)) continue;
    const tried = tryFixes(now, [fix]);
    if (!tried || !isWorthwhile(worthOf(now.judged, tried.judged, objective))) continue;
    const next = now.evaluator.commit(fix.edits);
    if ('faults' in next) continue;
    now = baselineOf(evaluatorOf(next), first.allowances, undefined, tried.judged);
    taken.push(fix);
  }
  return { fixes: taken, margins: now.margins };
}

/** Each fix is left out in turn, and stays out where it would add nothing worthwhile to the rest. */
function withoutIdle(
  { evaluator, allowances }: Baseline,
  { fixes, margins: reached }: Taken,
  objective: Objective,
): readonly Fix[] {
  return fixes.reduce((kept, fix) => {
    const rest = kept.filter((one) => one !== fix);
    const made = evaluator.commit(rest.flatMap(({ edits }) => edits));
    if ('faults' in made) return kept;
    const margins = marginsOf(contextOf(made.scene, made.result), allowances);
    return isWorthwhile(worthOf(margins, reached, objective)) ? kept : rest;
  }, fixes);
}
