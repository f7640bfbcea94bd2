/** `spillcheck compare` and `spillcheck try`: plans side by side, and values of one varied, a row of values each. */
import { type Finding, isFinding } from '../finding.ts';
import { compareJson } from '../format/json.ts';
import { isTrialFormat, type TrialFormatName, trialFormats } from '../format/lists.ts';
import { renderText } from '../format/text.ts';
import { announce, print, progressLine, say } from '../io/terminal.ts';
import { sessionOf } from '../judge/session.ts';
import { measuredLevels, withReadings } from '../line-check/measured-levels.ts';
import { compareView } from '../report/compare.ts';
import { counted } from '../report/words.ts';
import { movedSince, regressions, type Side, compare as sideBySide } from '../suggest/compare.ts';
import type { Computed } from '../suggest/evaluate.ts';
import * as sweep from '../suggest/sweep.ts';
import { escapeControl } from '../text.ts';
import { deliver, pageOf, refused, unknownIn, usageFault, withinFaults } from './output.ts';
import { type AnswerOptions, type OpenFile, open, readsTwice } from './pipeline.ts';
import { readReadings } from './readings.ts';

export type CompareOptions = AnswerOptions & {
  readonly noWorseThan?: string;
  readonly within: string;
  readonly readings: readonly string[];
};

/** Exit code: 0 done, 1 something is worse than in the plan that was named for it, 2 refused. */
export async function runCompare(files: readonly string[], options: CompareOptions): Promise<0 | 1 | 2> {
  const [bad] = faultsOf(files, options);
  if (bad) return refused(bad);
  if (await readsTwice(files.includes('-') ? ['-'] : [], options.readings)) return 2;
  const opened = await openAll(files, options);
  if (!opened) return 2;
  const readings = opened[0]?.readings ?? null;
  const comparison = sideBySide(sidesOf(opened));
  const base = options.noWorseThan === undefined ? -1 : files.indexOf(options.noWorseThan);
  const worse = base < 0 ? null : regressions(comparison, base, Number(options.within));
  const shown = options.json
    ? compareJson(comparison, worse, readings)
    : renderText(compareView(comparison, { all: options.all === true, worse, readings }), pageOf(options));
  const delivered = await deliver(shown, options.output);
  return delivered === 0 && worse && worse.length > 0 ? 1 : delivered;
}

/**
 * Every plan is read before anything is said of one, so that every error is shown in one run. Readings were made in the first:
 * what it measures goes for all of them. Null where a plan or readings were refused, which has been said.
 */
async function openAll(files: readonly string[], options: CompareOptions): Promise<OpenFile[] | null> {
  const { readings } = options;
  const plans = [];
  for (const file of files) plans.push(await open(file, { ...options, readings: [] }));
  const opened = plans.flatMap((plan) => plan ?? []);
  const [first] = opened;
  if (!first || opened.length < plans.length) return null;
  if (readings.length === 0) return opened;
  const read = await readReadings(readings, first.scene);
  if (!read) return null;
  const day = measuredLevels(first.scene, read);
  return opened.map((plan) => withReadings(plan, day, readings));
}

/** What a plan changes about a measured level comes on top of it. */
function sidesOf(opened: readonly OpenFile[]): Side[] {
  const done = announce(`${opened.length} plans …`);
  const sides = opened.map((plan): Side => {
    const scene = plan.readings ? movedSince(plan.scene, (opened[0] ?? plan).scene) : plan.scene;
    return { name: plan.from.name, tree: plan.tree, report: sessionOf({ ...plan, scene }).report };
  });
  done();
  return sides;
}

function faultsOf(files: readonly string[], { noWorseThan, within }: CompareOptions): Finding[] {
  const fromInput = files.filter((file) => file === '-').length;
  return [
    ...usageFault(files.length >= 2, 'compare needs at least two plans', 'name another plan'),
    ...usageFault(fromInput < 2, 'only one plan can come from standard input', 'name files for the others'),
    ...unknownIn('--no-worse-than', 'plan compared', [noWorseThan], files),
    ...withinFaults(within),
  ];
}

/** Exit code: 0 done, 2 refused, or no combination stands. */
export async function tryValues(file: string, options: TryOptions): Promise<0 | 2> {
  const opened = await open(file, options);
  if (!opened) return 2;
  const base = sessionOf(opened);
  const job = await tryJob(options, base);
  if (!('trials' in job)) return refused(...job);
  return writeRows(job, sweep.tryAll(base, job.trials, job.columns));
}

