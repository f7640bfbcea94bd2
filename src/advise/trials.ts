/** Every combination of values, or so many at random, in an order that does not depend on how they are shared out. */
import { type Finding, type Path, refusal } from '../finding.ts';
import { integers } from '../judge/tolerance/random.ts';
import type { MapNode, Node } from '../plan/tree.ts';
import { planPath } from './plan-path.ts';
import { countOf, trialValues, type Values, valueAt, valueDrawn } from './trial-values.ts';

/** An entry and the values it takes. */
export type Axis = { readonly name: string; readonly path: Path; readonly values: Values };

export type Trials = {
  readonly axes: readonly Axis[];
  /** Of the whole, whatever slice is asked for. */
  readonly count: number;
  /** Rows from the first to before the last. */
  readonly from: number;
  readonly to: number;
  readonly seed: number | null;
};

export type Trial = {
  /** From 1, of the whole. */
  readonly row: number;
  /** By axis. */
  readonly values: readonly Node[];
};

export type TrialOptions = {
  /** So many at random; null for every combination. */
  readonly random: number | null;
  readonly seed: number;
  /** Which part of how many, from 1. */
  readonly slice: readonly [number, number];
};

/** Rows a run may have: far above what anyone waits for, far below where counting fails. */
const MOST_ROWS = 1e9;

/** An axis from `mics.voice-mic.aim.bearing=0..350/10`. */
export async function axisOf(text: string, tree: MapNode): Promise<Axis | Finding> {
  const [name = '', ...rest] = text.split('=');
  if (rest.length === 0) {
    return refusal(
      `--each ${text} has no values`,
      'write PATH=VALUES, as in mics.voice-mic.pattern=cardioid, omni',
    );
  }
  const path = planPath(name.trim(), tree);
  if ('code' in path) return path;
  const values = await trialValues(rest.join('='), tree);
  return 'code' in values
    ? { ...values, message: `${name.trim()}: ${values.message}` }
    : { name: name.trim(), path, values };
}

export function trialsOf(axes: readonly Axis[], { random, seed, slice }: TrialOptions): Trials | Finding {
  const clash = axes.find((axis, i) => axes.slice(0, i).some((other) => isWithin(axis.path, other.path)));
  if (clash) return refusal(`${clash.name} is set twice`, 'give each entry once');
  const endless = axes.find(({ values }) => countOf(values) === null);
  if (endless && random === null)
    return refusal(
      `the range of ${endless.name} has no step`,
      'write one, as in 0..350/10, or draw with --random',
    );
  const count = random ?? axes.reduce((product, { values }) => product * (countOf(values) ?? 1), 1);
  if (count > MOST_ROWS)
    return refusal(`these are ${count} combinations`, 'take larger steps, or draw with --random');
  const [part, parts] = slice;
  const edge = (index: number) => Math.floor((count * index) / parts);
  return { axes, count, from: edge(part - 1), to: edge(part), seed: random === null ? null : seed };
}

const isWithin = (one: Path, other: Path): boolean => {
  const [short, long] = one.length < other.length ? [one, other] : [other, one];
  return short.every((step, i) => String(step) === String(long[i]));
};

/** The last axis turns fastest. */
export function* trialRows({ axes, from, to, seed }: Trials): Generator<Trial> {
  if (seed !== null) return yield* drawnRows(axes, from, to, seed);
  for (let index = from; index < to; index++) {
    let rest = index;
    const values = axes.toReversed().map(({ values }) => {
      const count = countOf(values) ?? 1;
      const value = valueAt(values, rest % count);
      rest = Math.floor(rest / count);
      return value;
    });
    yield { row: index + 1, values: values.reverse() };
  }
}

/** Every row draws for every axis from one stream, those of other slices too. */
function* drawnRows(axes: readonly Axis[], from: number, to: number, seed: number): Generator<Trial> {
  const next = integers(seed);
  for (let index = 0; index < to; index++) {
    const shares = axes.map(() => next() / 2 ** 32);
    if (index < from) continue;
    yield { row: index + 1, values: axes.map(({ values }, i) => valueDrawn(values, shares[i] ?? 0)) };
  }
}
