/** What the program takes, the plan's JSON Schema takes: an editor marks nothing that is right. */
import { fileURLToPath } from 'node:url';
import { Ajv } from 'ajv';
import { expect, test } from 'vitest';
import { parse } from 'yaml';
import { shelvesOf } from '../../src/catalogue/entries.ts';
import { hasErrors } from '../../src/finding.ts';
import { planJsonSchema } from '../../src/plan/json-schema.ts';
import { readPlan } from '../../src/plan/plan.ts';
import { resolve } from '../../src/scene/resolve.ts';
import { shippedCatalogue } from '../../src/shipped.ts';
import { inputAt, shelfOf } from '../fuzz/inputs.ts';
import { sized } from '../sized.ts';

const catalogue = shippedCatalogue();
const valid = new Ajv({ strict: false }).compile(planJsonSchema(shelvesOf(catalogue)));

/** Studios and tables lie where the plan's folder has them. */
const shelf = shelfOf(fileURLToPath(new URL('../../fixtures/', import.meta.url)));
const INPUTS = sized(150, 800);

test(`of ${INPUTS} plans at random, sound and unsound, none that stands is refused`, async () => {
  let [taken, refused] = [0, 0];
  for (let index = 0; index < INPUTS; index++) {
    const { path, bytes } = inputAt(shelf, 1, index);
    const text = new TextDecoder().decode(bytes);
    const folder = path.slice(0, path.lastIndexOf('/') + 1);
    const load = async (name: string) => {
      const found = shelf.read(folder + name);
      return found.length > 0 ? { text: new TextDecoder().decode(found) } : { problem: 'it is not there' };
    };
    const { plan, findings } = await readPlan(text, { name: path, load });
    const stands = plan !== null && !hasErrors([...findings, ...resolve(plan, catalogue).findings]);
    if (!stands) {
      refused++;
      continue;
    }
    taken++;
    valid(parse(text));
    const errors = (valid.errors ?? []).map((error) => `${error.instancePath} ${error.message}`);
    expect({ index, errors: errors.slice(0, 5) }).toEqual({ index, errors: [] });
  }
  expect(Math.min(taken, refused)).toBeGreaterThan(INPUTS / 10);
}, 120_000);
