import { describe, expect, test } from 'vitest';
import { judgeParts } from '../../src/judge/judge.ts';
import { plainLimits } from '../build-scene.ts';
import { computed, later, onALine } from './on-a-line.ts';

/*
 * A at 0 and B at 4 m, mics at 1 and 3 m: each mic gets 1 of its own and 1/9 of the other, so S/B 9.54 dB and, after the faders
 * (g² = 9/10 both), ghost −9.54 dB. With B 101 m off: 1 and 1/10 000, 40 dB and −40 dB.
 */
const close = onALine(
  { A: { at: 0 }, B: { at: 4 } },
  { 'mic A': { at: 1, for: [0] }, 'mic B': { at: 3, for: [1] } },
);
const far = onALine(
  { A: { at: 0 }, B: { at: 101 } },
  { 'mic A': { at: 1, for: [0] }, 'mic B': { at: 100, for: [1] } },
);
const first = (scene: typeof close) => judgeParts(...computed(scene))[0];

describe('a part to be replaced', () => {
  test('must leave no more than −25 dB', () => {
    expect(first(later(close, 'A', 'replace'))).toMatchObject({
      limit: -25,
      margin: expect.closeTo(-25 + 9.5424, 4),
      verdict: 'short',
      replaceable: false,
    });
    expect(first(later(far, 'A', 'replace'))).toMatchObject({
      margin: expect.closeTo(15, 9),
      verdict: 'clear',
      replaceable: true,
    });
  });

  test('is short where it is committed, and cannot be replaced', () => {
    const shared = onALine({ A: { at: 0 }, B: { at: 4 } }, { both: { at: 2, for: [0, 1] } });
    expect(first(later(shared, 'A', 'replace'))).toMatchObject({
      margin: null,
      verdict: 'short',
      committed: { because: 'both' },
      replaceable: false,
    });
  });

  test('takes a ghost limit of the plan before its own', () => {
    const limits = { ...plainLimits, ghost: new Map([[0, -10]]) };
    expect(first({ ...later(close, 'A', 'replace'), limits })).toMatchObject({
      limit: -10,
      margin: expect.closeTo(-0.4576, 4),
      verdict: 'short',
    });
  });
});

test('a part that nobody wants replaced is shown without judgement, unless the plan gives it a limit', () => {
  expect(first(close)).toMatchObject({
    limit: null,
    margin: null,
    verdict: null,
    ghost: expect.closeTo(-9.5424, 4),
  });
  const limits = { ...plainLimits, ghost: new Map([[0, -8]]) };
  expect(first({ ...close, limits })).toMatchObject({
    margin: expect.closeTo(1.5424, 4),
    verdict: 'marginal',
  });
});

describe('editing alone', () => {
  test('needs 20 dB of a part to be tuned', () => {
    expect(first(later(close, 'A', 'tune'))?.isolation).toMatchObject({
      signalToBleed: expect.closeTo(9.5424, 4),
      mic: 'mic A',
      limit: 20,
      margin: expect.closeTo(9.5424 - 20, 4),
      verdict: 'short',
    });
    expect(first(later(far, 'A', 'tune'))?.isolation).toMatchObject({
      verdict: 'clear',
      margin: expect.closeTo(20, 9),
    });
  });

  test('is judged at the worst of its mics, where others that share it are bleed', () => {
    // At 2 m both parts are alike: 0 dB.
    const mics = { 'mic A': { at: 1, for: [0] }, both: { at: 2, for: [0, 1] } };
    const scene = onALine({ A: { at: 0 }, B: { at: 4 } }, mics);
    expect(first(scene)?.isolation).toMatchObject({
      signalToBleed: expect.closeTo(0, 9),
      mic: 'both',
      verdict: null,
    });
  });

  test('has a limit from the plan before that of tuning', () => {
    const limits = { ...plainLimits, isolation: new Map([[0, 6]]) };
    expect(first({ ...close, limits })?.isolation).toMatchObject({
      margin: expect.closeTo(3.5424, 4),
      verdict: 'clear',
    });
  });

  test('is clear on a line, and cannot be done on one that others share', () => {
    const own = onALine({ A: { at: 0 }, B: { at: 4 } }, { line: { at: null, for: [0] } });
    expect(first(later(own, 'A', 'tune'))?.isolation).toMatchObject({
      signalToBleed: null,
      verdict: 'clear',
    });
    const shared = onALine({ A: { at: 0 }, B: { at: 4 } }, { line: { at: null, for: [0, 1] } });
    expect(first(later(shared, 'A', 'tune'))?.isolation).toMatchObject({ mic: 'line', verdict: 'short' });
  });
});

test('low bleed is not enough to replace a part that stays in other mics, nor the other way round', () => {
  // Mic A hears A alone (B behind a cardioid's null), but the mic of B holds A: S/B without bleed, ghost 1/9 over 10/9 re 1.
  const mics = {
    'mic A': { at: 1, for: [0], a: 0.5, aim: [-1, 0, 0] as const },
    'mic B': { at: 3, for: [1] },
  };
  const [a, b] = judgeParts(...computed(onALine({ A: { at: 0 }, B: { at: 4 } }, mics)));
  expect(a).toMatchObject({ ghost: expect.closeTo(-10, 9), replaceable: false });
  expect(a?.isolation.signalToBleed).toBeNull();
  // Nothing of B stays once its mic is muted, but A is only 9.54 dB under it there.
  expect(b).toMatchObject({ ghost: null, remark: 'no ghost', replaceable: false });
});
