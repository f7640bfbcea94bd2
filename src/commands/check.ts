/** `spillcheck check`: whether plans meet their limits, for people and for machines. */
import about from '../../package.json' with { type: 'json' };
import { type Named, planFiles } from '../io/plan-files.ts';
import { say } from '../io/streams.ts';
import { wantsColour, widthOf } from '../io/terminal.ts';
import { type Check, outcomeOf } from '../judge/limits/checked.ts';
import { checkFormats } from '../render/check/formats.ts';
import { summary } from '../render/check/text.ts';
import { type Output, outputsOf } from './check-outputs.ts';
import { checkPlan } from './check-plan.ts';
import { deliver, overwritesPlan } from './deliver.ts';
import { readsTwice } from './line-check-day.ts';
import type { PlanOptions } from './plan-file.ts';
import { refuse } from './refuse.ts';

export type CheckOptions = PlanOptions & {
  readonly format: readonly string[];
  readonly json?: true;
  readonly strict?: true;
  readonly all?: true;
  readonly readings: readonly string[];
};

/** Exit code: 0 every limit met, 1 some missed, 2 refused or a plan broken; one broken plan hides no other. */
export async function check(asked: readonly string[], options: CheckOptions): Promise<0 | 1 | 2> {
  const outputs = outputsOf([...options.format, ...(options.json ? ['json'] : [])]);
  if ('code' in outputs) {
    await refuse(outputs);
    return 2;
  }
  const files = await planFiles(asked);
  if (await overwritesSome(files, outputs)) return 2;
  if (
    await readsTwice(
      files.flatMap(({ file }) => file ?? []),
      options.readings,
    )
  )
    return 2;
  const started = new Date();
  const plans = [];
  for (const named of files) {
    const checked = await checkPlan(named, options);
    if (!checked) return 2;
    plans.push(checked);
  }
  const done = { plans, strict: options.strict === true };
  const delivered = await deliverAll(done, outputs, { all: options.all === true, started });
  return delivered ? exitCode(done) : 2;
}

async function overwritesSome(files: readonly Named[], outputs: readonly Output[]): Promise<boolean> {
  for (const { file } of files) {
    for (const output of outputs) {
      if (file !== null && (await overwritesPlan(file, output.file))) return true;
    }
  }
  return false;
}

type Page = { readonly all: boolean; readonly started: Date };

/** A file gets neither colour nor the terminal's width. Where nothing goes to the screen, one line says how it stands. */
async function deliverAll(done: Check, outputs: readonly Output[], page: Page): Promise<boolean> {
  const { stdout, env } = process;
  let whole = true;
  for (const { format, file } of outputs) {
    const toScreen = file === '-';
    const width = widthOf(toScreen ? stdout : {}, env);
    const colour = toScreen && wantsColour(stdout, env);
    const shown = checkFormats[format](done, { ...page, width, colour, version: about.version });
    whole = (await deliver(shown, file)) === 0 && whole;
  }
  if (outputs.every(({ file }) => file !== '-')) await say(`${summary(done)}\n`);
  return whole;
}

function exitCode({ plans, strict }: Check): 0 | 1 | 2 {
  const outcomes = plans.map((plan) => outcomeOf(plan, strict));
  if (outcomes.includes('broken')) return 2;
  return outcomes.includes('missed') ? 1 : 0;
}
