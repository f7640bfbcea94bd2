import { describe, expect, test } from 'vitest';
import { directivityOf } from '../../src/acoustics/directivity.ts';
import type { Vec2, Vec3 } from '../../src/geometry.ts';
import type { Room } from '../../src/scene/scene.ts';
import { prepareScene } from '../../src/transfer/prepared-scene.ts';
import { boxRoom, pointSource, roomOf, sceneOf } from '../build-scene.ts';
import { sphereGrid } from './sphere.ts';

/** α₁ at 1 kHz of a source in a room. */
function firstSurfaceAlpha(
  room: Room,
  at: Vec3,
  options: { axis?: Vec3; q?: number; frontToBack?: number } = {},
): number {
  const { axis = [0, 1, 0], q = 1, frontToBack = null } = options;
  const directivity = directivityOf(
    () => q,
    () => frontToBack,
  );
  const source = pointSource(at, { room: 0, axis, directivity });
  return (
    prepareScene(sceneOf({ rooms: [room], sources: [source], capsules: [] })).emitters[0]
      ?.firstSurfaceAlphas[0]?.[4] ?? 0
  );
}

/** Share of the sphere that an a × b rectangle fills over one of its corners' normals, d off: atan(ab/(d·√(a² + b² + d²)))/4π. */
const cornerShare = (a: number, b: number, d: number): number =>
  Math.atan((a * b) / (d * Math.hypot(a, b, d))) / (4 * Math.PI);

/** Share of the sphere that the surface takes up, of four corner rectangles round the foot of the normal. */
function share([a, b]: readonly [number, number], [u, v]: readonly [number, number], d: number): number {
  const [widths, heights] = [
    [u, a - u],
    [v, b - v],
  ] as const;
  return widths.flatMap((w) => heights.map((h) => cornerShare(w, h, d))).reduce((sum, part) => sum + part, 0);
}

describe('the first-hit share of an omni', () => {
  test('in the middle of a cube with one face lined is a sixth of its absorption', () => {
    const room = boxRoom(4, 4, 4, { alpha: (surface) => (surface === 3 ? 0.9 : 0) });
    expect(firstSurfaceAlpha(room, [2, 2, 2])).toBeCloseTo(0.15, 2);
  });

  // Solid angle of a rectangle seen from a point: the closed form above.
  test.each([{ at: [2, 1.5, 1.2] as Vec3 }, { at: [7.5, 4, 1.5] as Vec3 }, { at: [4, 0.4, 2.4] as Vec3 }])(
    'at $at of an 8 × 5 × 3 m room is the solid angle of each surface',
    ({ at }) => {
      const [x, y, z] = at;
      const exact = [
        share([8, 5], [x, y], z),
        share([8, 5], [x, y], 3 - z),
        share([8, 3], [x, z], y),
        share([5, 3], [y, z], 8 - x),
        share([8, 3], [x, z], 5 - y),
        share([5, 3], [y, z], x),
      ];
      expect(exact.reduce((sum, part) => sum + part, 0)).toBeCloseTo(1, 9);
      exact.forEach((part, lined) => {
        const room = boxRoom(8, 5, 3, { alpha: (surface) => (surface === lined ? 1 : 0) });
        // 500 directions: a step of one direction is 0.002.
        expect(Math.abs(firstSurfaceAlpha(room, at) - part)).toBeLessThan(0.012);
      });
    },
  );
});

describe('the first-hit share of a source with an axis', () => {
  // G = b + (1 − b)((1 + cos θ)/2)^n off the grid, summed over the directions that meet x = 8 first, in closed geometry.
  test.each([{ axis: [1, 0, 0] as Vec3 }, { axis: [-1, 0, 0] as Vec3 }, { axis: [0.6, 0, 0.8] as Vec3 }])(
    'along $axis weighs what it meets by its gain',
    ({ axis }) => {
      const at: Vec3 = [6.5, 2.6, 1.4];
      const room = boxRoom(8, 5, 3, { alpha: (surface) => (surface === 3 ? 1 : 0) });
      let met = 0;
      for (const { toward, share: part } of sphereGrid(300)) {
        const [x, y, z] = toward;
        const ahead = x > 0 ? 1.5 / x : Number.POSITIVE_INFINITY;
        const within =
          Math.abs(2.6 + ahead * y - 2.5) <= 2.5 &&
          Math.abs(1.4 + ahead * z - 1.5) <= 1.5 &&
          Number.isFinite(ahead);
        const cos = x * axis[0] + y * axis[1] + z * axis[2];
        // Q 4 and 20 dB: b = 0.01, n = 3.125 (worked out in the checks of the fit).
        if (within) met += part * 4 * (0.01 + 0.99 * ((1 + cos) / 2) ** 3.125);
      }
      expect(Math.abs(firstSurfaceAlpha(room, at, { axis, q: 4, frontToBack: 20 }) - met)).toBeLessThan(0.02);
    },
  );

  test('facing the drapes loses over twice as much as facing the bare wall', () => {
    const room = boxRoom(6, 5, 3, { alpha: (surface) => (surface === 3 ? 0.8 : 0.05) });
    const facing = (axis: Vec3) => firstSurfaceAlpha(room, [3, 2.5, 1.5], { axis, q: 4 });
    expect(facing([1, 0, 0])).toBeGreaterThan(2 * facing([-1, 0, 0]));
  });
});

describe('in an L-shaped room', () => {
  const outline: readonly Vec2[] = [
    [0, 0],
    [6, 0],
    [6, 3],
    [3, 3],
    [3, 6],
    [0, 6],
  ];

  // From (1, 5) the wall x = 6 is hidden by the inner corner (3, 3): the line through both falls 1 m for every metre to the
  // right, so it reaches y = 0 at x = 6. Seen from (5, 1) the wall shows.
  test('a wall round the corner is not met first', () => {
    const room = roomOf(outline, 3, { alpha: (surface) => (surface === 3 ? 1 : 0) });
    expect(firstSurfaceAlpha(room, [1, 5, 1.5])).toBe(0);
    expect(firstSurfaceAlpha(room, [5, 1, 1.5])).toBeGreaterThan(0.2);
  });

  test('all surfaces together take everything', () => {
    expect(firstSurfaceAlpha(roomOf(outline, 3, { alpha: 0.3 }), [1, 5, 1.5])).toBeCloseTo(0.3, 9);
  });
});
