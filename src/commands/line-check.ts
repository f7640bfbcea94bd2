/** `spillcheck line-check`: measured levels against the plan. */
import { lineCheckJson } from '../format/json.ts';
import { renderText } from '../format/text.ts';
import { announce, say } from '../io/terminal.ts';
import { lineCheck as check } from '../line-check/line-check.ts';
import { fittedLevels, writeLevels } from '../line-check/measured-levels.ts';
import type { PlanData } from '../plan/plan.ts';
import { lineCheckView } from '../report/line-check.ts';
import { resolve } from '../scene/resolve.ts';
import { uniform } from '../statistics.ts';
import { escapeControl } from '../text.ts';
import { deliver, overwrites, pageOf } from './output.ts';
import { type AnswerOptions, open, readsTwice } from './pipeline.ts';
import { readReadings } from './readings.ts';

export type LineCheckOptions = Omit<AnswerOptions, 'output'> & { readonly output?: string };

/** With `-` for the plan that is the answer, and the page is not shown. Exit code: 0 done, whatever was found; 2 refused. */
export async function runLineCheck(
  file: string,
  readingFiles: readonly string[],
  options: LineCheckOptions,
): Promise<0 | 2> {
  const { output } = options;
  if (await readsTwice([file], readingFiles)) return 2;
  const opened = await open(file, options);
  const readings = opened && (await readReadings(readingFiles, opened.scene));
  if (!opened || !readings || (output !== undefined && (await overwrites([output])))) return 2;
  const { plan, catalogue, scene, text } = opened;
  const { rows, columns } = readings;
  const done = announce(`testing for faults: ${rows.length} takes at ${columns.length} channels …`);
  const setUp = { plan, resolve: (other: PlanData) => resolve(other, catalogue).scene };
  const checked = check(scene, readings, setUp, uniform(scene.tolerance.seed));
  done();
  if (output !== undefined) {
    const fresh = fittedLevels(scene, plan, rows, checked);
    const written = writeLevels(text, fresh.levels);
    if ((await deliver(written.text, output)) === 2) return 2;
    const count = fresh.levels.length - written.left.length;
    await sayWhatWasWritten(output, count, [...fresh.kept, ...written.left]);
    if (output === '-') return 0;
  }
  const page = pageOf({ ...options, output: '-' });
  return deliver(options.json ? lineCheckJson(checked) : renderText(lineCheckView(checked, page), page), '-');
}

async function sayWhatWasWritten(output: string, count: number, kept: readonly string[]): Promise<void> {
  const where = output === '-' ? 'standard output' : output;
  const levels = `spillcheck: ${count} measured levels written to ${where} (relative levels)`;
  const rest = kept.length === 0 ? '' : `; unchanged: ${kept.join(', ')}`;
  await say(`${escapeControl(levels + rest)}\n`);
}
