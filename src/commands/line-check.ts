/** `spillcheck line-check`: readings of the day against the plan. */

import { hasErrors } from '../finding.ts';
import { lineCheckJson } from '../format/json.ts';
import { announce, say, wantsColour, widthOf } from '../io/terminal.ts';
import { lineCheck as check, type LineCheck } from '../line-check/line-check.ts';
import { newLevels } from '../line-check/new-levels.ts';
import type { Readings } from '../line-check/readings.ts';
import { writeLevels } from '../line-check/recordings.ts';
import type { PlanData } from '../plan/plan.ts';
import { lineCheckText } from '../report/line-check.ts';
import { resolve } from '../scene/resolve.ts';
import type { Scene } from '../scene/scene.ts';
import { shippedCatalogue } from '../shipped.ts';
import { uniform } from '../statistics.ts';
import { visible } from '../text.ts';
import {
  deliver,
  isCaution,
  overwritesPlan,
  type PlanFile,
  type PlanOptions,
  planFile,
  readPlanFile,
  readReadings,
  readsTwice,
  refuse,
} from './pipeline.ts';

export type LineCheckOptions = PlanOptions & {
  readonly output?: string;
  readonly all?: true;
  readonly json?: true;
};

type Opened = { readonly text: string; readonly plan: PlanData; readonly scene: Scene };

/** Exit code: 0 done, whatever was found; 2 refused. */
export async function runLineCheck(
  file: string,
  readingFiles: readonly string[],
  options: LineCheckOptions,
): Promise<0 | 2> {
  const { output = '' } = options;
  for (const one of [file, ...readingFiles])
    if (output !== '' && (await overwritesPlan(one, output))) return 2;
  if (await readsTwice([file], readingFiles)) return 2;
  const opened = await open(planFile(file, options));
  const readings = opened && (await readReadings(readingFiles, opened.scene));
  if (!opened || !readings) return 2;
  const done = announce(
    `trying what would explain ${readings.rows.length} takes at ${readings.columns.length} microphones …`,
  );
  const { plan, scene } = opened;
  const setUp = { plan, resolve: (other: PlanData) => resolve(other, shippedCatalogue()).scene };
  const checked = check(scene, readings, setUp, uniform(scene.tolerance.seed));
  done();
  return answer(opened, readings, checked, options);
}

/** The plan resolved, and its text as it stands. Null where it was refused, which has then been said. */
async function open(named: PlanFile): Promise<Opened | null> {
  const read = await readPlanFile(named);
  if ('code' in read) return refuse(read);
  const { text, plan, findings, show } = read;
  const resolved = plan && resolve(plan, shippedCatalogue());
  const found = [...findings, ...(resolved?.findings ?? [])];
  const told = hasErrors(found) ? found : found.filter((finding) => !isCaution(finding));
  if (told.length > 0) await say(show(told));
  return plan && resolved?.scene && !hasErrors(found) ? { text, plan, scene: resolved.scene } : null;
}

/** With `-` for the plan that is the answer, and the page goes unsaid. */
async function answer(
  { text, plan, scene }: Opened,
  readings: Readings,
  checked: LineCheck,
  options: LineCheckOptions,
): Promise<0 | 2> {
  const { stdout, env } = process;
  const { output } = options;
  if (output !== undefined) {
    const fresh = newLevels(scene, plan, readings.rows, checked);
    const written = writeLevels(text, fresh.levels);
    if ((await deliver(written.text, output)) === 2) return 2;
    await sayWhatWasWritten(output, fresh.levels.length - written.left.length, [
      ...fresh.kept,
      ...written.left,
    ]);
    if (output === '-') return 0;
  }
  const page = { width: widthOf(stdout, env), colour: wantsColour(stdout, env), all: options.all === true };
  return deliver(options.json ? lineCheckJson(checked) : lineCheckText(checked, page), '-');
}

async function sayWhatWasWritten(output: string, count: number, kept: readonly string[]): Promise<void> {
  const where = output === '-' ? 'the plan' : output;
  const levels = `spillcheck: ${count} measured levels in ${where}, right in relation to one another`;
  const rest = kept.length === 0 ? '' : `; left as they are: ${kept.join(', ')}`;
  await say(`${visible(levels + rest)}\n`);
}
