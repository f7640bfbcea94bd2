/** Options of `try`, read. */
import type { Computed } from '../advise/bench-plan.ts';
import { type Column, columnNamed, usualColumns } from '../advise/trial-columns.ts';
import { type Axis, axisOf, type Trials, trialsOf } from '../advise/trials.ts';
import { type Finding, refusal } from '../finding.ts';
import { isTrialFormat, type TrialFormatName } from '../render/trial-formats.ts';
import type { PlanOptions } from './plan-file.ts';

export type TryOptions = PlanOptions & {
  readonly each: readonly string[];
  readonly random?: string;
  readonly seed: string;
  readonly slice: string;
  readonly show: readonly string[];
  readonly best?: string;
  readonly by?: string;
  readonly format: string;
  readonly json?: true;
};

export type TryJob = {
  readonly trials: Trials;
  readonly columns: readonly Column[];
  /** How many of the best by which column, or null for every row. */
  readonly best: { readonly most: number; readonly column: number } | null;
  readonly format: TrialFormatName;
};

/** The job, or every fault of the options. */
export async function tryJob(options: TryOptions, base: Computed): Promise<TryJob | readonly Finding[]> {
  const axes = await Promise.all(options.each.map((one) => axisOf(one, base.tree)));
  const format = options.json ? 'ndjson' : options.format;
  const columns = chosenColumns(options, base);
  const faults = [...axes, ...columns].flatMap((one) => ('code' in one ? [one] : []));
  const numbers = numbersOf(options);
  const trials = trialsOf(axes.filter(isAxis), numbers);
  const wrong = [
    ...faults,
    ...numberFaults(options),
    ...('code' in trials ? [trials] : []),
    ...(isTrialFormat(format) ? [] : [refusal(`--format ${format} is not known`, 'write csv or ndjson')]),
  ];
  if (wrong.length > 0 || 'code' in trials || !isTrialFormat(format)) return wrong;
  const shown = columns.filter(isColumn);
  const column = shown.findIndex(({ name }) => name === options.by);
  const best = options.best === undefined ? null : { most: Number(options.best), column };
  return { trials, columns: shown, best, format };
}

const isAxis = (one: Axis | Finding): one is Axis => !('code' in one);
const isColumn = (one: Column | Finding): one is Column => !('code' in one);

/** The column that the best are chosen by is shown in any case. */
function chosenColumns({ show, by }: TryOptions, { scene }: Computed): (Column | Finding)[] {
  const chosen = show.length === 0 ? usualColumns(scene) : show.map((name) => columnNamed(scene, name));
  const names = chosen.map((one) => ('code' in one ? '' : one.name));
  return by === undefined || names.includes(by) ? chosen : [...chosen, columnNamed(scene, by)];
}

function numbersOf({ random, seed, slice }: TryOptions) {
  const [part = 1, parts = 1] = slice.split('/').map(Number);
  return {
    random: random === undefined ? null : Number(random),
    seed: Number(seed),
    slice: [part, parts] as const,
  };
}

function numberFaults({ each, random, seed, slice, best, by }: TryOptions): Finding[] {
  const [part = 0, parts = 0] = slice.split('/').map(Number);
  const isSlice = /^\d+\/\d+$/.test(slice) && part >= 1 && part <= parts;
  return [
    ...(each.length > 0
      ? []
      : [refusal('nothing is to be tried', "write --each 'mics.voice-mic.aim.bearing=0..350/10'")]),
    ...(random === undefined || isCount(random)
      ? []
      : [refusal(`--random ${random} is no number of rows`, 'write --random 1000')]),
    ...(/^\d{1,9}$/.test(seed) ? [] : [refusal(`--seed ${seed} is no whole number`, 'write --seed 1')]),
    ...(isSlice ? [] : [refusal(`--slice ${slice} is no part of a whole`, 'write --slice 2/8')]),
    ...(best === undefined || (isCount(best) && Number(best) <= MOST_BEST)
      ? []
      : [refusal(`--best ${best} is no number of rows from 1 to ${MOST_BEST}`, 'write --best 10')]),
    ...((best === undefined) === (by === undefined)
      ? []
      : [refusal('--best and --by need each other', 'write --best 10 --by worst-margin')]),
  ];
}

/** Rows are kept in memory until the last has been looked at. */
const MOST_BEST = 10_000;

const isCount = (text: string): boolean => /^[1-9]\d{0,8}$/.test(text);
