/** `spillcheck try`: values of a plan varied, a row of figures for each combination, written as they come. */
import type { Finding } from '../finding.ts';
import { isTrialFormat, type TrialFormatName, trialFormats } from '../format/csv.ts';
import { print, progressLine, say } from '../io/terminal.ts';
import { sessionOf } from '../judge/session.ts';
import { counted } from '../report/words.ts';
import { shippedCatalogue } from '../shipped.ts';
import type { Computed } from '../suggest/evaluate.ts';
import {
  axisOf,
  bestRows,
  type Column,
  columnNamed,
  type TrialRow,
  type Trials,
  trialsOf,
  tryAll,
  usualColumns,
} from '../suggest/sweep.ts';
import { escapeControl } from '../text.ts';
import { refused, usageFault } from './output.ts';
import { type AnswerOptions, open } from './pipeline.ts';

/** Exit code: 0 done, 2 refused, or no combination stands. */
export async function tryValues(file: string, options: TryOptions): Promise<0 | 2> {
  const opened = await open(file, options);
  if (!opened) return 2;
  const base = sessionOf(opened);
  const job = await tryJob(options, base);
  if (!('trials' in job)) return refused(...job);
  return run(job, tryAll(base, shippedCatalogue(), job.trials, job.columns));
}

/** Characters after which what is written goes out. */
const CHUNK = 32_768;

async function run(job: TryJob, rows: Iterable<TrialRow>): Promise<0 | 2> {
  const { trials, columns, best, format } = job;
  const { head, row: lineOf } = trialFormats[format];
  const heads = { axes: trials.axes.map(({ name }) => name), columns: columns.map(({ name }) => name) };
  const kept = best && bestRows(best.most, best.column, columns[best.column]?.moreIsBetter ?? true);
  const progress = progressLine(trials.to - trials.from, 'rows');
  const faults = { count: 0, first: '' };
  let text = head(heads);
  for (const row of rows) {
    if (row.fault !== null && faults.count++ === 0) faults.first = `row ${row.row}: ${row.fault}`;
    if (kept) kept.add(row);
    else text += lineOf(row, heads);
    if (progress.step() || text.length >= CHUNK) {
      if (!(await flushed(text))) break;
      text = '';
    }
  }
  progress.end();
  await flushed(text + (kept?.rows() ?? []).map((row) => lineOf(row, heads)).join(''));
  if (faults.count === 0) return 0;
  const total = trials.to - trials.from;
  const told = `${faults.count} of ${counted(total, 'plan')} do not stand; ${faults.first}`;
  await say(`${escapeControl(told)}\n`);
  return faults.count === total ? 2 : 0;
}

/** False where nobody reads any more. */
async function flushed(text: string): Promise<boolean> {
  const problem = text === '' ? null : await print(text);
  if (problem) await refused(problem);
  return problem === null && process.stdout.writable;
}

export type TryOptions = Omit<AnswerOptions, 'all' | 'output'> & {
  readonly each: readonly string[];
  readonly random?: string;
  readonly seed: string;
  readonly slice: string;
  readonly show: readonly string[];
  readonly best?: string;
  readonly by?: string;
  readonly format: string;
};

type TryJob = {
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
  const trials = trialsOf(axes.filter(isKnown), numbersOf(options));
  const wrong = [
    ...[...axes, ...columns, trials].filter((one) => 'code' in one),
    ...numberFaults(options),
    ...usageFault(isTrialFormat(format), `--format ${format} is not known`, 'write csv or ndjson'),
  ];
  if (wrong.length > 0 || 'code' in trials || !isTrialFormat(format)) return wrong;
  const shown = columns.filter(isKnown);
  const column = shown.findIndex(({ name }) => name === options.by);
  const best = options.best === undefined ? null : { most: Number(options.best), column };
  return { trials, columns: shown, best, format };
}

const isKnown = <T extends object>(one: T | Finding): one is T => !('code' in one);

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
  const isBest = best === undefined || (isCount(best) && Number(best) <= MOST_BEST);
  const isDrawn = random === undefined || isCount(random);
  const both = (best === undefined) === (by === undefined);
  const axis = "write --each 'mics.voice-mic.aim.bearing=0..350/10'";
  return [
    ...usageFault(each.length > 0, 'nothing is to be tried', axis),
    ...usageFault(isDrawn, `--random ${random} is no number of rows`, 'write --random 1000'),
    ...usageFault(/^\d{1,9}$/.test(seed), `--seed ${seed} is no whole number`, 'write --seed 1'),
    ...usageFault(isSlice, `--slice ${slice} is no part of a whole`, 'write --slice 2/8'),
    ...usageFault(isBest, `--best ${best} is no number of rows from 1 to ${MOST_BEST}`, 'write --best 10'),
    ...usageFault(both, '--best and --by need each other', 'write --best 10 --by worst-margin'),
  ];
}

/** Rows are kept in memory until the last has been looked at. */
const MOST_BEST = 10_000;

const isCount = (text: string): boolean => /^[1-9]\d{0,8}$/.test(text);
