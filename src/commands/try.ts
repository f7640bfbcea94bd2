/** `spillcheck try`: values of a plan varied, a row of figures for each combination, written as they come. */

import { computed } from '../advise/bench-plan.ts';
import { bestRows } from '../advise/best-rows.ts';
import { type TrialRow, tryAll } from '../advise/try-all.ts';
import { print, say } from '../io/streams.ts';
import { visible } from '../plan/visible.ts';
import { trialFormats } from '../render/trial-formats.ts';
import { counted } from '../render/words.ts';
import { shippedCatalogue } from '../shipped.ts';
import { openPlan } from './open-plan.ts';
import { planFile } from './plan-file.ts';
import { progressLine } from './progress-line.ts';
import { refuse } from './refuse.ts';
import { type TryJob, type TryOptions, tryJob } from './try-options.ts';

/** Exit code: 0 done, 2 refused, or no combination stands. */
export async function tryValues(file: string, options: TryOptions): Promise<0 | 2> {
  const open = await openPlan(planFile(file, options));
  if (!open) return 2;
  const base = computed(open);
  const job = await tryJob(options, base);
  if (!('trials' in job)) {
    for (const finding of job) await refuse(finding);
    return 2;
  }
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
  return conclude(faults, trials.to - trials.from);
}

/** False where nobody reads any more. */
async function flushed(text: string): Promise<boolean> {
  const problem = text === '' ? null : await print(text);
  if (problem) await refuse(problem);
  return problem === null && process.stdout.writable;
}

async function conclude(
  faults: { readonly count: number; readonly first: string },
  total: number,
): Promise<0 | 2> {
  if (faults.count === 0) return 0;
  await say(`${visible(`${faults.count} of ${counted(total, 'plan')} do not stand; ${faults.first}`)}\n`);
  return faults.count === total ? 2 : 0;
}
