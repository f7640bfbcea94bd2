import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Vec2 } from '../../src/geometry.ts';
import {
  crossing,
  distanceToSegment,
  holds,
  isConvex,
  seesWithin,
  signedArea,
  turn,
} from '../../src/geometry.ts';
import { span } from './scenes.ts';

const RUNS = { numRuns: 500, seed: 29, endOnFailure: true };

/** 6 × 6 m less its upper right quarter. */
const L: readonly Vec2[] = [
  [0, 0],
  [6, 0],
  [6, 3],
  [3, 3],
  [3, 6],
  [0, 6],
];

/** A star about the origin: corners at rising bearings, each at its own distance. */
const star = fc.array(span(1, 5), { minLength: 3, maxLength: 9 }).map((radii): Vec2[] =>
  radii.map((r, i) => {
    const angle = (2 * Math.PI * i) / radii.length;
    return [r * Math.cos(angle), r * Math.sin(angle)];
  }),
);
const point: fc.Arbitrary<Vec2> = fc.tuple(span(-5, 5), span(-5, 5));

/** By the sum of the angles under which the sides are seen: a full turn from inside, none from outside. */
function woundAround(outline: readonly Vec2[], [x, y]: Vec2): boolean {
  const sum = outline.reduce((all, [ax, ay], i) => {
    const [bx, by] = outline[(i + 1) % outline.length] as Vec2;
    const [ux, uy, vx, vy] = [ax - x, ay - y, bx - x, by - y];
    return all + Math.atan2(ux * vy - uy * vx, ux * vx + uy * vy);
  }, 0);
  return Math.abs(sum) > Math.PI;
}

describe('an L of 27 m²', () => {
  test('has an area of 27 m² and one inner corner', () => {
    expect(signedArea(L)).toBe(27);
    expect(signedArea([...L].reverse())).toBe(-27);
    expect(isConvex(L)).toBe(false);
    expect(L.map((_, i) => turn(L, i) < 0)).toEqual([false, false, false, true, false, false]);
  });

  test.each([
    { from: [1, 5], to: [1, 1], sees: true },
    { from: [1, 5], to: [5, 1], sees: true },
    { from: [2, 5], to: [5, 2], sees: false },
    { from: [2.9, 5.9], to: [5.9, 2.9], sees: false },
    { from: [3, 6], to: [3, 0], sees: true },
    { from: [0, 3], to: [6, 3], sees: true },
  ] as { from: Vec2; to: Vec2; sees: boolean }[])('from $from one sees $to: $sees', ({ from, to, sees }) => {
    expect(seesWithin(L, from, to)).toBe(sees);
    expect(seesWithin(L, to, from)).toBe(sees);
  });
});

describe('any outline', () => {
  test('holds what it winds round', () => {
    fc.assert(
      fc.property(star, point, (outline, at) => {
        expect(holds(outline, at[0], at[1])).toBe(woundAround(outline, at));
      }),
      RUNS,
    );
  });

  test('has the area of its triangles about the middle', () => {
    fc.assert(
      fc.property(star, (outline) => {
        const wedge = Math.sin((2 * Math.PI) / outline.length) / 2;
        const radii = outline.map(([x, y]) => Math.hypot(x, y));
        const area = radii.reduce((sum, r, i) => sum + wedge * r * (radii[(i + 1) % radii.length] ?? 0), 0);
        expect(signedArea(outline)).toBeCloseTo(area, 9);
      }),
      RUNS,
    );
  });

  test('is seen through alike from both ends, and only where every point between is inside', () => {
    fc.assert(
      fc.property(star, point, point, (outline, a, b) => {
        fc.pre(holds(outline, a[0], a[1]) && holds(outline, b[0], b[1]));
        const sees = seesWithin(outline, a, b);
        expect(seesWithin(outline, b, a)).toBe(sees);
        const between = Array.from({ length: 200 }, (_, i): Vec2 => {
          const part = (i + 0.5) / 200;
          return [a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])];
        });
        const inside = between.every(([x, y]) => holds(outline, x, y));
        if (sees) expect(inside).toBe(true);
        else if (inside) expect(leastGap(outline, between)).toBeLessThan(0.1);
      }),
      RUNS,
    );
  });
});

/** How near the points come to the outline: a way may leave it for less than the step between two of them. */
const leastGap = (outline: readonly Vec2[], points: readonly Vec2[]): number =>
  Math.min(
    ...outline.flatMap((a, i) =>
      points.map((p) => distanceToSegment(p, a, outline[(i + 1) % outline.length] as Vec2)),
    ),
  );

test('two stretches cross where both lines say', () => {
  fc.assert(
    fc.property(point, point, point, point, (a, b, c, d) => {
      const met = crossing(a, b, c, d);
      if (!met) return;
      const [t, u] = met;
      expect(a[0] + t * (b[0] - a[0])).toBeCloseTo(c[0] + u * (d[0] - c[0]), 6);
      expect(a[1] + t * (b[1] - a[1])).toBeCloseTo(c[1] + u * (d[1] - c[1]), 6);
    }),
    RUNS,
  );
});
