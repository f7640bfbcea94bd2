/**
 * What one thing, otherwise than in the plan, explains the readings better. Every cause is computed with the full model and
 * scored by how much nearer it brings prediction and readings (the fall of χ²), less `2·ln n` for n causes tried of its kind
 * and `ln N` of N readings for each figure fitted freely (Schwarz 1978). One is named only where it scores more than
 * any does on 98 of 100 days within the tolerance, drawn and read for the purpose.
 */
import { type Cause, keyOf, type Tried } from './cause.ts';
import type { Cell } from './cells.ts';
import { dayWithin, differencesOf, normal } from './days.ts';
import { type Deviation, type Metric, metricOf, product } from './deviation.ts';
import { rootMeanSquare } from './fit.ts';
import { grouped } from './grouped.ts';
import type { Plain } from './plain-scene.ts';
import { quantile } from './quantile.ts';
import { wrongReadings } from './wrong-readings.ts';

export type Suspect = {
  /** The likeliest of its kind and name. */
  readonly cause: Cause;
  /** Others of the same kind and name that do as well. */
  readonly others: readonly Cause[];
  /** Fall of χ² less what its kind costs. */
  readonly score: number;
  /** Root mean square of what is left with it, dB. */
  readonly after: number;
};

export type Diagnosis = {
  /** Root mean square of what is left of the readings with the plan as it stands, dB; least squares. */
  readonly before: number;
  /** Whether readings are further from the plan than on 98 of 100 days within the tolerance. */
  readonly beyond: boolean;
  /** Causes that explain it, which the readings cannot tell apart; likeliest first, none where none is sure enough. */
  readonly suspects: readonly Suspect[];
  /** Whether what is left with the likeliest is still further off than that. */
  readonly more: boolean;
  readonly tried: number;
  /** Days drawn, half of them to set the threshold. */
  readonly days: number;
  /** Score that a cause must pass. */
  readonly threshold: number;
};

/** Days that say what the tolerance makes likely, and as many again that set the threshold. */
const DAYS = 150;
/** Each of these is read several times over. */
const READ_AGAIN = 4;
/** Share of sound days on which nothing may be named. */
const ALL_BUT = 0.98;
/** A cause that scores this much less than the best is 20 times less likely: 2·ln 20. */
const AS_GOOD = 6;

type Ready = {
  readonly cause: Cause;
  readonly shift: Deviation;
  readonly self: number;
  readonly cost: number;
  readonly differences: Float64Array;
};

/** Prepared once for readings of one shape: rows, columns, gaps, uncertainties. `next` gives numbers from −1 to 1. */
export function diagnoser(plain: Plain, all: readonly Cell[], tried: Iterable<Tried>, next: () => number) {
  const cells = all.filter(({ at }) => Number.isFinite(plain.predicted[at]));
  const drawn = () => differencesOf(cells, dayWithin(plain, next), plain.predicted);
  const metric = metricOf(cells, plain.readings, Array.from({ length: DAYS }, drawn));
  const ready = readied(plain, cells, tried, metric);
  const wrong = wrongReadings(cells, plain.readings, metric);
  const sound = Array.from({ length: DAYS }, drawn).flatMap((day) =>
    Array.from({ length: READ_AGAIN }, () =>
      metric.of(day.map((one, i) => one + (cells[i] as Cell).sigma * normal(next))),
    ),
  );
  const best = (seen: Deviation) =>
    Math.max(0, ...ready.map((one) => scoreOf(one, seen)), ...wrong.scores(seen));
  const threshold = quantile(sound.map(best), ALL_BUT);
  const furthest = quantile(
    sound.map((seen) => product(seen, seen)),
    ALL_BUT,
  );

  /** Levels without the noise, packed as the readings are; those of the cells count. */
  return (levels: Float64Array): Diagnosis => {
    const differences = Float64Array.from(
      cells,
      ({ at }) => (levels[at] as number) - (plain.predicted[at] as number),
    );
    const seen = metric.of(differences);
    const off = product(seen, seen);
    const leftWith = (shift: Float64Array) =>
      rootMeanSquare(metric.left(differences.map((one, i) => one - (shift[i] as number))));
    const scored = [
      ...ready.map((one) => ({ cause: one.cause, score: scoreOf(one, seen), shift: one.differences })),
      ...wrong.tried(seen),
    ];
    const suspects = suspectsOf(scored, threshold).map(({ shift, ...one }) => ({
      ...one,
      after: leftWith(shift),
    }));
    const [first] = suspectsOf(scored, threshold);
    const rest = first && metric.of(differences.map((one, i) => one - (first.shift[i] as number)));
    return {
      before: rootMeanSquare(metric.left(differences)),
      beyond: off > furthest,
      suspects,
      more: rest !== undefined && product(rest, rest) > furthest,
      tried: scored.length,
      days: 2 * DAYS,
      threshold,
    };
  };
}

/** Causes that leave the readings as they are explain nothing. */
function readied(
  { predicted }: Plain,
  cells: readonly Cell[],
  tried: Iterable<Tried>,
  metric: Metric,
): Ready[] {
  const list = [...tried];
  const count = grouped(list, ({ cause }) => cause.kind);
  return list.flatMap(({ cause, predicted: levels }) => {
    const differences = differencesOf(cells, levels, predicted);
    const shift = metric.of(differences);
    const self = product(shift, shift);
    const cost = 2 * Math.log(count.get(cause.kind)?.length ?? 1);
    return self > 1e-6 ? [{ cause, shift, self, cost, differences }] : [];
  });
}

const scoreOf = ({ shift, self, cost }: Ready, seen: Deviation): number =>
  2 * product(seen, shift) - self - cost;

type Scored = { readonly cause: Cause; readonly score: number; readonly shift: Float64Array };

/** The best and all as good, one for each kind and name; none where the best does not pass. */
function suspectsOf(scored: readonly Scored[], threshold: number) {
  const sorted = [...scored].sort((a, b) => b.score - a.score);
  const [best] = sorted;
  if (!best || best.score <= threshold) return [];
  const good = sorted.filter(({ score }) => score >= best.score - AS_GOOD);
  const groups = grouped(good, ({ cause }) => keyOf(cause));
  return [...groups.values()].map(([first, ...others]) => {
    const { cause, score, shift } = first as Scored;
    return { cause, score, shift, others: others.map((one) => one.cause) };
  });
}
