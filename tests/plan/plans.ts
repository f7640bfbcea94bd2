/** Plans for tests: read from a text, from a fixture, or by the schema alone. */
import { readFileSync } from 'node:fs';
import { type Fault, readDocument } from '../../src/plan/document.ts';
import { type PlanData, planSchema, type ReadPlan, readPlan } from '../../src/plan/plan.ts';
import { readWith } from '../../src/plan/schema.ts';
import { readUncommon } from '../../src/plan/units.ts';

export const noStudio = async () => ({ problem: 'there is none' });

export const read = (text: string, name = 'plan.yaml'): Promise<ReadPlan> =>
  readPlan(text, { name, load: noStudio });

export const broken = (name: string): Promise<ReadPlan> =>
  read(readFileSync(new URL(`../../fixtures/broken/${name}.yaml`, import.meta.url), 'utf8'), `${name}.yaml`);

/** A plan with no regard to what is calculated yet; throws its faults, since the test meant it to be right. */
export async function schemaOf(text: string): Promise<Omit<PlanData, 'units'>> {
  const { value, faults } = await readBySchema(text);
  if (!value || faults.length > 0) throw new Error(JSON.stringify(faults));
  return value;
}

export async function faultsOf(text: string): Promise<readonly Fault[]> {
  return (await readBySchema(text)).faults;
}

async function readBySchema(text: string) {
  const { tree, findings } = readDocument({ name: 'plan.yaml', text });
  if (!tree || findings.length > 0) throw new Error(JSON.stringify(findings));
  await readUncommon(tree);
  return readWith(planSchema, tree);
}

/** Numbers to a hair, since 3 · 0.3048 is 0.9144 only to 1e-16; maps stay in order. */
export function rounded(value: unknown): unknown {
  if (typeof value === 'number') return Number(value.toFixed(9));
  if (value instanceof Map) return { entries: [...value].map(rounded) };
  if (Array.isArray(value)) return value.map(rounded);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, rounded(each)]));
}
