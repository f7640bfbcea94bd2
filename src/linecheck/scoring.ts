/** Causes made ready to be scored against readings, and those that are as good as the best. */
import { type Cause, keyOf, type Tried } from './cause.ts';
import type { Cell } from './cells.ts';
import { differencesOf } from './days.ts';
import { type Deviation, type Metric, product } from './deviation.ts';
import { grouped } from './grouped.ts';
import type { Plain } from './plain-scene.ts';

/** A cause with what it changes at the cells, dB. */
export type Scored = { readonly cause: Cause; readonly score: number; readonly shift: Float64Array };

export type Scoring = {
  readonly scores: (seen: Deviation) => number[];
  readonly tried: (seen: Deviation) => Scored[];
};

/** A cause that changes no more than this of what is seen, in squares of standard deviations, explains nothing. */
const CHANGES = 1e-6;

/** Score: the fall of χ², `2·aᵀC⁻¹d − dᵀC⁻¹d` of readings a and change d, less `2·ln n` for n causes of a kind. */
export function scoringOf(
  { predicted }: Plain,
  cells: readonly Cell[],
  tried: Iterable<Tried>,
  metric: Metric,
): Scoring {
  const list = [...tried];
  const byKind = grouped(list, ({ cause }) => cause.kind);
  const ready = list.flatMap(({ cause, predicted: levels }) => {
    const shift = differencesOf(cells, levels, predicted);
    const change = metric.of(shift);
    const self = product(change, change);
    const cost = 2 * Math.log(byKind.get(cause.kind)?.length ?? 1);
    return self > CHANGES ? [{ cause, shift, change, cost: self + cost }] : [];
  });
  return {
    scores: (seen) => ready.map(({ change, cost }) => 2 * product(seen, change) - cost),
    tried: (seen) =>
      ready.map(({ cause, shift, change, cost }) => ({
        cause,
        shift,
        score: 2 * product(seen, change) - cost,
      })),
  };
}

/** A cause that scores this much less than the best is 20 times less likely: 2·ln 20. */
const AS_GOOD = 6;

/** The best and all as good, one for each kind and name; none where the best does not pass. */
export function asGood(
  scored: readonly Scored[],
  threshold: number,
): (Scored & { readonly others: Cause[] })[] {
  const sorted = [...scored].sort((a, b) => b.score - a.score);
  const [best] = sorted;
  if (!best || best.score <= threshold) return [];
  const good = sorted.filter(({ score }) => score >= best.score - AS_GOOD);
  const groups = grouped(good, ({ cause }) => keyOf(cause));
  return [...groups.values()].map(([first, ...others]) => ({
    ...(first as Scored),
    others: others.map(({ cause }) => cause),
  }));
}
