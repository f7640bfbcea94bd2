/** The straight line every plan goes: read, validate, resolve, transfer, judge; with all that was found on the way. */
import { type Transfer, transfer } from '../acoustics/transfer.ts';
import { type Finding, hasErrors } from '../finding.ts';
import { announce } from '../io/progress.ts';
import { judge } from '../judge/judge.ts';
import type { Report } from '../judge/report.ts';
import type { PlanData } from '../plan/plan.ts';
import type { ReadPlan } from '../plan/read.ts';
import type { LengthUnit, MapNode } from '../plan/tree.ts';
import type { Assumption } from '../scene/notes.ts';
import { resolve } from '../scene/resolve.ts';
import type { Scene } from '../scene/scene.ts';
import { shippedCatalogue } from '../shipped.ts';
import { type PlanFile, readPlanFile } from './plan-file.ts';

export type Examined = {
  readonly findings: readonly Finding[];
  /** Where in the text things stand; null where there was no text to be had. */
  readonly text: Pick<ReadPlan, 'locate' | 'spotOf' | 'show'> | null;
  /** Null where there is an error among the findings. */
  readonly judged: Judged | null;
};

export type Judged = {
  /** As written, laid over its studio. */
  readonly tree: MapNode;
  readonly plan: PlanData;
  /** What the plan's own bare lengths count in. */
  readonly units: LengthUnit;
  readonly scene: Scene;
  readonly result: Transfer;
  readonly report: Report;
  readonly assumptions: readonly Assumption[];
};

export async function examinePlan(named: PlanFile): Promise<Examined> {
  const read = await readPlanFile(named);
  if ('code' in read) return { findings: [read], text: null, judged: null };
  const { plan, tree, units, findings, ...text } = read;
  const resolved = plan && resolve(plan, shippedCatalogue());
  const found = [...findings, ...(resolved?.findings ?? [])];
  if (hasErrors(found) || !plan || !resolved?.scene) return { findings: found, text, judged: null };
  const { scene, assumptions } = resolved;
  const judged = { tree, plan, units, ...compute(scene, found.filter(isCaution)), assumptions };
  return { findings: found, text, judged };
}

/** Sources times capsules from which computing takes more than about a third of a second; drawing always does. */
const LONG = 250;

function compute(scene: Scene, cautions: readonly Finding[]): Pick<Judged, 'scene' | 'result' | 'report'> {
  const [sources, capsules] = [scene.sources.length, scene.capsules.length];
  const isLong = sources * capsules >= LONG || scene.limits.confidence !== null;
  const done = isLong ? announce(`${sources} sources at ${capsules} microphones …`) : () => {};
  const result = transfer(scene);
  const report = judge(scene, result, cautions);
  done();
  return { scene, result, report };
}

/** Cautions about a plan that stands are part of the answer. */
export const isCaution = ({ code }: Finding): boolean => code === 'CAUTION';
