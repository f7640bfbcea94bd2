/** What a share of the inputs goes through besides: why, compare, suggest, try, line-check; as commands where they take files. */
import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { tryJob } from '../../src/commands/compare.ts';
import { runLineCheck as lineCheck } from '../../src/commands/line-check.ts';
import { type OpenFile, open as openFile } from '../../src/commands/pipeline.ts';
import { applyFixes } from '../../src/commands/suggest.ts';
import { compareJson, suggestJson, whyJson } from '../../src/format/json.ts';
import { trialFormats } from '../../src/format/lists.ts';
import { renderText } from '../../src/format/text.ts';
import { type Session, sessionOf } from '../../src/judge/session.ts';
import { askedFor, sourcesByName, why } from '../../src/judge/why.ts';
import { lengthsIn } from '../../src/plan/units.ts';
import { compareView } from '../../src/report/compare.ts';
import { suggestView } from '../../src/report/moves.ts';
import { whyView } from '../../src/report/why.ts';
import { plainAdvice, suggest } from '../../src/suggest/advice.ts';
import { compare } from '../../src/suggest/compare.ts';
import type { Computed } from '../../src/suggest/evaluate.ts';
import { tryAll } from '../../src/suggest/sweep.ts';
import { axisAt } from './axes.ts';
import type { Look, Note } from './carry.ts';
import type { Dice } from './dice.ts';
import type { Input } from './inputs.ts';
import { readingsFor } from './readings.ts';

export type Job = {
  readonly folder: string;
  readonly file: string;
  readonly input: Input;
  readonly judged: Session;
  readonly look: Look;
  readonly note: Note;
};

const NO_OPTIONS = { stdinName: '-' };
const PAGE = { width: 80, colour: false, all: true };

export async function further(job: Job): Promise<void> {
  const { dice } = job.input;
  if (dice.chance(0.5)) lookAtWhy(job, dice);
  if (dice.chance(0.06)) await lookAtLineCheck(job, dice);
  if (!dice.chance(0.25)) return;
  const open = await openFile(job.file, NO_OPTIONS);
  if (!open) return job.note('judged once, refused the second time');
  const base = sessionOf(open);
  const looks = [lookAtTrials, lookAtTrials, lookAtComparison, lookAtAdvice];
  await dice.pick(looks)(job, open, base);
}

function lookAtWhy({ judged: { scene, result, report, plan }, look }: Job, dice: Dice): void {
  const mics = [...scene.mics, ...scene.capsules].map(({ name }) => name);
  const sources = [...sourcesByName(scene).keys()];
  if (mics.length === 0 || sources.length === 0) return;
  const asked = askedFor(scene, dice.pick(mics), dice.pick(sources));
  if ('code' in asked) {
    look('why', asked.message, 'data');
    return;
  }
  const told = why(scene, result, report, asked);
  look('why', renderText(whyView(told, { ...PAGE, lengths: lengthsIn(plan.units) }), PAGE), 'text');
  look('why --json', whyJson(told), 'json');
}

async function lookAtLineCheck({ folder, file, input, judged, note }: Job, dice: Dice): Promise<void> {
  const { name, bytes } = readingsFor(judged.scene, dice);
  const [readings, output] = [join(folder, name), join(folder, 'out.yaml')];
  writeFileSync(readings, bytes);
  const write = dice.chance(0.3) ? { output } : {};
  const code = await lineCheck(file, [readings], {
    stdinName: input.path,
    ...write,
    ...(dice.chance(0.5) ? { json: true } : { all: true }),
  });
  rmSync(readings, { force: true });
  rmSync(output, { force: true });
  if (code !== 0 && code !== 2) note(`line-check ended with ${code}`);
}

type Looking = (job: Job, open: OpenFile, base: Computed) => Promise<void>;

const lookAtTrials: Looking = async ({ input: { dice }, look }, _open, base) => {
  const each = Array.from({ length: dice.whole(1, 2) }, () => axisAt(base.tree, dice));
  const job = await tryJob(
    { each, seed: '1', slice: '1/1', show: [], format: 'csv', random: '3', stdinName: '-' },
    base,
  );
  if (!('trials' in job)) {
    for (const { message } of job) look('try', message, 'data');
    return;
  }
  const heads = {
    axes: job.trials.axes.map(({ name }) => name),
    columns: job.columns.map(({ name }) => name),
  };
  for (const row of tryAll(base, job.trials, job.columns)) {
    look('try csv', trialFormats.csv.row(row, heads), 'text');
    look('try ndjson', trialFormats.ndjson.row(row, heads), 'json');
  }
};

const lookAtComparison: Looking = async ({ folder, judged, look }, open) => {
  const name = 'two-guitars-indoors.yaml';
  const other = await openFile(join(folder, name), NO_OPTIONS);
  if (!other) return;
  const sides = [
    { name: open.from.name, tree: open.tree, report: judged.report },
    { name, tree: other.tree, report: sessionOf(other).report },
  ];
  for (const both of [sides, sides.toReversed()]) {
    const comparison = compare(both);
    look(
      'compare',
      renderText(compareView(comparison, { all: true, worse: null, readings: null }), PAGE),
      'text',
    );
    look('compare --json', compareJson(comparison, null), 'json');
  }
};

/** Pauses of the search after which it is stopped. */
const PATIENCE = 3;

const lookAtAdvice: Looking = async ({ folder, input: { dice }, look, note }, open, base) => {
  const asked = { most: dice.whole(1, 2) };
  const stop = new AbortController();
  let pauses = 0;
  const onProgress = () => void (pauses++ === PATIENCE && stop.abort());
  const advice = suggest(base, { ...asked, onProgress, signal: stop.signal });
  const plain = plainAdvice(advice);
  look(
    'suggest',
    renderText(suggestView(plain, { all: PAGE.all, readings: null, table: null, byHand: [] }), PAGE),
    'text',
  );
  look('suggest --json', suggestJson(plain), 'json');
  if (advice.suggestions.length === 0) return;
  const output = join(folder, 'out.yaml');
  const which = dice.pick(['1', 'all', String(advice.suggestions.length)]);
  const code = await applyFixes({ open, base, advice }, which, output);
  rmSync(output, { force: true });
  if (code !== 0 && code !== 2) note(`suggest --apply ended with ${code}`);
};
