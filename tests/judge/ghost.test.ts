import { describe, expect, test } from 'vitest';
import { bands } from '../../src/acoustics/bands.ts';
import { judgeParts } from '../../src/judge/judge.ts';
import { capsuleOf, micOf } from '../build-scene.ts';
import { computed, onALine } from './on-a-line.ts';

/*
 * As in the hand example of tests/published/ghost.test.ts: A at 0, B at 4 m, energies 1/r² in units of one part at 1 m. The mic
 * near A gets 1 of A and 1/9 of B (g² = 9/10), the mic near B 1/9 of A and 1 of B.
 */
const A = { at: 0 };
const B = { at: 4 };
const nearA = { at: 1, for: [0] };
const nearB = { at: 3, for: [1] };
const ghosts = (scene: ReturnType<typeof onALine>) => judgeParts(...computed(scene));
const inDb = (ratio: number) => 10 * Math.log10(ratio);

describe('a line', () => {
  // The mic near B holds 0.1 of A.
  test.each([
    { mix: 0, level: inDb(0.1) },
    { mix: -6, level: inDb(0.1) + 6 },
  ])('at $mix dB in the mix gives its part just that', ({ mix, level }) => {
    const [a] = ghosts(onALine({ A, B }, { line: { at: null, for: [0], mix }, 'near B': nearB }));
    expect(a?.ghost).toBeCloseTo(level, 9);
  });

  test('and a mic for one part are muted together', () => {
    // 1 from the line and 0.9 from the mic.
    const [a] = ghosts(onALine({ A, B }, { line: { at: null, for: [0] }, 'near A': nearA, 'near B': nearB }));
    expect(a?.ghost).toBeCloseTo(inDb(0.1 / 1.9), 9);
  });

  test('carries no bleed: nothing stays of a part whose own mic is the only one', () => {
    const [a] = ghosts(onALine({ A, B }, { 'near A': nearA, line: { at: null, for: [1] } }));
    expect(a).toMatchObject({ ghost: null, remark: 'no ghost', loudestIn: null });
  });

  test('for two parts stays, and gives half its level to each', () => {
    const scene = onALine({ A, B }, { 'near A': nearA, keys: { at: null, for: [0, 1] } });
    const [a, b] = ghosts(scene);
    expect(a?.ghost).toBeCloseTo(inDb(0.5 / 1.4), 9);
    expect(a?.loudestIn).toBe('keys');
    expect(b?.committed).toEqual({ because: 'keys' });
  });
});

describe('a part', () => {
  test('all of whose mics are shared is committed, because of the one that holds most of it', () => {
    const [a] = ghosts(
      onALine({ A, B }, { far: { at: 3, for: [0, 1] }, close: { at: 1, for: [0, 1] }, 'near B': nearB }),
    );
    expect(a).toMatchObject({ ghost: null, committed: { because: 'close' }, loudestIn: null });
  });

  test('with no mic of its own has no ghost, though mics for everyone hear it', () => {
    const [, b] = ghosts(
      onALine({ A, B }, { 'near A': nearA, main: { at: 2, for: [0, 1], purpose: 'all' } }),
    );
    expect(b).toMatchObject({ ghost: null, committed: null, remark: 'no mic of its own', replaceable: null });
  });

  test('that never sounds has no figure', () => {
    const passages = [{ name: 'verse', path: [], sounds: [false, true] }];
    const [a] = ghosts(onALine({ A, B }, { 'near A': nearA, 'near B': nearB }, { passages }));
    expect(a).toMatchObject({ ghost: null, remark: 'silent in every passage', verdict: null });
  });

  test('counts in the passage in which most of it stays', () => {
    // A moves from 0 (verse) to 2 m (chorus). Near A: 1 of either and 1/9 of B, g² = 9/10. Near B: 1 of B with 1/9 of A in the
    // verse and 1 in the chorus; its own sound is the same in both, so the fuller sets g² = 1/2. Verse (1/18)/0.9, chorus
    // (1/2)/0.9.
    const passages = [
      { name: 'verse', path: [], sounds: [true, false, true] },
      { name: 'chorus', path: [], sounds: [false, true, true] },
    ];
    const sources = { A: { at: 0, part: 0 }, 'A moved': { at: 2, part: 0 }, B: { at: 4, part: 1 } };
    const mics = { 'near A': { at: 1, for: [0, 1] }, 'near B': { at: 3, for: [2] } };
    const [a] = ghosts(onALine(sources, mics, { passages }));
    expect(a?.passage).toBe('chorus');
    expect(a?.ghost).toBeCloseTo(inDb(0.5 / 0.9), 9);
  });
});

