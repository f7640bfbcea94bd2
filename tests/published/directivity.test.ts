import { describe, expect, test } from 'vitest';
import { decibels, sameInAllBands } from '../../src/acoustics/bands.ts';
import {
  angleTable,
  type Directivity,
  directivityOf,
  fitDirectivity,
  gain,
  measuredDirectivity,
  OMNIDIRECTIONAL,
} from '../../src/acoustics/directivity.ts';
import type { Vec3 } from '../../src/geometry.ts';
import { energyAt, transfer } from '../../src/transfer/transfer.ts';
import { capsuleOf, pointSource, sceneOf } from '../build-scene.ts';
import { sphereAverage, sphereGrid } from './sphere.ts';

const of = (q: number, frontToBack: number | null): Directivity =>
  directivityOf(
    () => q,
    () => frontToBack,
  );

describe('the fit of Q and front-to-back ratio', () => {
  // By hand from 1/Q = b + (1 − b)/(n + 1), n = (1 − b)/(1/Q − b) − 1:
  test.each([
    // b = 0.01, n = 0.99/0.24 − 1.
    { q: 4, frontToBack: 20, b: 0.01, n: 3.125, bent: false },
    // b = 0.1, n = 0.9/0.4 − 1.
    { q: 2, frontToBack: 10, b: 0.1, n: 1.25, bent: false },
    // No ratio: b = 0.5/4, n = 0.875/0.125 − 1.
    { q: 4, frontToBack: null, b: 0.125, n: 6, bent: false },
    // n = 0.99/(1/1.2 − 0.01) − 1 = 0.20 is too flat: n = 0.5, b = (1.5/1.2 − 1)/0.5.
    { q: 1.2, frontToBack: 20, b: 0.5, n: 0.5, bent: true },
    // 10^(−0.65) = 0.2239, n = 0.7761/0.0261 − 1 = 28.7 is too sharp: n = 8, b = (9/4 − 1)/8.
    { q: 4, frontToBack: 6.5, b: 0.15625, n: 8, bent: true },
    // b = 0.501 > 1/Q: no n exists: n = 8.
    { q: 4, frontToBack: 3, b: 0.15625, n: 8, bent: true },
    // The same at Q = 10, where n may reach 15: b = (16/10 − 1)/15.
    { q: 10, frontToBack: 3, b: 0.04, n: 15, bent: true },
    // No ratio at Q = 1.2: n = 2Q − 2 = 0.4 is too flat.
    { q: 1.2, frontToBack: null, b: 0.5, n: 0.5, bent: true },
  ])('of Q $q and $frontToBack dB is b = $b, n = $n', ({ q, frontToBack, b, n, bent }) => {
    const fit = fitDirectivity(q, frontToBack);
    expect(fit.b).toBeCloseTo(b, 9);
    expect(fit.n).toBeCloseTo(n, 9);
    expect(fit.bent).toBe(bent);
  });

  test.each([1, 0.8])('of Q %f speaks alike in all directions', (q) => {
    for (const cos of [-1, -0.3, 0, 0.9, 1]) expect(gain(of(q, 12), 4, cos)).toBe(1);
  });

  const GRID = [1.05, 1.2, 1.49, 1.51, 2, 3, 4, 6, 8, 12, 20].flatMap((q) =>
    [null, 0, 1, 3, 6, 10, 15, 20, 30].map((frontToBack) => ({ q, frontToBack })),
  );

  test.each(GRID)(
    'of Q $q and $frontToBack dB has a sphere mean of 1/Q, a floor of 0 or more and G(0) = 1',
    (row) => {
      const directivity = of(row.q, row.frontToBack);
      expect(sphereAverage((cos) => gain(directivity, 4, cos))).toBeCloseTo(1 / row.q, 5);
      expect(directivity.b[4]).toBeGreaterThanOrEqual(0);
      expect(gain(directivity, 4, 1)).toBeCloseTo(1, 12);
      const { n } = fitDirectivity(row.q, row.frontToBack);
      expect(n).toBeGreaterThanOrEqual(0.5);
      expect(n).toBeLessThanOrEqual(Math.max(8, 1.5 * row.q));
    },
  );

  test.each(
    GRID.filter(({ q, frontToBack }) => !fitDirectivity(q, frontToBack).bent && frontToBack !== null),
  )('of Q $q and $frontToBack dB is that much lower behind', ({ q, frontToBack }) => {
    expect(decibels(gain(of(q, frontToBack), 4, -1))).toBeCloseTo(-(frontToBack ?? 0), 9);
  });
});