async function writeRows(job: TryJob, rows: Iterable<sweep.TrialRow>): Promise<0 | 2> {
  const { trials, columns, best, format } = job;
  const { head, row: lineOf } = trialFormats[format];
  const heads = { axes: trials.axes.map(({ name }) => name), columns: columns.map(({ name }) => name) };
  const kept = best && sweep.bestRows(best.most, best.column, columns[best.column]?.moreIsBetter ?? true);
  const progress = progressLine(trials.to - trials.from, 'rows');
  const faults = { count: 0, first: '' };
  let text = head(heads);
  for (const row of rows) {
    if (row.fault !== null && faults.count++ === 0) faults.first = `row ${row.row}: ${row.fault}`;
    if (kept) kept.add(row);
    else text += lineOf(row, heads);
    if (progress.step() || text.length >= 32_768) {
      if (!(await flushed(text))) break;
      text = '';
    }
  }
  progress.end();
  await flushed(text + (kept?.rows() ?? []).map((row) => lineOf(row, heads)).join(''));
  if (faults.count === 0) return 0;
  const total = trials.to - trials.from;
  const invalid = `${faults.count} of ${counted(total, 'plan')} invalid; ${faults.first}`;
  await say(`${escapeControl(invalid)}\n`);
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
  readonly top?: string;
  readonly sort?: string;
  readonly format: string;
};

type TryJob = {
  readonly trials: sweep.Trials;
  readonly columns: readonly sweep.Column[];
  /** How many of the best by which column, or null for every row. */
  readonly best: { readonly most: number; readonly column: number } | null;
  readonly format: TrialFormatName;
};

/** The job, or every error of the options. */
export async function tryJob(options: TryOptions, base: Computed): Promise<TryJob | readonly Finding[]> {
  const axes = await Promise.all(options.each.map((one) => sweep.axisOf(one, base.tree)));
  const format = options.json ? 'ndjson' : options.format;
  const columns = chosenColumns(options, base);
  const { random, seed, slice } = options;
  const [part = 1, parts = 1] = slice.split('/').map(Number);
  const drawn = { random: random === undefined ? null : Number(random), seed: Number(seed) };
  const trials = sweep.trialsOf(axes.filter(isKnown), { ...drawn, slice: [part, parts] });
  const misread = numberFaults(options);
  const wrong = [
    ...[...axes, ...columns].filter(isFinding),
    ...misread,
    ...(isFinding(trials) && misread.length === 0 ? [trials] : []),
    ...usageFault(isTrialFormat(format), `unknown format ${format}`, 'write csv or ndjson'),
  ];
  if (wrong.length > 0 || isFinding(trials) || !isTrialFormat(format)) return wrong;
  const shown = columns.filter(isKnown);
  const column = shown.findIndex(({ name }) => name === options.sort);
  const best = options.top === undefined ? null : { most: Number(options.top), column };
  return { trials, columns: shown, best, format };
}

const isKnown = <T>(one: T | Finding): one is T => !isFinding(one);

/** The column that the best are chosen by is shown in any case. */
function chosenColumns({ show, sort }: TryOptions, { scene }: Computed): (sweep.Column | Finding)[] {
  const chosen =
    show.length === 0 ? sweep.usualColumns(scene) : show.map((name) => sweep.columnNamed(scene, name));
  const names = chosen.map((one) => ('code' in one ? '' : one.name));
  return sort === undefined || names.includes(sort) ? chosen : [...chosen, sweep.columnNamed(scene, sort)];
}

function numberFaults({ each, random, seed, slice, top, sort }: TryOptions): Finding[] {
  const isSlice = /^\d+\/\d+$/.test(slice);
  const isTop = top === undefined || (isCount(top) && Number(top) <= MOST_BEST);
  const isDrawn = random === undefined || isCount(random);
  const both = (top === undefined) === (sort === undefined);
  const axis = "write --each 'mics.voice-mic.aim.bearing=0..350/10'";
  return [
    ...usageFault(each.length > 0, 'no values given to vary', axis),
    ...usageFault(isDrawn, `--random ${random} is not a number of rows`, 'write --random 1000'),
    ...usageFault(/^\d{1,9}$/.test(seed), `--seed ${seed} is not a whole number`, 'write --seed 1'),
    ...usageFault(isSlice, `--slice ${slice} is not a part of the rows`, 'write --slice 2/8'),
    ...usageFault(isTop, `--top must be 1 to ${MOST_BEST}, not ${top}`, 'write --top 10'),
    ...usageFault(both, '--top and --sort only work together', 'write --top 10 --sort worst-margin'),
  ];
}

/** Rows are kept in memory until the last has been looked at. */
const MOST_BEST = 10_000;

const isCount = (text: string): boolean => /^[1-9]\d{0,8}$/.test(text);
