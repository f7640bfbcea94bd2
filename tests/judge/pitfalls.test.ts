import { describe, expect, test } from 'vitest';
import { PITFALL_KINDS } from '../../src/judge/pitfalls.ts';
import { lengthsIn } from '../../src/plan/units.ts';
import { later, onALine } from './on-a-line.ts';
import { fixes, pitfallsOf, told } from './pitfalls-of.ts';

/*
 * A at 0 and B at 4 m, omnidirectional mics at 1 and 3 m: each gets 1 of its own and 1/9 of the other, the faders stand alike.
 */
const two = onALine(
  { A: { at: 0 }, B: { at: 4 } },
  { 'mic A': { at: 1, for: [0] }, 'mic B': { at: 3, for: [1] } },
);
/** B 101 m off: 1 and 1/10 000. */
const far = onALine(
  { A: { at: 0 }, B: { at: 101 } },
  { 'mic A': { at: 1, for: [0] }, 'mic B': { at: 100, for: [1] } },
);

describe('a part to be replaced', () => {
  test('that every mic shares is committed', () => {
    const shared = onALine({ A: { at: 0 }, B: { at: 4 } }, { both: { at: 1, for: [0, 1] } });
    expect(told(later(shared, 'A', 'replace'), 'committed')).toEqual([
      'A cannot be replaced: every mic for it is shared, both has most of it',
    ]);
    expect(told(shared, 'committed')).toEqual([]);
    expect(told(later(two, 'A', 'replace'), 'committed')).toEqual([]);
  });

  test('leaves a ghost: 1/9 of it is −9.5 dB, 15.5 dB over −25 dB', () => {
    expect(told(later(two, 'A', 'replace'), 'ghost')).toEqual([
      'A leaves a ghost of -9.5 dB when replaced, 15.5 dB too loud, mostly in mic B',
    ]);
    expect(told(later(far, 'A', 'replace'), 'ghost')).toEqual([]);
    expect(told(two, 'ghost')).toEqual([]);
  });

  test('is repeated by a wedge', () => {
    const wedged = (repeats: boolean) =>
      later(
        onALine(
          { A: { at: 0 }, B: { at: 101 }, wedge: { at: 102, part: 0, repeats } },
          { 'mic A': { at: 1, for: [0] }, 'mic B': { at: 100, for: [1] } },
        ),
        'A',
        'replace',
      );
    expect(told(wedged(true), 'wedge')).toEqual([
      'wedge carries A, a part to be replaced; it bleeds into mic B above all',
    ]);
    expect(told(wedged(false), 'wedge')).toEqual([]);
  });
});

describe('a mic whose own source is not its loudest', () => {
  const between = (at: number) => onALine({ A: { at: 0 }, B: { at: 3 } }, { mic: { at, for: [0] } });

  test('is told by how much: 2 m from its own and 1 m from another, 20·lg 2 = 6.0 dB', () => {
    expect(told(between(2), 'not-loudest')).toEqual(['mic: B is 6.0 dB louder than A']);
    expect(told(between(1), 'not-loudest')).toEqual([]);
  });

  test('or gets nothing of it', () => {
    const silent = onALine(
      { A: { at: 0, power: new Float64Array(8) }, B: { at: 3 } },
      { mic: { at: 1, for: [0] } },
    );
    expect(told(silent, 'not-loudest')).toEqual(['mic picks up nothing of A']);
  });
});

describe('two open mics comb', () => {
  /** Each mic 1 m from its own source and `away` from the other. */
  const apart = (away: number) =>
    onALine(
      { A: { at: 0 }, B: { at: away + 1 } },
      { 'mic A': { at: 1, for: [0] }, 'mic B': { at: away, for: [1] } },
    );

  test('at half the amplitude by 20·lg(1.5/0.5) = 9.5 dB, 1 m late: a dip at 343.2/2 Hz, a delay of 2.91 ms', () => {
    expect(told(apart(2), 'comb-filtering')).toEqual([
      'comb filtering, A in mic A + mic B: 9.5 dB ripple (9.5 in direct sound), first notch 172 Hz',
    ]);
    expect(fixes(apart(2), 'comb-filtering')).toEqual([
      'delay mic A by 2.91 ms, or move the mics further apart',
    ]);
  });

  test('at a quarter by 20·lg(1.25/0.75) = 4.4 dB only: no word', () => {
    expect(told(apart(4), 'comb-filtering')).toEqual([]);
  });

  test('a mic for everyone combs with all: that is a matter of delays, not of bleed', () => {
    const main = onALine(
      { A: { at: 0 } },
      { 'mic A': { at: 1, for: [0] }, main: { at: 2, for: [0], purpose: 'all' } },
    );
    expect(told(main, 'comb-filtering')).toEqual([]);
  });

  test('a line and the mic of its amplifier do', () => {
    const bass = onALine({ A: { at: 0 } }, { line: { at: null, for: [0] }, mic: { at: 1, for: [0] } });
    // the mic 1 m late: 1000/343.2 ms
    expect(fixes(bass, 'comb-filtering')).toEqual(['delay line by 2.91 ms']);
  });
});

test('a mic nearer than the catalogue finds sensible hears a spot', () => {
  const near = (at: number) => onALine({ A: { at: 0, closest: 0.05 } }, { mic: { at, for: [0] } });
  expect(told(near(0.02), 'too-close')).toEqual([
    'mic is 2 cm from A, closer than 5 cm: too close to pick up the whole instrument',
  ]);
  // 0.79 in: 1.6 halves, 2; 1.97 in: 3.9 halves, 4
  expect(told(near(0.02), 'too-close', lengthsIn('ft'))).toEqual([
    'mic is 1 in from A, closer than 2 in: too close to pick up the whole instrument',
  ]);
  expect(told(near(0.06), 'too-close')).toEqual([]);
});

test('the most serious come first, of one kind the worst', () => {
  const scene = later(
    onALine(
      { A: { at: 0, closest: 0.05 }, B: { at: 0.03 }, C: { at: 1 } },
      { both: { at: 0.02, for: [0, 2] }, spot: { at: 0.99, for: [2] } },
    ),
    'A',
    'replace',
  );
  const kinds = pitfallsOf(scene).map(({ kind }) => kind);
  const places = kinds.map((kind) => PITFALL_KINDS.indexOf(kind));
  expect(new Set(kinds).size).toBeGreaterThan(2);
  expect(places).toEqual([...places].sort((a, b) => a - b));
  expect(kinds[0]).toBe('committed');
});

test('a plan with room enough falls into nothing', () => expect(pitfallsOf(far)).toEqual([]));
