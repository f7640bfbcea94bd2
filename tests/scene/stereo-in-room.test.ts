/** Pairs as two capsules, worked by hand. Left and right as one looks along the aim; the middle at (5, 5, 2). */
import { describe, expect, test } from 'vitest';
import { capsuleNamed, expectVector, faultsOf, resolved, sceneOf } from './resolved.ts';

const pair = (mic: string): string => `players:
  eva: {at: [5, 9], facing: 90, plays: cornet}
mics: {p: {for: all, at: [5, 5, 2], ${mic}}}`;

type Three = readonly [number, number, number];
type Half = { at: Three; aim: Three };

// aim (0, 1, 0), right (1, 0, 0); ±45°: 0.70711; ±55°: sin 0.81915, cos 0.57358
const SQ = Math.SQRT1_2;
const HALVES: readonly (readonly [string, Half, Half, string])[] = [
  [
    'stereo: {xy: 90}, aim: 0',
    { at: [5, 5, 2], aim: [-SQ, SQ, 0] },
    { at: [5, 5, 2], aim: [SQ, SQ, 0] },
    'in one point, ±45°',
  ],
  [
    'stereo: {xy: 120}, aim: 90',
    { at: [5, 5, 2], aim: [0.5, 0.86603, 0] },
    { at: [5, 5, 2], aim: [0.5, -0.86603, 0] },
    '±60° of one who looks right: left is up the page',
  ],
  [
    'stereo: ortf, aim: 0',
    { at: [4.915, 5, 2], aim: [-0.81915, 0.57358, 0] },
    { at: [5.085, 5, 2], aim: [0.81915, 0.57358, 0] },
    '17 cm, ±55°',
  ],
  [
    'stereo: nos, aim: 180',
    { at: [5.15, 5, 2], aim: [SQ, -SQ, 0] },
    { at: [4.85, 5, 2], aim: [-SQ, -SQ, 0] },
    '30 cm, ±45°; looking down the page left is +x',
  ],
  [
    'stereo: crossed-8, aim: 0',
    { at: [5, 5, 2], aim: [-SQ, SQ, 0] },
    { at: [5, 5, 2], aim: [SQ, SQ, 0] },
    'in one point, ±45°',
  ],
  [
    'stereo: {spaced: 90 cm}, aim: 0',
    { at: [4.55, 5, 2], aim: [0, 1, 0] },
    { at: [5.45, 5, 2], aim: [0, 1, 0] },
    'parallel aims, square to the aim',
  ],
  [
    'stereo: {spaced: 1, line: 30}, aim: 0',
    { at: [4.75, 4.56699, 2], aim: [0, 1, 0] },
    { at: [5.25, 5.43301, 2], aim: [0, 1, 0] },
    '±0.5·(sin 30°, cos 30°), right where it lies to the right of the aim',
  ],
  [
    'stereo: {spaced: 1, line: 210}, aim: 0',
    { at: [4.75, 4.56699, 2], aim: [0, 1, 0] },
    { at: [5.25, 5.43301, 2], aim: [0, 1, 0] },
    'the same line, named from its other end',
  ],
  [
    'stereo: {xy: 90}, aim: {bearing: 0, tilt: -30}',
    // aim (0, cos 30°, −½): 0.70711·aim ± 0.70711·(1, 0, 0)
    { at: [5, 5, 2], aim: [-SQ, 0.61237, -0.35355] },
    { at: [5, 5, 2], aim: [SQ, 0.61237, -0.35355] },
    'tilted down by 30°',
  ],
  [
    'stereo: {spaced: 1}, aim: {bearing: 20, tilt: -80}',
    { at: [5, 5.5, 2], aim: [0.05939, 0.16318, -0.98481] },
    { at: [5, 4.5, 2], aim: [0.05939, 0.16318, -0.98481] },
    'within 30° of down: square to the facing (90°) of the first player, whose right is down the page',
  ],
  [
    'stereo: {spaced: 1}, aim: {bearing: 20, tilt: -55}',
    { at: [4.53015, 5.17101, 2], aim: [0.19617, 0.53899, -0.81915] },
    { at: [5.46985, 4.82899, 2], aim: [0.19617, 0.53899, -0.81915] },
    'not so steep: square to its own bearing, ±0.5·(cos 20°, −sin 20°)',
  ],
];

