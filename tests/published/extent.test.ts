import { describe, expect, test } from 'vitest';
import { spreading, waveRadiusSquared } from '../../src/acoustics/directivity.ts';

/** Mean of 1/ρ² from a point on the axis over a disc strewn evenly with points: rings of equal width, weighted by radius. */
function discMean(radius: number, r: number): number {
  const rings = 100000;
  let sum = 0;
  for (let i = 0; i < rings; i++) {
    const x = ((i + 0.5) / rings) * radius;
    sum += ((2 * x) / (r * r + x * x)) * (radius / rings);
  }
  return sum / radius ** 2;
}

describe('an incoherent disc', () => {
  const CASES = [0.02, 0.1, 0.15, 0.5, 1].flatMap((radius) =>
    [0.02, 0.1, 0.3, 1, 5].map((r) => ({ radius, r })),
  );

  test.each(CASES)('of $radius m spreads over $r m as its points do', ({ radius, r }) => {
    expect(spreading(radius, r) / discMean(radius, r)).toBeCloseTo(1, 7);
  });

  // By hand: ln 2/a² at r = a: 10·lg(ln 2) = −1.59 dB under a point; ln(1.01)/0.01 at ten radii: −0.02 dB.
  test.each([
    { r: 0.15, under: -1.59 },
    { r: 1.5, under: -0.02 },
  ])('of 15 cm is $under dB under a point at $r m', ({ r, under }) => {
    expect(10 * Math.log10(spreading(0.15, r) * r * r)).toBeCloseTo(under, 2);
  });

  test('of no size is a point', () => {
    expect(spreading(0, 0.3)).toBeCloseTo(1 / 0.09, 9);
    expect(spreading(1e-6, 0.3) * 0.09).toBeCloseTo(1, 9);
  });

  test('is nowhere nearer than 1 cm', () => {
    expect(spreading(0, 0)).toBe(1e4);
    expect(spreading(0.1, 0.001)).toBe(spreading(0.1, 0.01));
    expect(waveRadiusSquared(0.03, 0)).toBeCloseTo(0.001, 12);
  });
});
