/** Plans side by side: figures by hand, losses, entries. The plans are invented. */
import { expect, test } from 'vitest';
import { judge } from '../../src/judge/judge.ts';
import { readPlan } from '../../src/plan/plan.ts';
import { type Comparison, compare, regressions } from '../../src/suggest/compare.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { noStudio } from '../plan/plans.ts';
import { sceneOf } from '../scene/resolved.ts';

const planWith = (rightMic: string, more = '') => `
sources:
  left: {at: [0, 0, 1], spectrum: {1000: 0}, level: 80 dB at 1 m}
  right: {at: [4, 0, 1], spectrum: {1000: 0}, level: 80 dB at 1 m}
mics:
  left-mic: {for: left, at: [1, 0, 1], pattern: omni}
  right-mic: ${rightMic}
${more}`;
const FAR = planWith('{for: right, at: [3, 0, 1], pattern: omni}');
const NEAR = planWith('{for: right, at: [3.5, 0, 1], pattern: omni}');

async function sideOf(text: string, name: string) {
  const scene = await sceneOf(text);
  const { tree } = await readPlan(`spillcheck: 1\n${text}`, { name, load: noStudio });
  return { name, tree, report: judge(scene, transfer(scene)) };
}

const compared = async (...texts: string[]): Promise<Comparison> =>
  compare(await Promise.all(texts.map((text, i) => sideOf(text, `plan ${i}`))));

test('a microphone moved from 1 m to 0.5 m off its source gains 20·lg(7/3) = 7.36 dB', async () => {
  const { mics } = await compared(FAR, NEAR);
  const [left, right] = mics;
  expect([left?.about, right?.about]).toEqual([['left-mic'], ['right-mic']]);
  expect(left?.changes).toEqual([0, 0]);
  // 3.5 m against 0.5 m after 3 m against 1 m; the air takes 4.66 dB/km at 1 kHz (ISO 9613-1) over 1 m more
  expect(right?.changes[1]).toBeCloseTo(20 * Math.log10(7 / 3) + 0.005, 2);
});

test('worse is what falls by more than allowed, against the plan that is named', async () => {
  const low = 'limits: {signal-to-bleed: 6 dB}\n';
  const comparison = await compared(FAR + low, NEAR + low);
  expect(regressions(comparison, 0, 0.1)).toEqual([]);
  const worse = regressions(comparison, 1, 0.1);
  expect(worse.map(({ kind, about, plan }) => [kind, about, plan])).toEqual([
    ['signal-to-bleed', ['right-mic'], 0],
  ]);
  expect(regressions(comparison, 1, 8)).toEqual([]);
});

test('a loss that turns a limit met into one missed counts however small it is', async () => {
  // 20·lg 7 = 16.9 dB and 20·lg 3 = 9.5 dB, on either side of 12
  const limit = 'limits: {signal-to-bleed: 12 dB}';
  const near = planWith('{for: right, at: [3.5, 0, 1], pattern: omni}', limit);
  const comparison = await compared(near, planWith('{for: right, at: [3, 0, 1], pattern: omni}', limit));
  expect(regressions(comparison, 0, 30).map(({ about }) => about)).toEqual([['right-mic']]);
});

test('a microphone that is gone is a loss, one more is none', async () => {
  const one = await compared(FAR, FAR.replace(/ {2}right-mic.*\n/, ''));
  expect(regressions(one, 0, 0).map(({ about, after }) => [about, after])).toEqual([[['right-mic'], null]]);
  expect(regressions(one, 1, 0)).toEqual([]);
});

test('entries that differ are told as written, a list as one, what is written alike not at all', async () => {
  const { entries } = await compared(FAR, NEAR, `${FAR}air: {temperature: 5}\n`);
  expect(entries).toEqual([
    { path: ['mics', 'right-mic', 'at'], values: ['[3, 0, 1]', '[3.5, 0, 1]', '[3, 0, 1]'] },
    { path: ['air'], values: [null, null, '{temperature: 5}'] },
  ]);
  expect((await compared(FAR, FAR.replace('[3, 0, 1]', '[3.0, 0, 1]'))).entries).toEqual([]);
});

test('a bare number in feet is not the same number in metres', async () => {
  const { entries } = await compared(FAR, `units: ft\n${FAR}`);
  expect(entries.map(({ path }) => path.join('.'))).toContain('sources.right.at');
});

test('a screen between two people is told as hearing and sight', async () => {
  const people = `
players:
  one: {at: [0, 0], facing: 0, standing: true, plays: trumpet}
  other: {at: [0, 4], facing: 180, standing: true, plays: trumpet}
`;
  const screen = `baffles: {screen: {from: [-2, 2], to: [2, 2], height: 2.4, made-of: upholstered-baffle}}\n`;
  const comparison = await compared(people, people + screen);
  const sight = comparison.people.find(({ kind }) => kind === 'sees');
  expect(sight?.reached.map((reached) => reached?.words)).toEqual(['see each other', 'blocked by screen']);
  const hears = comparison.people.filter(({ kind }) => kind === 'hears');
  expect(hears.every(({ changes }) => (changes[1] ?? 0) < -3)).toBe(true);
  expect(regressions(comparison, 0, 0.1).map(({ kind }) => kind)).toContain('sees');
});
