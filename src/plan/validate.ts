/** What was written to a plan, with every fault of shape, unit, range and name. Names are looked up later. */
import type { Finding, Path } from '../finding.ts';
import { namesOf } from './names.ts';
import type { PlanData } from './plan.ts';
import { planSchema } from './schema.ts';
import { type Fault, readWith } from './schema-frame.ts';
import { type MapNode, shown, unitsOf } from './tree.ts';
import { visible } from './visible.ts';

/** `whole` is the plan laid over its studio. */
export function validate(whole: MapNode): { plan: PlanData | null; findings: Finding[] } {
  const { value = null, faults } = readWith(planSchema, whole);
  const findings = [...faults, ...namesOf(whole)].map(findingOf);
  const plan = findings.length > 0 ? null : value;
  return { plan: plan && { ...plan, units: unitsOf(whole) }, findings };
}

/** Findings may be printed anywhere: nothing that steers a terminal leaves here. */
export function findingOf({ code, message, mend, path = [] }: Fault): Finding {
  const finding = { code, severity: 'error', path, message: visible(`${subject(path)} ${message}`) } as const;
  return mend === undefined ? finding : { ...finding, mend: visible(mend) };
}

/** A path as one says it: mics.main.at[2]. */
function subject(path: Path): string {
  const steps = path.map((step) => (typeof step === 'number' ? `[${step}]` : `.${shown(step)}`));
  return steps.join('').replace(/^\./, '') || 'the plan';
}
