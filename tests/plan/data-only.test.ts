/** A plan is data: whatever stands in it, none of it is run, and nothing outside it changes. */
import { expect, test } from 'vitest';
import { openPlan, sessionOf } from '../../src/judge/session.ts';
import { readTable } from '../../src/line-check/readings.ts';
import { uncommon } from '../../src/plan/units.ts';
import { resolve } from '../../src/scene/resolve.ts';
import { shippedCatalogue } from '../../src/shipped.ts';
import { axisOf } from '../../src/suggest/sweep.ts';
import { cpuTime } from '../cpu-time.ts';
import { read } from './plans.ts';

/** What a calculator would work out, and a program run. */
const EXPRESSIONS = [
  '1 m; import({a: 1})',
  '1 import("fs", {})',
  'import("node:fs")',
  'require("fs")',
  'process.exit()',
  'globalThis.hit = 1',
  'f(x) = x m',
  'cos(0) m',
  'sqrt(4) m',
  '1 m + 2 m',
  '2^3 m',
  '3 m to ft',
  '1 createUnit("foo")',
  '1 evaluate("2")',
  '1 cat.constructor.constructor("return 1")()',
  '1 constructor',
  '1 __proto__',
  '1 toString',
  '1 hasOwnProperty',
  '#{1} m',
  '`1` m',
  '[1, 2][1] m',
  '(1) m',
];

test.each(EXPRESSIONS)('%s is no quantity', async (text) => {
  expect(await uncommon(text)).toBeNull();
  const { plan, findings } = await read(
    `spillcheck: 1\nrooms:\n  hall: {size: [9, 7], height: ${JSON.stringify(text)}}\n`,
  );
  expect(plan).toBeNull();
  expect(findings).toMatchObject([{ code: 'BAD_VALUE', path: ['rooms', 'hall', 'height'] }]);
});

test('a unit made of a hundred thousand letters is refused in no time, a hundred thousand digits too', async () => {
  const took = await cpuTime(async () => {
    for (const text of [
      `1 ${'m'.repeat(100_000)}`,
      `1 m^${'9'.repeat(100_000)}`,
      `${'1'.repeat(100_000)} furlong`,
    ]) {
      const { findings } = await read(`spillcheck: 1\nrooms:\n  hall: {size: [9, 7], height: ${text}}\n`);
      expect(findings).toMatchObject([{ code: expect.stringMatching(/^BAD_/) }]);
    }
  });
  expect(took).toBeLessThan(2000);
});

/** What every object of the language has from birth: `in` and plain look-ups find it where a plan wrote nothing. */
const INBORN = Object.getOwnPropertyNames(Object.prototype);
const OWN = [...INBORN];
const untouched = () => {
  expect(Object.getOwnPropertyNames(Object.prototype)).toEqual(OWN);
  expect(({} as Record<string, unknown>).polluted).toBeUndefined();
};

test.each(['__proto__', 'constructor', 'prototype'])(
  '%s is refused as a key and as a name, wherever it stands',
  async (key) => {
    const inside = `{${key}: {polluted: 1}}`;
    for (const text of [
      `${key}: {polluted: 1}`,
      `rooms: ${inside}`,
      `mics: {m: ${inside}}`,
      `players: {p: {at: [1, 1], plays: ${inside}}}`,
      `rooms: {r: {size: [1, 1], height: 3, contents: ${inside}, floor: ${inside}}}`,
      `limits: {hear: ${inside}, ghost: ${inside}}`,
      `a: &x ${inside}\nb: *x`,
    ]) {
      const { plan, findings } = await read(`spillcheck: 1\n${text}\n`);
      expect(plan).toBeNull();
      expect(
        findings.some(({ message }) => message.includes(`\`${key}\` is not allowed as a name or key`)),
      ).toBe(true);
    }
    untouched();
  },
);

test.each(INBORN.filter((name) => !['__proto__', 'constructor'].includes(name)))(
  'where a catalogue or the format is asked for %s, it has none',
  async (word) => {
    const { findings } = await read(
      `spillcheck: 1\n${word}: 1\nmics: {m: {for: all, at: [1, 1, 1], ${word}: 1}}\n`,
    );
    expect(findings.map(({ code }) => code)).toEqual(['UNKNOWN_KEY', 'UNKNOWN_KEY']);
    const { plan } = await read(
      `spillcheck: 1\nrooms: {r: {size: [9, 9], height: 3, floor: ${word}, contents: {${word}: 2}}}\nplayers: {p: {at: [1, 1], plays: ${word}}}\nmics: {m: {for: p, at: [2, 2, 1], pattern: ${word}}}\n`,
    );
    const found = plan && resolve(plan, shippedCatalogue()).findings;
    expect(found?.map(({ code }) => code)).toEqual(
      Array.from({ length: found?.length ?? 0 }, () => 'UNKNOWN_NAME'),
    );
    expect(found?.length).toBeGreaterThanOrEqual(3);
  },
);

test('such words are names like others where a plan gives them', async () => {
  const { plan, findings } = await read(
    'spillcheck: 1\nplayers:\n  toString: {at: [1, 1], plays: cornet}\n  valueOf: {at: [3, 1], plays: tuba}\nmics:\n  hasOwnProperty: {for: toString, near: {distance: 0.3}}\npassages: {isPrototypeOf: [toString, valueOf]}\nlimits: {signal-to-bleed: {hasOwnProperty: 10}}\n',
  );
  expect(findings).toEqual([]);
  const { scene, findings: more } = plan ? resolve(plan, shippedCatalogue()) : { scene: null, findings: [] };
  expect(more.filter(({ severity }) => severity === 'error')).toEqual([]);
  expect(scene?.mics[0]).toMatchObject({ name: 'hasOwnProperty', limit: 10 });
  untouched();
});

test('paths and values of trials, and names in readings, are data too', async () => {
  const { plan, tree } = await read(
    'spillcheck: 1\nplayers:\n  p: {at: [1, 1], plays: cornet}\nmics:\n  m: {for: p, near: {distance: 0.3}}\n',
  );
  for (const text of [
    '__proto__.polluted=1',
    'mics.__proto__.polluted=1',
    'mics.m.constructor=1',
    'mics.m.near.toString=1',
  ])
    expect(await axisOf(text, tree)).toMatchObject({ code: 'UNKNOWN_NAME' });
  const axis = await axisOf('mics.m.near.distance=1 m; import("x"), cos(0) m', tree);
  expect(axis).toMatchObject({ values: expect.anything() });
  const { open } = openPlan({ tree, plan, findings: [] }, shippedCatalogue());
  if (open) expect(sessionOf(open).result.energy.length).toBeGreaterThan(0);
  const { findings } = readTable('played,__proto__,constructor\n__proto__,80,70\nconstructor,1,2\n', 'r.csv');
  expect(findings).toEqual([]);
  untouched();
});