describe('places and aims', () => {
  test.each(HALVES)('%s: left %j, right %j (%s)', async (mic, left, right) => {
    const scene = await sceneOf(pair(mic));
    expect(scene.capsules.map(({ name }) => name)).toEqual(['p.left', 'p.right']);
    for (const [name, half] of [['p.left', left] as const, ['p.right', right] as const]) {
      expectVector(capsuleNamed(scene, name).at, half.at);
      expectVector(capsuleNamed(scene, name).aim, half.aim);
    }
  });

  test('crossed figures of eight are figures of eight where no pattern is given, the other pairs cardioids', async () => {
    const { scene, assumptions } = await resolved(pair('stereo: crossed-8, aim: 0'));
    expect(scene?.capsules.map(({ pattern }) => pattern.name)).toEqual(['figure-8', 'figure-8']);
    expect(assumptions.map(({ text }) => text)).toContain('figure-8');
    expect((await sceneOf(pair('stereo: ortf, aim: 0'))).capsules[0]?.pattern.name).toBe('cardioid');
  });
});

// M = A + B cos θ and S = cos of a figure-8 to the side, same gain on axis: L = M + S = A + √(B² + 1)·cos(θ − φ),
// tan φ = 1/B; brought to 0 dB on its axis: A' = A/(A + √(B² + 1)).
describe('mid-side, decoded', () => {
  test.each([
    { pattern: 'omni', a: 0.5, angle: 90, working: 'B = 0: 1/(1 + 1), a cardioid each to its side' },
    { pattern: 'cardioid', a: 0.30902, angle: 63.435, working: '0.5/(0.5 + √1.25), arctan 2' },
    {
      pattern: 'hypercardioid',
      a: 0.16667,
      angle: 53.13,
      working: '0.25/(0.25 + √(0.5625 + 1) = 1.25), arctan(4/3)',
    },
    { pattern: 'figure-8', a: 0, angle: 45, working: 'two figures of eight at ±45°' },
  ])('a $pattern and its side give A = $a at ±$angle°: $working', async ({ pattern, a, angle }) => {
    const scene = await sceneOf(pair(`stereo: mid-side, aim: 0, pattern: ${pattern}`));
    const [sin, cos] = [Math.sin((angle * Math.PI) / 180), Math.cos((angle * Math.PI) / 180)];
    for (const [name, side] of [['p.left', -1] as const, ['p.right', 1] as const]) {
      const capsule = capsuleNamed(scene, name);
      expect(capsule.pattern.a[4]).toBeCloseTo(a, 5);
      expect(capsule.at).toEqual([5, 5, 2]);
      [side * sin, cos, 0].forEach((part, i) => {
        expect(capsule.aim[i]).toBeCloseTo(part, 4);
      });
    }
  });

  test('a measured pattern cannot be decoded', async () => {
    expect(await faultsOf(pair('stereo: mid-side, aim: 0, pattern: lavalier-omni'))).toEqual([
      expect.stringMatching(/^mics\.p\.stereo: a measured pattern cannot be decoded/),
    ]);
  });
});

test('a pair wider than the room is refused', async () => {
  const room = 'rooms: {cell: {size: [10, 10], height: 3, reverberation: {500: 0.5}}}\n';
  expect(await faultsOf(room + pair('stereo: {spaced: 11}, aim: 0'))).toEqual([
    expect.stringMatching(/^mics\.p\.stereo: p\.left would be outside the room/),
  ]);
});
