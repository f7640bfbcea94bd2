/** Plans on the bench: read from words, computed, ready to be changed. Players and places are invented. */
import { readFileSync } from 'node:fs';
import { readPlan } from '../../src/plan/read.ts';
import { resolve } from '../../src/scene/resolve.ts';
import { type Computed, computed } from '../../src/suggest/evaluate.ts';
import { noStudio } from '../plan/plans.ts';
import { catalogue } from '../scene/resolved.ts';

export { catalogue };

/** A plan without fault. */
export async function onBench(text: string): Promise<Computed> {
  const { plan, tree, findings, show } = await readPlan(text, { name: 'plan.yaml', load: noStudio });
  const scene = plan && resolve(plan, catalogue).scene;
  if (!plan || !scene) throw new Error(show(findings));
  return computed({ tree, plan, scene });
}

export const fixture = (name: string, ending = 'yaml'): string =>
  readFileSync(new URL(`../../fixtures/${name}.${ending}`, import.meta.url), 'utf8');
