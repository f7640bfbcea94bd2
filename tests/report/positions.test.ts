/** Lengths of tape worked by hand: beside each what they follow from. */
import { describe, expect, test } from 'vitest';
import type { Vec2 } from '../../src/geometry.ts';
import { tapesTo } from '../../src/report/positions.ts';

const box = (x: number, y: number, from: Vec2 = [0, 0]): Vec2[] => [
  from,
  [from[0] + x, from[1]],
  [from[0] + x, from[1] + y],
  [from[0], from[1] + y],
];

/** Two wings of 3 m round an inner corner at (3, 3): walls bottom, right, inner, inner, top, left. */
const ell: Vec2[] = [
  [0, 0],
  [6, 0],
  [6, 3],
  [3, 3],
  [3, 6],
  [0, 6],
];

/** A box of 5 by 4 m, turned about its corner by the 3-4-5 angle: along (0.8, 0.6), across (−0.6, 0.8). */
const turned: Vec2[] = [
  [0, 0],
  [4, 3],
  [1.6, 6.2],
  [-2.4, 3.2],
];

describe('two tapes', () => {
  test.each([
    // 12 − 2.2 = 9.8 is further than 2.2; 9 − 6.2 = 2.8 is nearer than 6.2
    { what: 'a box', outline: box(12, 9), point: [2.2, 6.2], walls: [3, 2], lengths: [2.2, 2.8] },
    // 6 − 4.5 = 1.5; the inner wall at y = 3 would be 2.0
    { what: 'a wing of an L', outline: ell, point: [4.5, 1], walls: [0, 1], lengths: [1, 1.5] },
    // 3 − 2 = 1 to the inner wall at x = 3, 6 − 4.5 = 1.5 to the top
    { what: 'the other wing', outline: ell, point: [2, 4.5], walls: [3, 4], lengths: [1, 1.5] },
    // x = 3 is 0.5 m off, but that wall begins at y = 3: no square to it from here
    { what: 'the corner of an L', outline: ell, point: [2.5, 2.4], walls: [0, 5], lengths: [2.4, 2.5] },
    // 1·(0.8, 0.6) + 1.5·(−0.6, 0.8) = (−0.1, 1.8): 1 m from the short side, 1.5 m from the long one
    { what: 'a turned box', outline: turned, point: [-0.1, 1.8], walls: [3, 0], lengths: [1, 1.5] },
  ] as const)('reach the nearest wall of each direction in $what', ({ outline, point, walls, lengths }) => {
    const tapes = tapesTo(point, outline);
    expect(tapes.map((tape) => (tape.from === 'wall' ? tape.wall : tape))).toEqual(walls);
    tapes.forEach(({ length }, i) => {
      expect(length).toBeCloseTo(lengths[i] ?? 0, 9);
    });
  });

  test('go round no booth: what stands between them and a wall sends them to another', () => {
    // left would be 3 m, but the booth from x = 1 to 2 is between; right is 10 − 3 = 7
    const tapes = tapesTo([3, 3], box(10, 6.5), [box(1, 2, [1, 2])]);
    expect(tapes).toEqual([
      { from: 'wall', wall: 0, length: 3 },
      { from: 'wall', wall: 1, length: 7 },
    ]);
  });

  test('start in the ends of a wall where a room has no two walls that stand square enough', () => {
    // a flat triangle: its sides rise by atan(1/5) = 11°; to (10, 0): √(5² + 0.5²), to (5, 1): 0.5
    const flat: Vec2[] = [
      [0, 0],
      [10, 0],
      [5, 1],
    ];
    const [one, other] = tapesTo([5, 0.5], flat);
    expect([one.from, other.from]).toEqual(['corner', 'corner']);
    expect([one.length, other.length]).toEqual([Math.sqrt(25.25), 0.5]);
  });

  test('lie in the wall itself where a thing stands at it', () => {
    expect(tapesTo([0, 2], box(5, 5)).map(({ length }) => length)).toEqual([0, 2]);
  });
});