/** Power that passes a sphere of 7 m round the source, over what it gives off: ∮p² dS with ρc = 400. */
function powerThroughSphere(directivity: Directivity, axis: Vec3): number {
  const grid = sphereGrid(60);
  const capsules = grid.map(({ toward: [x, y, z] }) => capsuleOf([7 * x, 7 * y, 7 * z], [0, 0, 1]));
  const result = transfer(sceneOf({ sources: [pointSource([0, 0, 0], { axis, directivity })], capsules }));
  const mean = grid.reduce((sum, { share }, i) => sum + share * energyAt(result, 0, i, 4), 0);
  return (mean * 4 * Math.PI * 49) / 1e10;
}

describe('sound power', () => {
  const table = angleTable(
    [0, 30, 60, 90, 120, 150, 180],
    [0, -2.6, -7.2, -12, -14.2, -16.2, -12.6].map((level) => Array<number>(8).fill(level)),
  );
  const axis: Vec3 = [2 / 7, 3 / 7, 6 / 7];

  test.each([
    { name: 'an omni', directivity: OMNIDIRECTIONAL },
    { name: 'Q 2, 10 dB', directivity: of(2, 10) },
    { name: 'Q 6, 20 dB', directivity: of(6, 20) },
    { name: 'a bent fit', directivity: of(4, 3) },
    { name: 'a measured table', directivity: measuredDirectivity(table) },
  ])('of $name is what passes a sphere round it', ({ directivity }) => {
    expect(powerThroughSphere(directivity, axis)).toBeCloseTo(1, 3);
  });

  // BRAS (Aspöck et al. 2019), a 4-inch near-field loudspeaker at 2 kHz, rotational mean, printed to 0.1 dB in steps of 30°:
  // its coefficients integrate to 8.0 dB. Linear in dB between so few angles, a table comes within 0.5 dB of that.
  test('index of a measured loudspeaker is 8.0 dB within 0.5 dB', () => {
    expect(Math.abs(decibels(measuredDirectivity(table).q[4] ?? 0) - 8.0)).toBeLessThan(0.5);
  });

  // By hand: 0 dB within 90°, nothing behind (−200 dB): half a sphere, Q = 2 but for the degree between.
  test('of a hemisphere makes Q 2', () => {
    const half = angleTable(
      [0, 89.5, 90.5, 180],
      [0, 0, -200, -200].map((level) => Array<number>(8).fill(level)),
    );
    expect(measuredDirectivity(half).q[4]).toBeCloseTo(2, 1);
  });
});

test('a typed table is read at its own angles and linear in dB between them', () => {
  const steep = angleTable(
    [0, 90, 180],
    [0, -10, -40].map((level) => Array<number>(8).fill(level)),
  );
  const directivity = { ...OMNIDIRECTIONAL, q: sameInAllBands(1), table: steep };
  const at = (degrees: number) => decibels(gain(directivity, 4, Math.cos((degrees * Math.PI) / 180)));
  expect(at(0)).toBeCloseTo(0, 9);
  expect(at(45)).toBeCloseTo(-5, 9);
  expect(at(90)).toBeCloseTo(-10, 9);
  expect(at(150)).toBeCloseTo(-30, 9);
  expect(at(180)).toBeCloseTo(-40, 9);
});