test('a wedge that repeats a part stays of it, and is no part of what its own mic gives', () => {
  // Wedge at 2 m, as loud as A. Near A: A 1, B 1/9, wedge 1: g² = 9/19, gives 9/19. Near B: B 1, A 1/9, wedge 1: g² = 9/19,
  // stays (1/9 + 1)·9/19 = 10/19. Ghost 10/9.
  const sources = { A, B, wedge: { at: 2, part: 0, repeats: true } };
  const [a] = ghosts(onALine(sources, { 'near A': nearA, 'near B': nearB }));
  expect(a?.ghost).toBeCloseTo(inDb(10 / 9), 9);
});

test('a kit is one part: a mic for one drum gives all of the kit that it hears', () => {
  // Snare at 0, hi-hat at 2 m, the snare mic between them: 1 of each, 1/9 of B. The hi-hat counts neither way for the fader:
  // g² = 9/10, gives 1.8. Near B: snare 1/9, hi-hat 1, B 1: g² = 9/19, stays 10/19.
  const sources = {
    'kit.snare': { at: 0, kit: 'kit', part: 0 },
    'kit.hat': { at: 2, kit: 'kit', part: 0 },
    B: { at: 4, part: 1 },
  };
  const mics = { snare: { at: 1, for: [0], ignored: [1] }, 'near B': { at: 3, for: [2] } };
  const [kit] = ghosts(onALine(sources, mics));
  expect(kit?.name).toBe('kit');
  expect(kit?.ghost).toBeCloseTo(inDb(10 / 19 / 1.8), 9);
});

test('filters act before the fader', () => {
  // A at 63 Hz alone, B at 1 kHz alone; the mic near B passes a hundredth of 63 Hz: A 1/900, B 1, g² = 900/901. Ghost
  // (1/901)/0.9.
  const only = (band: number) => bands((b) => (b === band ? 8e10 : 0));
  const filter = bands((b) => (b === 0 ? 0.01 : 1));
  const sources = { A: { at: 0, power: only(0) }, B: { at: 4, power: only(4) } };
  const [a] = ghosts(onALine(sources, { 'near A': nearA, 'near B': { ...nearB, filter } }));
  expect(a?.ghost).toBeCloseTo(inDb(1 / 901 / 0.9), 9);
});

test('a pair has one gain for both capsules, and gives the energy of both', () => {
  // For everyone, one capsule at 1 m and one at 3 m: A 10/9 and B 10/9 together, g² = 9/20, A 0.5. With the mic near A:
  // 0.5/(0.9 + 0.5).
  const scene = onALine({ A, B }, { 'near A': nearA });
  const capsules = [...scene.capsules, ...[1, 3].map((x) => capsuleOf([x, 0, 0], [0, 1, 0], { mic: 1 }))];
  const mics = [...scene.mics, micOf('main', [1, 2], [0, 1], { purpose: 'all', stereo: 'spaced' })];
  const [a] = ghosts({ ...scene, capsules, mics });
  expect(a?.ghost).toBeCloseTo(inDb(0.5 / 1.4), 9);
});

test('a mic whose own source never sounds stays shut', () => {
  const passages = [{ name: 'verse', path: [], sounds: [true, false] }];
  const [a] = ghosts(onALine({ A, B }, { 'near A': nearA, 'near B': nearB }, { passages }));
  expect(a?.remark).toBe('no ghost');
});
