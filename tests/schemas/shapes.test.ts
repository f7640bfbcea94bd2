/** The shapes of JSON that ship: each has a name of its own, by which the others find it, and lists what the code has. */
import { readdirSync, readFileSync } from 'node:fs';
import { Ajv } from 'ajv';
import { expect, test } from 'vitest';
import { CRITERIA } from '../../src/judge/criteria.ts';
import { PITFALL_KINDS } from '../../src/judge/pitfalls.ts';
import { GAIN_KINDS } from '../../src/transfer/trace.ts';

const FOLDER = new URL('../../shared/schemas/', import.meta.url);
const FILES = readdirSync(FOLDER).filter((name) => name.endsWith('.json'));
const read = (name: string) => JSON.parse(readFileSync(new URL(name, FOLDER), 'utf8'));

test('each has its own name as $id, and finds every part that it names by the names of the others', () => {
  expect(FILES.length).toBeGreaterThan(10);
  const ajv = new Ajv({ strict: false });
  for (const name of FILES) {
    expect(read(name).$id).toBe(`https://spillcheck.example/schemas/${name}`);
    ajv.addSchema(read(name));
  }
  for (const name of FILES) expect(ajv.getSchema(read(name).$id)).toBeTypeOf('function');
});

/** Every list of words below. */
function* enumsIn(value: unknown): Generator<readonly unknown[]> {
  if (typeof value !== 'object' || value === null) return;
  if ('enum' in value && Array.isArray(value.enum)) yield value.enum;
  for (const each of Object.values(value)) yield* enumsIn(each);
}

test.each([
  ['why.schema.json', GAIN_KINDS],
  ['report.schema.json', PITFALL_KINDS],
  ['check.schema.json', CRITERIA.map(({ kind }) => kind)],
])('%s lists every kind that there is', (name, kinds) => {
  const lists = [...enumsIn(read(name))].filter((each) => each.includes(kinds[0]) && each.includes(kinds[1]));
  expect(lists.length).toBeGreaterThan(0);
  for (const list of lists) expect(list).toEqual(expect.arrayContaining([...kinds]));
});
