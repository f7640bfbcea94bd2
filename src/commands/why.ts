/** `spillcheck why`: every path from one source to one microphone, with what each gains and loses. */
import { whyJson } from '../format/json.ts';
import { renderText } from '../format/text.ts';
import { askedFor, why as explain } from '../judge/why.ts';
import { lengthsIn } from '../plan/units.ts';
import { whyView } from '../report/why.ts';
import { deliver, overwrites, pageOf, refused } from './output.ts';
import { openJudged, type PlanOptions, planFile } from './pipeline.ts';

export type WhyCommandOptions = PlanOptions & {
  readonly mic: string;
  readonly source: string;
  readonly all?: true;
  readonly json?: true;
  readonly output: string;
};

/** Exit code: 0 done, 2 refused. */
export async function runWhy(file: string, options: WhyCommandOptions): Promise<0 | 2> {
  if (await overwrites([file], [options.output])) return 2;
  const judged = await openJudged(planFile(file, options));
  if (!judged) return 2;
  const asked = askedFor(judged.scene, options.mic, options.source);
  if ('code' in asked) return refused(asked);
  const told = explain(judged.scene, judged.result, judged.report, asked);
  const page = { ...pageOf(options), lengths: lengthsIn(judged.plan.units) };
  return deliver(options.json ? whyJson(told) : renderText(whyView(told, page), page), options.output);
}
