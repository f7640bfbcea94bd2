/** Plans torn at random: whatever is written, the answer is a plan of finite numbers or findings that can be shown. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { sized } from '../sized.ts';
import { read } from './plans.ts';

const PLAN = `spillcheck: 1
units: ft
rooms:
  hall: {size: [30, 20], height: 12, floor: wood, walls: {top: felt}, patches: {rug: {on: 0, finish: {125: 0.1}, area: 6}}}
players:
  tuba: {at: [2, 4], facing: singer, plays: tuba, later: leave}
  singer: {at: [10, 2], plays: {voice: {instrument: singing-voice, level: 82 dBA at 1 m}}}
sources:
  amp: {instrument: amp, at: &here [1, 1, 0.4], directivity: {Q: 2}, player: {at: [3, 3]}}
mics:
  m: {for: [voice, amp], near: {distance: 20 cm, above: 2 in}, pattern: {A: 0.5}}
  n: {for: all, at: *here, aim: {bearing: 20, tilt: -10}, stereo: {spaced: 3 ft}}
limits: {signal-to-bleed: {m: 20 dB}, three-to-one: true}
`;

const SHARDS = [
  '',
  ' ',
  '\n',
  ':',
  '{',
  '}',
  '[',
  ']',
  ',',
  '-',
  '~',
  '.nan',
  '1e999',
  '&a ',
  '*here',
  '!!x ',
  '"',
  "'",
  '\t',
  '#',
  '|',
  '>',
  '%',
  '?',
  '\u0000',
  '\ud800',
  '9',
];

const onlyFinite = (value: unknown): boolean => {
  if (typeof value === 'number') return Number.isFinite(value);
  if (value instanceof Map) return [...value.values()].every(onlyFinite);
  return typeof value !== 'object' || value === null || Object.values(value).every(onlyFinite);
};

test('a plan torn in up to four places is read, or its faults are shown at places it has', async () => {
  const cut = fc.record({ at: fc.nat(PLAN.length), drop: fc.nat(12), put: fc.constantFrom(...SHARDS) });
  await fc.assert(
    fc.asyncProperty(fc.array(cut, { minLength: 1, maxLength: 4 }), async (cuts) => {
      let text = PLAN;
      for (const { at, drop, put } of cuts) text = text.slice(0, at) + put + text.slice(at + drop);
      const { plan, findings, spotOf, show } = await read(text);
      expect(plan === null).toBe(findings.length > 0);
      expect(onlyFinite(plan)).toBe(true);
      const lines = text.split('\n').length;
      for (const finding of findings) {
        expect(spotOf(finding).line).toBeLessThanOrEqual(lines);
        expect(finding.fix).toBeTruthy();
      }
      expect(show(findings)).not.toMatch(/undefined|NaN|\[object|[^\P{Cc}\n]/u);
    }),
    { numRuns: sized(80, 300), seed: 20 },
  );
});

const VALUES = [
  '.nan',
  '~',
  '[]',
  '{}',
  '-1',
  '1e999',
  'true',
  '"a b"',
  '6 ft',
  '[1, 2]',
  '{125: 1}',
  'tuba',
  '9',
  '.5',
  '"\\e[2J"',
  '2 MHz',
];

test('a plan whose words are swapped for others is read, or every fault is said', async () => {
  const words = [...PLAN.matchAll(/(?<=[:[,] )[\w.-]+/g)].map(({ index, 0: word }) => ({
    index,
    length: word.length,
  }));
  const swap = fc.record({ at: fc.nat(words.length - 1), put: fc.constantFrom(...VALUES) });
  const codes = new Set<string>();
  await fc.assert(
    fc.asyncProperty(
      fc.uniqueArray(swap, { minLength: 1, maxLength: 4, selector: ({ at }) => at }),
      async (swaps) => {
        let text = PLAN;
        for (const { at, put } of swaps.toSorted((a, b) => b.at - a.at)) {
          const { index = 0, length = 0 } = words[at] ?? {};
          text = text.slice(0, index) + put + text.slice(index + length);
        }
        const { plan, findings, show } = await read(text);
        for (const { code } of findings) codes.add(code);
        expect(plan === null).toBe(findings.length > 0);
        expect(onlyFinite(plan)).toBe(true);
        expect(show(findings)).not.toMatch(/undefined|NaN|\[object|[^\P{Cc}\n]/u);
      },
    ),
    { numRuns: sized(80, 300), seed: 21 },
  );
  expect([...codes]).toEqual(expect.arrayContaining(['WRONG_TYPE', 'BAD_VALUE', 'OUT_OF_RANGE']));
});

test('the plan is whole before it is torn', async () => {
  expect((await read(PLAN)).findings).toEqual([]);
});
