import { describe, expect, test } from 'vitest';
import { sameInAllBands } from '../../src/acoustics/bands.ts';
import { firstOrder } from '../../src/acoustics/directivity.ts';
import { angleBetween, direction, dot, type Vec3 } from '../../src/geometry.ts';
import type { StereoEntry } from '../../src/plan/values.ts';
import { pairHalves } from '../../src/scene/mics.ts';
import type { Pattern } from '../../src/scene/scene.ts';
import { sphereGrid } from './sphere.ts';

const DIAGONAL = Math.SQRT1_2;

const cardioid: Pattern = { name: 'cardioid', a: sameInAllBands(0.5), table: null };

/** A pair at (0, 0, 2) that looks up the page unless said otherwise. */
function halves(stereo: StereoEntry, aim: Vec3 = [0, 1, 0], facing = 0, pattern = cardioid) {
  return pairHalves(stereo, { at: [0, 0, 2], aim, pattern, facing });
}

function near(found: Vec3, wanted: readonly number[]): void {
  found.forEach((value, i) => {
    expect(value).toBeCloseTo(wanted[i] ?? 0, 4);
  });
}

describe('a pair that looks up the page', () => {
  // 17 cm and 110°, 30 cm and 90° (Williams, The stereophonic zoom, AES preprint 2072, 1984). By hand: sin 55° = 0.8192,
  // cos 55° = 0.5736, sin 45° = √½.
  test.each([
    { stereo: { kind: 'ortf' }, x: 0.085, side: 0.8192, ahead: 0.5736 },
    { stereo: { kind: 'nos' }, x: 0.15, side: DIAGONAL, ahead: DIAGONAL },
    { stereo: { kind: 'xy', angle: 90 }, x: 0, side: DIAGONAL, ahead: DIAGONAL },
    { stereo: { kind: 'xy', angle: 120 }, x: 0, side: 0.866, ahead: 0.5 },
    { stereo: { kind: 'crossed-8' }, x: 0, side: DIAGONAL, ahead: DIAGONAL },
    { stereo: { kind: 'spaced', distance: 0.9 }, x: 0.45, side: 0, ahead: 1 },
  ] as const)('as $stereo.kind has its left $x m to the left, looking ($side, $ahead)', (row) => {
    const [left, right] = halves(row.stereo);
    expect([left.side, right.side]).toEqual(['left', 'right']);
    near(left.at, [-row.x, 0, 2]);
    near(right.at, [row.x, 0, 2]);
    near(left.aim, [-row.side, row.ahead, 0]);
    near(right.aim, [row.side, row.ahead, 0]);
  });

  test('keeps its angle when it looks down at 20°', () => {
    const aim = direction(30, -20);
    const [left, right] = halves({ kind: 'ortf' }, aim);
    expect(angleBetween(left.aim, right.aim)).toBeCloseTo(110, 9);
    expect(angleBetween(left.aim, aim)).toBeCloseTo(55, 9);
    // The bar is level and square to the bearing of 30°: (cos 30°, −sin 30°).
    near(right.at, [0.085 * 0.866025, -0.085 * 0.5, 2]);
  });
});

describe('an overhead pair', () => {
  // It looks straight down on a drummer who faces down the page (180°): his right, and the pair's, is to the left of the page.
  test('that looks down stands square to the way the player faces', () => {
    const [left, right] = halves({ kind: 'spaced', distance: 1 }, [0, 0, -1], 180);
    near(left.at, [0.5, 0, 2]);
    near(right.at, [-0.5, 0, 2]);
    near(left.aim, [0, 0, -1]);
  });

  test('as xy spreads its aims to the player’s left and right', () => {
    const [left, right] = halves({ kind: 'xy', angle: 90 }, [0, 0, -1], 0);
    near(left.aim, [-DIAGONAL, 0, -DIAGONAL]);
    near(right.aim, [DIAGONAL, 0, -DIAGONAL]);
  });

  test('on a line of bearing 45° stands along it, left on the left', () => {
    const [left, right] = halves({ kind: 'spaced', distance: 2, line: 225 }, [0, 1, 0]);
    near(left.at, [-DIAGONAL, -DIAGONAL, 2]);
    near(right.at, [DIAGONAL, DIAGONAL, 2]);
  });
});

describe('mid-side', () => {
  // M = ½ + ½·cos θ and S = a figure-8 to the left: M + S peaks at ½ + √(¼ + 1) = 1.618 at atan 2 = 63.43°; ½/1.618 = 0.309.
  test('with a cardioid M decodes to A = 0.309 at 63.4° to either side', () => {
    const [left, right] = halves({ kind: 'mid-side' });
    expect(left.pattern.a[4]).toBeCloseTo(0.309, 3);
    expect(angleBetween(left.aim, [0, 1, 0])).toBeCloseTo(63.435, 3);
    expect(angleBetween(right.aim, [0, 1, 0])).toBeCloseTo(63.435, 3);
    expect(left.aim[0]).toBeLessThan(0);
  });

  test.each([1, 0.7, 0.5, 0.25, 0])('with A = %f is M plus and M less S in every direction', (a) => {
    const aim = direction(75, -15);
    const pattern = { ...cardioid, a: sameInAllBands(a) };
    const toLeft = direction(75 - 90);
    const [left, right] = halves({ kind: 'mid-side' }, aim, 0, pattern);
    const peak = a + Math.hypot(1 - a, 1);
    for (const { toward } of sphereGrid(12)) {
      const m = a + (1 - a) * dot(toward, aim);
      const s = dot(toward, toLeft);
      const decoded = (half: typeof left) => firstOrder(half.pattern.a[4] ?? 0, 0, dot(half.aim, toward), 0);
      expect(decoded(left)).toBeCloseTo(((m + s) / peak) ** 2, 9);
      expect(decoded(right)).toBeCloseTo(((m - s) / peak) ** 2, 9);
    }
  });
});
