import { readFileSync } from 'node:fs';
import { Ajv } from 'ajv';
import { expect, test } from 'vitest';
import { checkJson } from '../../src/format/json.ts';
import type { Check } from '../../src/report/check.ts';
import { HOSTILE, hostile, limit, marginal, options, plan, week } from './check-plans.ts';

const schema = JSON.parse(
  readFileSync(new URL('../../shared/schemas/check.schema.json', import.meta.url), 'utf8'),
);
const validate = new Ajv({ allErrors: true, allowUnionTypes: true }).compile(schema);
const json = (check: Check) => checkJson(check, options);
const faults = (text: string) => (validate(JSON.parse(text)) ? [] : validate.errors);

test('every answer fits the published schema', () => {
  expect(faults(json(week))).toEqual([]);
  expect(faults(json(hostile))).toEqual([]);
  expect(faults(json({ plans: [], strict: true }))).toEqual([]);
});

test('the schema refuses a lost key, an unknown verdict and a text for a figure', () => {
  const broken = (change: (row: Record<string, unknown>) => void) => {
    const answer = JSON.parse(json(week));
    change(answer.plans[0].limits[0]);
    return validate(answer);
  };
  expect(broken((row) => delete row.text)).toBe(false);
  expect(broken((row) => Object.assign(row, { verdict: 'good' }))).toBe(false);
  expect(broken((row) => Object.assign(row, { margin_db: '-4' }))).toBe(false);
});

test('each plan has its outcome, each limit its place', () => {
  const { plans } = JSON.parse(json(week));
  expect(plans.map((one: { outcome: string }) => one.outcome)).toEqual([
    'missed',
    'invalid',
    'met',
    'invalid',
  ]);
  expect(plans[0].limits[0]).toMatchObject({
    unit: 'dB',
    margin_db: -4,
    missed: true,
    file: 'plans/monday.yaml',
    line: 12,
    column: 3,
  });
});

test('strict counts a limit met by a hair as missed', () => {
  const outcome = (strict: boolean) =>
    JSON.parse(json({ plans: [plan({ limits: [marginal] })], strict })).plans[0].outcome;
  expect([outcome(false), outcome(true)]).toEqual(['met', 'missed']);
});

test('what is not finite is null, and names come through as they are', () => {
  const plans = [plan({ limits: [limit({ reached: Number.NaN, margin: Number.POSITIVE_INFINITY })] })];
  expect(JSON.parse(json({ plans, strict: false })).plans[0].limits[0]).toMatchObject({
    value: null,
    margin_db: null,
  });
  expect(JSON.parse(json(hostile)).plans[0].limits[0].about).toEqual([HOSTILE]);
});
