import { describe, expect, test } from 'vitest';
import { judgeParts } from '../../src/judge/judge.ts';
import { computed, onALine } from '../judge/on-a-line.ts';

/*
 * Two omnidirectional parts of the same power 4 m apart in a free field, A at 0 and B at 4 m, and three omnidirectional mics
 * between them; with energies in units of one part at 1 m, that is 1/r²:
 *
 *             at    from A   from B   A + B    g² at 0 dB   g²·A   g²·B
 *   near A    1 m   1        1/9      10/9     9/10         0.9    0.1
 *   near B    3 m   1/9      1        10/9     9/10         0.1    0.9
 *   shared    2 m   1/4      1/4      1/2      2            0.5    0.5
 */
const sources = { A: { at: 0 }, B: { at: 4 } };
const near = { 'near A': { at: 1, for: [0] }, 'near B': { at: 3, for: [1] } };
const ghosts = (scene: ReturnType<typeof onALine>) => judgeParts(...computed(scene));

describe('the ghost by hand', () => {
  test('with the mic of each part alone is a ninth: −9.54 dB', () => {
    // A: 0.1 in the mic near B over 0.9 in its own; 10·lg(1/9) = −9.542.
    const [a, b] = ghosts(onALine(sources, near));
    expect(a?.ghost).toBeCloseTo(-9.5424, 4);
    expect(b?.ghost).toBeCloseTo(-9.5424, 4);
    expect(a?.loudestIn).toBe('near B');
  });

  test('with a mic shared by both is −3.68 dB', () => {
    // A: (0.1 + 0.5) stays of 0.9 + 0.5 in the mix: 3/7; 10·lg(3/7) = −3.680. The shared mic holds most.
    const [a] = ghosts(onALine(sources, { ...near, shared: { at: 2, for: [0, 1] } }));
    expect(a?.ghost).toBeCloseTo(-3.6798, 4);
    expect(a?.loudestIn).toBe('shared');
    expect(a?.mics).toEqual(['near A', 'shared']);
  });

  test('with the shared mic 10 dB down in the mix is −8.02 dB', () => {
    // (0.1 + 0.05)/(0.9 + 0.05) = 3/19; 10·lg(3/19) = −8.016.
    const [a] = ghosts(onALine(sources, { ...near, shared: { at: 2, for: [0, 1], mix: -10 } }));
    expect(a?.ghost).toBeCloseTo(-8.0163, 4);
  });

  test('falls with its own mic pushed up, and the other’s rises', () => {
    // Own mic +6 dB: A −9.54 − 6, B −9.54 + 6.
    const [a, b] = ghosts(onALine(sources, { ...near, 'near A': { at: 1, for: [0], mix: 6 } }));
    expect(a?.ghost).toBeCloseTo(-15.5424, 4);
    expect(b?.ghost).toBeCloseTo(-3.5424, 4);
  });

  test('counts a mic for everyone and one for the room among those that stay', () => {
    // At 2 m both as the shared mic above; the one for everyone carries the part, the one for the room is for nobody:
    // A (0.1 + 0.5 + 0.5)/(0.9 + 0.5) = 11/14; 10·lg(11/14) = −1.047.
    const everyone = { at: 2, for: [0, 1] };
    const [a] = ghosts(
      onALine(sources, {
        ...near,
        main: { ...everyone, purpose: 'all' },
        far: { ...everyone, purpose: 'room' },
      }),
    );
    expect(a?.ghost).toBeCloseTo(-1.0474, 4);
  });

  test('of a loud part in a soft part’s mic is set by what the mic is turned up to', () => {
    // B 10 dB down, 0.1 at 1 m. Near B: A 1/9, B 1/10, sum 19/90, g² 90/19, A 10/19 = 0.526. Near A: A 1, B 1/90, sum 91/90,
    // g² 90/91, A 90/91 = 0.989. Ghost of A: (10/19)·(91/90) = 0.5322, 10·lg = −2.7395.
    const soft = onALine({ A: { at: 0 }, B: { at: 4, power: new Float64Array(8).fill(1e9) } }, near);
    expect(ghosts(soft)[0]?.ghost).toBeCloseTo(-2.7395, 3);
  });
});
