/** SARIF against the schema of OASIS: tests/schemas/README.md says where it is from. */
import { readFileSync } from 'node:fs';
import { Ajv } from 'ajv';
import { describe, expect, test } from 'vitest';
import { sarif } from '../../src/format/check.ts';
import { HOSTILE, hostile, limit, marginal, options, plan, week } from './check-plans.ts';

/** Draft 4 in nothing but its name: it uses no word whose meaning has changed since, once `id` and `$schema` are gone. */
const { $schema, id, ...schema } = JSON.parse(
  readFileSync(new URL('../schemas/sarif-2.1.0.json', import.meta.url), 'utf8'),
);
const RELATIVE = /^(?!\/)(?:[\w.~!$&'()*+,;=@/-]|%[\dA-F]{2})+$/;
const validate = new Ajv({
  allErrors: true,
  strict: false,
  unicodeRegExp: false,
  formats: { uri: /^[a-z]+:\/\//, 'uri-reference': RELATIVE, 'date-time': true },
}).compile(schema);
const faults = (text: string) => (validate(JSON.parse(text)) ? [] : validate.errors);
const resultsOf = (text: string) => JSON.parse(text).runs[0].results;

test('the schema is that of SARIF 2.1.0', () => {
  expect([$schema, id]).toEqual([
    expect.stringContaining('draft-04'),
    expect.stringContaining('sarif-2.1.0'),
  ]);
});

test('every answer fits the schema', () => {
  expect(faults(sarif(week, options))).toEqual([]);
  expect(faults(sarif(hostile, options))).toEqual([]);
  expect(faults(sarif({ plans: [], strict: false }, options))).toEqual([]);
});

test('the schema refuses a lost message, a stranger, a line 0 and a bare colon in a path', () => {
  const broken = (from: string, to: string) => faults(sarif(week, options).replace(from, to));
  expect(broken('"message"', '"massage"')).not.toEqual([]);
  expect(broken('"level": "error"', '"level": "bad"')).not.toEqual([]);
  expect(broken('"startLine": 12', '"startLine": 0')).not.toEqual([]);
  expect(broken('"uri": "plans/', '"uri": "a: /')).not.toEqual([]);
});

test('results are what is missed, marginal, not judged or broken, each with its rule and place', () => {
  const { tool, results } = JSON.parse(sarif(week, options)).runs[0];
  const ids = tool.driver.rules.map((rule: { id: string }) => rule.id);
  expect(results.map((one: { ruleId: string; level: string }) => [one.ruleId, one.level])).toEqual([
    ['signal-to-bleed', 'error'],
    ['signal-to-bleed', 'warning'],
    ['signal-to-bleed', 'note'],
    ['MISSING_KEY', 'error'],
    ['FILE_UNREADABLE', 'error'],
  ]);
  for (const { ruleId, ruleIndex } of results) expect(ids[ruleIndex]).toBe(ruleId);
  expect(results[0].locations[0].physicalLocation).toEqual({
    artifactLocation: { uri: 'plans/monday.yaml' },
    region: { startLine: 12, startColumn: 3 },
  });
  expect(results[4].locations[0].physicalLocation.region).toBeUndefined();
});

test('strict makes an error of a limit met by a hair', () => {
  const plans = [plan({ limits: [marginal] })];
  expect(resultsOf(sarif({ plans, strict: true }, options))[0].level).toBe('error');
});

describe('hostile names', () => {
  test('come through in messages as they are', () => {
    const [missed] = resultsOf(sarif(hostile, options));
    expect(missed.message.text).toContain(HOSTILE);
  });

  test.each([
    ['a b/c#d?.yaml', 'a%20b/c%23d%3F.yaml'],
    ['a:b.yaml', 'a%3Ab.yaml'],
    ['100%/é🎤.yaml', '100%25/%C3%A9%F0%9F%8E%A4.yaml'],
    ['../x.yaml', '../x.yaml'],
  ])('%s is the relative URI %s (RFC 3986, 2.1 and 4.2)', (file, uri) => {
    const plans = [plan({ limits: [limit({ place: { file, line: 1, column: 1 } })] })];
    const [result] = resultsOf(sarif({ plans, strict: false }, options));
    expect(result.locations[0].physicalLocation.artifactLocation.uri).toBe(uri);
  });
});
