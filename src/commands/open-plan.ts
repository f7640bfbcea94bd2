/** A plan read and resolved together with what was written, for the commands that change or compare plans. */
import { hasErrors } from '../finding.ts';
import { say } from '../io/streams.ts';
import type { From } from '../plan/file-path.ts';
import type { PlanData } from '../plan/plan.ts';
import type { MapNode } from '../plan/tree.ts';
import { resolve } from '../scene/resolve.ts';
import type { Scene } from '../scene/scene.ts';
import { shippedCatalogue } from '../shipped.ts';
import { type PlanFile, readPlanFile } from './plan-file.ts';
import { refuse } from './refuse.ts';

export type OpenPlan = {
  readonly from: From;
  readonly text: string;
  /** As written, laid over its studio. */
  readonly tree: MapNode;
  readonly plan: PlanData;
  readonly scene: Scene;
};

/** Null where it was refused: why has then been said on standard error. */
export async function openPlan(named: PlanFile): Promise<OpenPlan | null> {
  const read = await readPlanFile(named);
  if ('code' in read) return refuse(read);
  const { text, plan, tree, findings, show } = read;
  const resolved = plan && resolve(plan, shippedCatalogue());
  const all = [...findings, ...(resolved?.findings ?? [])];
  const told = all.filter(({ code }) => code !== 'CAUTION');
  if (told.length > 0) await say(show(told));
  if (hasErrors(all) || !plan || !resolved?.scene) return null;
  return { from: named.from, text, tree, plan, scene: resolved.scene };
}
