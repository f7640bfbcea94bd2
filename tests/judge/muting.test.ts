import { describe, expect, test } from 'vitest';
import { judge } from '../../src/judge/judge.ts';
import { computed, later, onALine } from './on-a-line.ts';

/*
 * A at 0 and B at 4 m, energies 1/r² in units of one part at 1 m, every mic at 0 dB in the mix. Mic A at 1 m gets 1 of A and 1/9
 * of B, so g² = 9/10; mic B at 3 m likewise, and holds 0.9/9 = 0.1 of A. Main at 2 m gets 1/4 of each, g² = 2, and holds 0.5 of A.
 */
const mics = {
  'mic A': { at: 1, for: [0] },
  'mic B': { at: 3, for: [1] },
  line: { at: null, for: [1] },
  main: { at: 2, for: [0, 1], purpose: 'all' as const },
};
const scene = later(
  onALine({ A: { at: 0 }, B: { at: 4 } }, mics, {
    passages: [
      { name: 'tutti', path: [], sounds: [true, true] },
      { name: 'solo', path: [], sounds: [true, false] },
    ],
  }),
  'A',
  'replace',
);
const inDb = (ratio: number) => 10 * Math.log10(ratio);

describe('mics whose own source rests', () => {
  const [row, ...others] = judge(...computed(scene)).muting;

  test('are named by passage, but no DI, and no passage in which everyone plays', () => {
    expect(row).toMatchObject({ passage: 'solo', mics: ['mic B'] });
    expect(others).toEqual([]);
  });

  test('hold 0.1 of A, where main holds 0.5 and all others 0.9 + 0.5', () => {
    expect(row?.bleedReMain).toBeCloseTo(inDb(0.1 / 0.5), 9);
    expect(row?.bleedReMix).toBeCloseTo(inDb(0.1 / 1.4), 9);
  });

  test('muted leave of the ghost of A, 0.6 of 1.4, what main holds: 0.5', () => {
    expect(row?.ghosts).toEqual([
      {
        part: 'A',
        before: expect.closeTo(inDb(0.6 / 1.4), 9),
        after: expect.closeTo(inDb(0.5 / 1.4), 9),
        isJudged: true,
      },
    ]);
  });
});

test('without a main mic and another mic of the mix nothing is left of a ghost', () => {
  const { main: _, line: _line, ...own } = mics;
  const { passages } = scene;
  const plain = onALine({ A: { at: 0 }, B: { at: 4 } }, own, { passages });
  const [row] = judge(...computed(plain)).muting;
  expect(row).toMatchObject({ bleedReMain: null, ghosts: [{ part: 'A', after: null, isJudged: false }] });
});

test('a plan without passages has nobody at rest', () => {
  expect(judge(...computed(onALine({ A: { at: 0 }, B: { at: 4 } }, mics))).muting).toEqual([]);
});

test('comb filtering with a mic that always rests meanwhile is cured by muting it', () => {
  // A plays alone throughout: mic B holds 0.1 of it, 9.5 dB under the 0.9 of mic A. With both there is nothing to mute.
  const [, solo] = scene.passages;
  const only = [
    { name: 'solo', path: [], sounds: [true, false] },
    { name: 'other', path: [], sounds: [false, true] },
  ];
  const restsIn = (passages: typeof scene.passages) =>
    judge(...computed({ ...scene, passages })).timing.rows.find(
      ({ part, other }) => part === 'A' && other === 'mic B',
    )?.otherRests;
  expect(solo?.name).toBe('solo');
  expect(restsIn(only)).toBe(true);
  expect(restsIn(scene.passages)).toBe(false);
});
