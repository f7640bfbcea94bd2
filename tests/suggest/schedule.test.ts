/** The plan for a morning, held to plans that were edited by hand. Players and rooms are invented. */
import { expect, test } from 'vitest';
import { judgement } from '../../src/judge/judge.ts';
import { type Fix, fixOf, MINUTES, set } from '../../src/suggest/fixes.ts';
import { scheduleOf } from '../../src/suggest/schedule.ts';
import { onBench } from './evaluator.ts';

const plan = (dynamic: string, distance: string, pass: string) => `spillcheck: 1
rooms:
  hall: {size: [6, 5], height: 3, floor: parquet, ceiling: plaster, walls: plaster}
partitions:
  front:
    between: [hall, outside]
    wall: block-thick
    doors: [{at: [0, 2], width: 0.9, height: 2, leaf: solid-core-sealed}]
players:
  tuba: {at: [2, 1.2], facing: 0, plays: tuba, dynamic: ${dynamic}, cue: closed}
  flute: {at: [4.5, 3.5], facing: 180, plays: flute}
  guitarist:
    at: [1, 4]
    facing: 90
    cue: closed
sources:
  guitar: {instrument: line-only, at: [1, 4], player: guitarist}
mics:
  tuba-mic: {for: tuba, at: [1, 2, 0.3], aim: tuba}
  flute-mic: {for: flute, near: {distance: ${distance}}${pass}}
  room-pair: {for: all, at: [3, 1, 1.5], aim: {bearing: 0, tilt: 0}, stereo: {xy: 90}}
  spaced: {for: all, at: [3, 4, 2.2], aim: {bearing: 180, tilt: 0}, stereo: {spaced: 1}}
  guitar-line: {for: guitar, di: true}
limits: {signal-to-bleed: {flute-mic: 20 dB, tuba-mic: 20 dB}}
`;

const AS_IS = plan('f', '40 cm', '');
const marginsOf = async (text: string) => {
  const { scene, result } = await onBench(text);
  return judgement(scene, result)
    .criteria.filter(({ verdict }) => verdict !== null)
    .map(({ margin }) => margin ?? 0);
};

const fix = (id: number, kind: Fix['kind'], about: string, path: string[], value: string): Fix => ({
  id,
  ...fixOf(kind, [about], [set(path, value)], () => `${kind} ${about}`),
});

const FIXES = [
  fix(0, 'closer', 'flute-mic', ['mics', 'flute-mic', 'near', 'distance'], '20 cm'),
  fix(1, 'softer', 'tuba', ['players', 'tuba', 'dynamic'], 'mf'),
  fix(2, 'high-pass', 'flute-mic', ['mics', 'flute-mic', 'high-pass'], '200 Hz'),
];

test('steps come in the order one makes them, with running minutes, and every limit after each is that of the plan edited so far', async () => {
  const schedule = scheduleOf(await onBench(AS_IS), FIXES, {
    ...MINUTES,
    'high-pass': 0.5,
    softer: 2,
    closer: 3,
  });
  // seconds at the desk, then a word to a player, then a stand
  expect(schedule?.steps.map(({ words, who, until }) => [words, who, until])).toEqual([
    ['high-pass flute-mic', [], 0.5],
    ['softer tuba', ['tuba'], 2.5],
    ['closer flute-mic', [], 5.5],
  ]);
  const stages = [
    AS_IS,
    plan('f', '40 cm', ', high-pass: 200 Hz'),
    plan('mf', '40 cm', ', high-pass: 200 Hz'),
    plan('mf', '20 cm', ', high-pass: 200 Hz'),
  ];
  for (const [stage, text] of stages.entries()) {
    const margins = await marginsOf(text);
    expect(schedule?.missed[stage]).toBe(margins.filter((margin) => margin < 0).length);
    expect(schedule?.limits).toHaveLength(margins.length);
    for (const { margins: course } of schedule?.limits ?? [])
      expect(Math.min(...margins.map((margin) => Math.abs(margin - (course[stage] ?? 0))))).toBeLessThan(
        1e-6,
      );
  }
});

test('what to bring is counted from the plan at the end', async () => {
  const { bring } = scheduleOf(await onBench(AS_IS), [], MINUTES) ?? {};
  // tuba-mic 0.3 m up; flute-mic at head height and the pair on one bar; two tall ones for a pair 1 m apart
  expect(bring?.stands).toEqual({ low: 1, boom: 2, tall: 2 });
  expect(bring).toMatchObject({ bars: 1, boxes: 1 });
  expect(bring?.headphones).toContainEqual({ wearing: 'closed', count: 2 });
  // to the door at [0, 2]: tuba-mic 1 + 0 + 0.3 up + 2 spare = 3.3 m; the pair twice 3 + 1 + 1.5 + 2 = 7.5 m; the spaced
  // ones at 2.5 and 3.5 along: 2.5 + 2 + 2.2 + 2 = 8.7 and 9.7 m; the flute's 40 cm from a flute that is 4.1 to 5 m off and
  // at most 1.9 m up: 4.1 + 1 + 1 + 2 = 8.1 m at least, 5 + 2 + 1.9 + 2 = 10.9 m at most
  const of = (length: number) => bring?.cables.find((one) => one.length === length)?.count ?? 0;
  expect(of(5)).toBe(1);
  expect(of(10) + of(15)).toBe(5);
});
