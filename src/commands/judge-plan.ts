/** One plan judged, for the commands that answer about one; what is wrong with it is said. */
import type { Finding } from '../finding.ts';
import { say } from '../io/streams.ts';
import { examinePlan, isCaution, type Judged } from './examine-plan.ts';
import { refuse } from './refuse.ts';

/** `name` is what messages call the plan. Null where it was refused: why has then been said on standard error. */
export async function judgePlan(file: string, name: string): Promise<Judged | null> {
  const { findings, text, judged } = await examinePlan(file, name);
  const told = judged ? findings.filter((finding) => !isCaution(finding)) : findings;
  if (text && told.length > 0) await say(text.show(told));
  if (!text) await Promise.all(told.map((finding: Finding) => refuse(finding)));
  return judged;
}
