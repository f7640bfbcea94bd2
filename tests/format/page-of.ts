/** The report's page of a plan given as text. */

import { reportPage } from '../../src/format/html.ts';
import { guesses } from '../../src/judge/guesses.ts';
import { judge } from '../../src/judge/judge.ts';
import { pitfalls } from '../../src/judge/pitfalls.ts';
import { readPlan } from '../../src/plan/plan.ts';
import { lengthsIn } from '../../src/plan/units.ts';
import type { Answer } from '../../src/report/answer.ts';
import { resolve } from '../../src/scene/resolve.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { catalogue } from '../scene/resolved.ts';

/** A drawing as `draw` gives one: one style, classes, names of its own. */
export const DRAWING = `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="20mm" viewBox="0 0 40 20" role="img" aria-labelledby="title desc">
<title id="title">Plan</title><desc id="desc">A square.</desc><style>.drawn{fill:#123456}</style>
<rect class="drawn" x="5" y="5" width="10" height="10"/>
</svg>
`;

/** `change` puts words into the answer that a plan could not hold. */
export async function pageOf(
  text: string,
  change: (answer: Answer) => Answer = (same) => same,
): Promise<string> {
  const load = async () => ({ problem: 'there is none' });
  const { plan, findings, show } = await readPlan(text, { name: 'plan.yaml', load });
  const resolved = plan && resolve(plan, catalogue);
  const scene = resolved?.scene;
  if (!plan || !scene) throw new Error(show([...findings, ...(resolved?.findings ?? [])]));
  const result = transfer(scene);
  const lengths = lengthsIn(plan.units);
  const report = judge(scene, result);
  const answer: Answer = {
    ...report,
    now: null,
    pitfalls: pitfalls(scene, result, report, lengths),
    guesses: guesses(scene, result, report),
    facings: [],
    tolerances: null,
    passage: null,
    assumptions: resolved.assumptions,
    readings: null,
  };
  return reportPage(change(answer), DRAWING, lengths);
}
