/**
 * What one thing, otherwise than in the plan, explains the readings better. Every cause is computed with the full model and
 * scored by how much nearer it brings prediction and readings (the fall of χ²), less what the best of its kind reaches by
 * chance on 9 of 10 sound days. One is named only where it scores more than any does on 98 of 100 of them. Sound days are
 * within the tolerance, drawn and read for the purpose.
 */
import type { Cause, Tried } from './cause.ts';
import type { Cell } from './cells.ts';
import { dayWithin, differencesOf, normal } from './days.ts';
import { type Deviation, type Metric, metricOf, product } from './deviation.ts';
import { rootMeanSquare } from './fit.ts';
import type { Plain } from './plain-scene.ts';
import { quantile } from './quantile.ts';
import { asGood, type Costs, costsOf, type Scored, type Suspected, scoreOf, suspectedOf } from './scoring.ts';
import { wrongReadings } from './wrong-readings.ts';

export type Suspect = {
  /** The likeliest of its kind and name. */
  readonly cause: Cause;
  /** Others of the same kind and name that do as well. */
  readonly others: readonly Cause[];
  /** Fall of χ² less what its kind reaches by chance. */
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

/** What is prepared once for readings of one shape: rows, columns, gaps, uncertainties. */
type Prepared = {
  readonly cells: readonly Cell[];
  readonly metric: Metric;
  readonly suspected: readonly Suspected[];
  readonly costs: Costs;
  readonly threshold: number;
  /** χ² that readings of a sound day stay below. */
  readonly furthest: number;
};

/** `next` gives numbers from −1 to 1. What is returned takes levels without the noise, packed as the readings are. */
export function diagnoser(
  plain: Plain,
  all: readonly Cell[],
  tried: Iterable<Tried>,
  next: () => number,
): (levels: Float64Array) => Diagnosis {
  const prepared = prepare(plain, all, tried, next);
  return (levels) => {
    const { cells } = prepared;
    const gap = ({ at }: Cell) => (levels[at] as number) - (plain.predicted[at] as number);
    return diagnosis(prepared, Float64Array.from(cells, gap));
  };
}

function prepare(plain: Plain, all: readonly Cell[], tried: Iterable<Tried>, next: () => number): Prepared {
  const cells = all.filter(({ at }) => Number.isFinite(plain.predicted[at]));
  const days = () =>
    Array.from({ length: DAYS }, () => differencesOf(cells, dayWithin(plain, next), plain.predicted));
  const metric = metricOf(cells, plain.readings, days());
  const suspected = [
    ...suspectedOf(plain, cells, tried, metric),
    ...wrongReadings(cells, plain.readings, metric),
  ];
  const sound = days().flatMap((day) =>
    Array.from({ length: READ_AGAIN }, () =>
      metric.of(day.map((one, i) => one + (cells[i] as Cell).sigma * normal(next))),
    ),
  );
  const costs = costsOf(suspected, sound);
  const best = (seen: Deviation) =>
    suspected.reduce((most, one) => Math.max(most, scoreOf(one, seen, costs)), 0);
  return {
    cells,
    metric,
    suspected,
    costs,
    threshold: quantile(sound.map(best), ALL_BUT),
    furthest: quantile(sound.map(farness), ALL_BUT),
  };
}

/** χ². */
const farness = (seen: Deviation): number => product(seen, seen);

function diagnosis(
  { metric, suspected, costs, threshold, furthest }: Prepared,
  differences: Float64Array,
): Diagnosis {
  const without = ({ shift }: Scored) => differences.map((one, i) => one - (shift[i] as number));
  const seen = metric.of(differences);
  const scored = suspected.map((one) => ({ ...one.told(seen), score: scoreOf(one, seen, costs) }));
  const good = asGood(scored, threshold);
  const [first] = good;
  return {
    before: rootMeanSquare(metric.left(differences)),
    beyond: farness(seen) > furthest,
    suspects: good.map((one) => ({
      cause: one.cause,
      others: one.others,
      score: one.score,
      after: rootMeanSquare(metric.left(without(one))),
    })),
    more: first !== undefined && farness(metric.of(without(first))) > furthest,
    tried: scored.length,
    days: 2 * DAYS,
    threshold,
  };
}
