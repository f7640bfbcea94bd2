/** Causes made ready to be scored against readings, and those that are as good as the best. */
import { type Cause, keyOf, type Tried } from './cause.ts';
import type { Cell } from './cells.ts';
import { differencesOf } from './days.ts';
import { type Deviation, type Metric, product } from './deviation.ts';
import { grouped } from './grouped.ts';
import type { Plain } from './plain-scene.ts';
import { quantile } from './quantile.ts';

/** A cause, or one reading that may be off by any amount. */
export type Suspected = {
  readonly kind: Cause['kind'];
  /** By how much it brings prediction and readings nearer: the fall of χ², `2·aᵀC⁻¹d − dᵀC⁻¹d` of readings a and change d. */
  readonly fall: (seen: Deviation) => number;
  /** What it is, and what it changes at the cells, dB. */
  readonly told: (seen: Deviation) => { readonly cause: Cause; readonly shift: Float64Array };
};

export type Scored = ReturnType<Suspected['told']> & { readonly score: number };

/** A cause that changes no more than this of what is seen, in squares of standard deviations, explains nothing. */
const CHANGES = 1e-6;

export function suspectedOf(
  { predicted }: Plain,
  cells: readonly Cell[],
  tried: Iterable<Tried>,
  metric: Metric,
): Suspected[] {
  return [...tried].flatMap(({ cause, predicted: levels }) => {
    const shift = differencesOf(cells, levels, predicted);
    const change = metric.of(shift);
    const self = product(change, change);
    const told = { cause, shift };
    return self > CHANGES
      ? [{ kind: cause.kind, fall: (seen) => 2 * product(seen, change) - self, told: () => told }]
      : [];
  });
}

/** Share of sound days on which the best of each kind stays below what the kind costs. */
const COMMON = 0.9;

export type Costs = ReadonlyMap<Cause['kind'], number>;

/**
 * What a cause must bring to be no worse a find than one of another kind: the more causes of a kind there are, and the less
 * alike, the nearer one of them comes to any reading by chance.
 */
export function costsOf(suspected: readonly Suspected[], sound: readonly Deviation[]): Costs {
  const costs = [...grouped(suspected, ({ kind }) => kind)].map(([kind, own]) => {
    const best = sound.map((seen) => own.reduce((most, { fall }) => Math.max(most, fall(seen)), 0));
    return [kind, quantile(best, COMMON)] as const;
  });
  return new Map(costs);
}

export const scoreOf = ({ kind, fall }: Suspected, seen: Deviation, costs: Costs): number =>
  fall(seen) - (costs.get(kind) ?? 0);

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
