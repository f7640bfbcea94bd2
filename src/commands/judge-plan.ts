/** One plan judged, for the commands that answer about one; what is wrong with it is said. */
import { withEdits } from '../advise/set-value.ts';
import type { Finding } from '../finding.ts';
import { say } from '../io/streams.ts';
import { judge } from '../judge/judge.ts';
import { examinePlan, isCaution, type Judged } from './examine-plan.ts';
import { readsTwice } from './line-check-day.ts';
import type { PlanFile } from './plan-file.ts';
import { refuse } from './refuse.ts';
import { unknownName } from './unknown-name.ts';

/**
 * With a `passage` it alone is judged. Null where it was refused: why has then been said
 * on standard error.
 */
export async function judgePlan(
  named: PlanFile,
  { passage, readings = [] }: { readonly passage?: string; readonly readings?: readonly string[] } = {},
): Promise<Judged | null> {
  if (await readsTwice([named.file], readings)) return null;
  const { findings, text, judged } = await examinePlan(named, readings);
  const told = judged ? findings.filter((finding) => !isCaution(finding)) : findings;
  if (text && told.length > 0) await say(text.show(told));
  if (!text) await Promise.all(told.map((finding: Finding) => refuse(finding)));
  return judged && passage !== undefined ? inPassage(judged, passage, findings.filter(isCaution)) : judged;
}

/** Judged as if the plan had this passage alone; energies are the same in all. */
async function inPassage(judged: Judged, name: string, cautions: readonly Finding[]): Promise<Judged | null> {
  const passage = judged.scene.passages.find((one) => one.name === name);
  if (!passage) {
    const known = judged.scene.passages.flatMap((one) => one.name ?? []);
    return refuse(unknownName('--passage', { what: 'passage', name, known }));
  }
  const others = judged.scene.passages.filter((one) => one !== passage);
  const tree = withEdits(
    judged.tree,
    others.map(({ path }) => ({ path, value: null })),
  );
  const scene = { ...judged.scene, passages: [passage] };
  const result = { ...judged.result, stage: { ...judged.result.stage, scene } };
  return { ...judged, tree, scene, result, report: judge(scene, result, cautions) };
}
