/** `spillcheck why`: every way from one source to one microphone, with what each gains and loses. */

import { whyJson } from '../format/json.ts';
import { wantsColour, widthOf } from '../io/terminal.ts';
import { askedFor, why as explain } from '../judge/why.ts';
import { lengthsIn } from '../plan/units.ts';
import { type WhyOptions as Page, whyText } from '../report/why.ts';
import { deliver, judgePlan, overwritesPlan, type PlanOptions, planFile, refuse } from './pipeline.ts';

export type WhyCommandOptions = PlanOptions & {
  readonly mic: string;
  readonly source: string;
  readonly all?: true;
  readonly json?: true;
  readonly output: string;
};

/** Exit code: 0 done, 2 refused. */
export async function runWhy(file: string, options: WhyCommandOptions): Promise<0 | 2> {
  if (await overwritesPlan(file, options.output)) return 2;
  const judged = await judgePlan(planFile(file, options));
  if (!judged) return 2;
  const { scene, result, report, units } = judged;
  const asked = askedFor(scene, options.mic, options.source);
  if ('code' in asked) {
    await refuse(asked);
    return 2;
  }
  const told = explain(scene, result, report, asked);
  return deliver(
    options.json ? whyJson(told) : whyText(told, { ...pageOf(options), lengths: lengthsIn(units) }),
    options.output,
  );
}

/** A file gets neither colour nor the terminal's width. */
function pageOf({ output, all }: WhyCommandOptions): Omit<Page, 'lengths'> {
  const { stdout, env } = process;
  return {
    width: widthOf(output === '-' ? stdout : {}, env),
    colour: output === '-' && wantsColour(stdout, env),
    all: all === true,
  };
}
