/** `spillcheck why`: every way from one source to one microphone, with what each gains and loses. */
import { wantsColour, widthOf } from '../io/terminal.ts';
import { why as explain } from '../judge/why/why.ts';
import { askedFor } from '../judge/why/why-asked.ts';
import { lengthsIn } from '../plan/lengths.ts';
import { type WhyOptions as Page, whyText } from '../render/text/why.ts';
import { whyJson } from '../render/why-json.ts';
import { deliver, overwritesPlan } from './deliver.ts';
import { judgePlan } from './judge-plan.ts';
import { type PlanOptions, planFile } from './plan-file.ts';
import { refuse } from './refuse.ts';

export type WhyOptions = PlanOptions & {
  readonly mic: string;
  readonly source: string;
  readonly all?: true;
  readonly json?: true;
  readonly output: string;
};

/** Exit code: 0 done, 2 refused. */
export async function why(file: string, options: WhyOptions): Promise<0 | 2> {
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
function pageOf({ output, all }: WhyOptions): Omit<Page, 'lengths'> {
  const { stdout, env } = process;
  return {
    width: widthOf(output === '-' ? stdout : {}, env),
    colour: output === '-' && wantsColour(stdout, env),
    all: all === true,
  };
}
