/** The straight line every plan goes: read, validate, resolve, transfer, judge; with all that was found on the way. */
import { type Transfer, transfer } from '../acoustics/transfer.ts';
import { type Finding, hasErrors } from '../finding.ts';
import { announce } from '../io/progress.ts';
import { judge } from '../judge/judge.ts';
import type { Report } from '../judge/report.ts';
import type { ToldReadings } from '../judge/told-readings.ts';
import { laidOver } from '../linecheck/lay-over.ts';
import type { PlanData } from '../plan/plan.ts';
import type { ReadPlan } from '../plan/read.ts';
import type { LengthUnit, MapNode } from '../plan/tree.ts';
import type { Assumption } from '../scene/notes.ts';
import { resolve } from '../scene/resolve.ts';
import type { Scene } from '../scene/scene.ts';
import { shippedCatalogue } from '../shipped.ts';
import { dayFrom } from './line-check-day.ts';
import { type PlanFile, readPlanFile } from './plan-file.ts';

export type Examined = {
  readonly findings: readonly Finding[];
  /** Where in the text things stand; null where there was no text to be had. */
  readonly text: Pick<ReadPlan, 'locate' | 'spotOf' | 'show'> | null;
  /** Null where there is an error among the findings, or readings were refused. */
  readonly judged: Judged | null;
  /** Readings of the day were refused, which has been said on standard error. */
  readonly refused?: true;
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
  /** The readings it was judged by; null where there are none. */
  readonly readings: ToldReadings | null;
  /** Lays them over the scene of another plan. */
  readonly lay?: (scene: Scene) => Scene;
};

/** With `readings` it is judged as it was measured. */
export async function examinePlan(named: PlanFile, readings: readonly string[] = []): Promise<Examined> {
  const read = await readPlanFile(named);
  if ('code' in read) return { findings: [read], text: null, judged: null };
  const { plan, tree, findings, ...text } = read;
  const resolved = plan && resolve(plan, shippedCatalogue());
  const found = [...findings, ...(resolved?.findings ?? [])];
  if (hasErrors(found) || !plan || !resolved?.scene) return { findings: found, text, judged: null };
  const day = readings.length > 0 ? await dayFrom(readings, resolved.scene) : null;
  if (readings.length > 0 && !day) return { findings: found, text, judged: null, refused: true };
  const lay = day && ((scene: Scene) => laidOver(scene, day));
  const scene = lay ? lay(resolved.scene) : resolved.scene;
  const told = day && { ...day.told, files: readings };
  const computed = compute(scene, found.filter(isCaution));
  const judged = {
    ...{ tree, plan, units: plan.units, ...computed },
    assumptions: resolved.assumptions,
    readings: told,
    ...(lay && { lay }),
  };
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
