/** What the program takes, the plan's JSON Schema takes, and what is amiss in a plan's own keys and values the schema sees, too. */
import { fileURLToPath } from 'node:url';
import { Ajv } from 'ajv';
import { expect, test } from 'vitest';
import { parse } from 'yaml';
import { shelvesOf } from '../../src/catalogue/entries.ts';
import { type Finding, hasErrors } from '../../src/finding.ts';
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
const INPUTS = sized(100, 2000);

/** Errors of keys and values; ranges depend on the units of the file, names and places on the rest of the plan. */
const OF_SHAPE: ReadonlySet<string> = new Set(['UNKNOWN_KEY', 'WRONG_TYPE', 'MISSING_KEY', 'BAD_VALUE']);
/** What one value makes of another, and what only arithmetic sees, no schema says. */
const BEYOND =
  /has no effect on a DI|inputs?, but a (?:pair|single mic)|needs a source, but the mic is for|must be a finite number/;

const isOfShape = ({ code, message }: Finding): boolean => OF_SHAPE.has(code) && !BEYOND.test(message);

async function read(index: number) {
  const { path, bytes } = inputAt(shelf, 1, index);
  const text = new TextDecoder().decode(bytes);
  const folder = path.slice(0, path.lastIndexOf('/') + 1);
  const load = async (name: string) => {
    const found = shelf.read(folder + name);
    return found.length > 0 ? { text: new TextDecoder().decode(found) } : { problem: 'it is not there' };
  };
  const { plan, findings } = await readPlan(text, { name: path, load });
  const stands = plan !== null && !hasErrors([...findings, ...resolve(plan, catalogue).findings]);
  const isYaml = !findings.some(({ code }) => code === 'PLAN_SYNTAX' || code === 'PLAN_VERSION');
  return { text, stands, wrong: isYaml ? findings.filter(isOfShape) : [] };
}

test(`of ${INPUTS} plans at random, sound and unsound, none that stands is refused, and none that is misshapen is taken`, async () => {
  const counts = { taken: 0, misshapen: 0 };
  for (let index = 0; index < INPUTS; index++) {
    const { text, stands, wrong } = await read(index);
    if (!stands && wrong.length === 0) continue;
    const data = parse(text, { logLevel: 'silent' });
    const isValid = valid(data);
    const errors = (valid.errors ?? []).map((error) => `${error.instancePath} ${error.message}`);
    if (stands) {
      counts.taken++;
      expect({ index, errors: errors.slice(0, 5) }).toEqual({ index, errors: [] });
    } else if (data?.studio === undefined) {
      // over a studio the schema cannot know what the studio has
      counts.misshapen++;
      expect({ index, isValid, wrong: wrong[0]?.message }).toEqual({
        index,
        isValid: false,
        wrong: wrong[0]?.message,
      });
    }
  }
  expect(Math.min(counts.taken, counts.misshapen)).toBeGreaterThan(INPUTS / 20);
});

test.each([
  ['mics: {m: {for: s, at: [1, 1], near: ~}}', true],
  ['mics: {m: {for: s, near: {distance: 30 cm}, at: ~}}', false],
  ['mics: {m: {for: s, near: ~}}', false],
  ['mics: {m: {for: s, near: {distance: 30 cm, above: 10 cm, below: ~}}}', false],
  ['rooms: {r: {size: [3, 4], outline: ~, height: 3}}', false],
  ['rooms: {r: {size: ~, height: 3}}', false],
  ['players: {p: {at: [2, 1], plays: tuba, parts: ~}}', true],
  ['mics: {m: {for: s, at: [1, 1], aim: ~, null-at: s}}', false],
  ['limits: ~', true],
])('%s: ~ is nothing to both, where a heading may hold nothing', async (entry, isGood) => {
  const source = entry.startsWith('rooms') ? '' : 'sources: {s: {at: [0, 0], instrument: tuba}}\n';
  const text = `spillcheck: 1\n${source}${entry}\n`;
  const { findings } = await readPlan(text, { name: 'x.yaml' });
  expect([!hasErrors(findings), valid(parse(text))]).toEqual([isGood, isGood]);
});
