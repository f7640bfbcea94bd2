/** The way every command goes that needs a judged plan: read, validate, resolve, transfer, judge. */
import { transfer } from '../acoustics/transfer.ts';
import { type Finding, hasErrors } from '../finding.ts';
import { announce } from '../io/progress.ts';
import { readText } from '../io/read.ts';
import { unreadable } from '../io/refusal.ts';
import { say } from '../io/streams.ts';
import { studioLoader } from '../io/studio.ts';
import { judge } from '../judge/judge.ts';
import type { Report } from '../judge/report.ts';
import { readPlan } from '../plan/read.ts';
import type { Assumption } from '../scene/notes.ts';
import { resolve } from '../scene/resolve.ts';
import type { Scene } from '../scene/scene.ts';
import { shippedCatalogue } from '../shipped.ts';
import { refuse } from './refuse.ts';

export type JudgedPlan = { readonly report: Report; readonly assumptions: readonly Assumption[] };

/** `name` is what messages call the plan. Null where it was refused: why has then been said on standard error. */
export async function judgePlan(file: string, name: string): Promise<JudgedPlan | null> {
  const input = await readText(file);
  if ('problem' in input) return refuse(unreadable(name, input.problem));
  const { plan, findings, show } = await readPlan(input.text, { name, load: studioLoader(file) });
  const resolved = plan && resolve(plan, shippedCatalogue());
  const found = [...findings, ...(resolved?.findings ?? [])];
  if (hasErrors(found) || !resolved?.scene) {
    await say(show(found));
    return null;
  }
  const { scene, assumptions } = resolved;
  const told = found.filter((finding) => !isCaution(finding));
  if (told.length > 0) await say(show(told));
  return { report: compute(scene, found.filter(isCaution)), assumptions };
}

/** Sources times capsules from which computing takes more than about a third of a second. */
const LONG = 250;

function compute(scene: Scene, cautions: readonly Finding[]): Report {
  const [sources, capsules] = [scene.sources.length, scene.capsules.length];
  const done =
    sources * capsules < LONG ? () => {} : announce(`${sources} sources at ${capsules} microphones …`);
  const report = judge(scene, transfer(scene), cautions);
  done();
  return report;
}

/** Cautions about a plan that stands are part of the answer. */
const isCaution = ({ code }: Finding): boolean => code === 'CAUTION';
