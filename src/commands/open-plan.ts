/** A plan read and resolved together with what was written, for the commands that change or compare plans. */
import { hasErrors } from '../finding.ts';
import { readText } from '../io/read.ts';
import { unreadable } from '../io/refusal.ts';
import { say } from '../io/streams.ts';
import { studioLoader } from '../io/studio.ts';
import type { PlanData } from '../plan/plan.ts';
import { readPlan } from '../plan/read.ts';
import type { MapNode } from '../plan/tree.ts';
import { resolve } from '../scene/resolve.ts';
import type { Scene } from '../scene/scene.ts';
import { shippedCatalogue } from '../shipped.ts';
import { refuse } from './refuse.ts';

export type OpenPlan = {
  readonly name: string;
  readonly text: string;
  /** As written, laid over its studio. */
  readonly tree: MapNode;
  readonly plan: PlanData;
  readonly scene: Scene;
};

/** `name` is what messages call the plan. Null where it was refused: why has then been said on standard error. */
export async function openPlan(file: string, name: string): Promise<OpenPlan | null> {
  const input = await readText(file);
  if ('problem' in input) return refuse(unreadable(name, input.problem));
  const { plan, tree, findings, show } = await readPlan(input.text, { name, load: studioLoader(file) });
  const resolved = plan && resolve(plan, shippedCatalogue());
  const all = [...findings, ...(resolved?.findings ?? [])];
  const told = all.filter(({ code }) => code !== 'CAUTION');
  if (told.length > 0) await say(show(told));
  if (hasErrors(all) || !plan || !resolved?.scene) return null;
  return { name, text: input.text, tree, plan, scene: resolved.scene };
}
