/** Plans on the bench: read from words, computed, ready to be changed. Players and places are invented. */
import { readFileSync } from 'node:fs';
import { isFinding } from '../../src/finding.ts';
import { openPlan, type Session, sessionOf } from '../../src/judge/session.ts';
import { readPlan } from '../../src/plan/plan.ts';
import { applied } from '../../src/suggest/apply.ts';
import type { Fix } from '../../src/suggest/fixes.ts';
import { noStudio } from '../plan/plans.ts';
import { catalogue } from '../scene/resolved.ts';

export { catalogue };

/** A plan without fault. */
export async function onBench(text: string): Promise<Session> {
  const read = await readPlan(text, { name: 'plan.yaml', load: noStudio });
  const { open, findings } = openPlan(read, catalogue);
  if (!open) throw new Error(read.show(findings));
  return sessionOf(open);
}

/** The text of a plan with fixes made. */
export function textWith(text: string, base: Session, fixes: readonly Fix[]): string {
  const made = applied(text, base, fixes);
  if (isFinding(made)) throw new Error(made.message);
  return made.text;
}

export const fixture = (name: string, ending = 'yaml'): string =>
  readFileSync(new URL(`../../fixtures/${name}.${ending}`, import.meta.url), 'utf8');
