import { describe, expect, test } from 'vitest';
import { MID_BANDS } from '../../src/acoustics/bands.ts';
import { firstOrder } from '../../src/acoustics/directivity.ts';
import { capsuleOf, levelIn, losslessAir, pointSource, sceneOf } from '../build-scene.ts';

/** Boost in dB of the on-axis response of A + B·cos θ at r metres. */
function boost(a: number, r: number, hertz: number, soundSpeed: number): number {
  const k = (2 * Math.PI * hertz) / soundSpeed;
  return 10 * Math.log10(firstOrder(a, 0, 1, 1 / (k * r) ** 2));
}

/** The same through a whole scene: with the proximity effect on, less with it off. */
function boostInScene(a: number, r: number, band: number, options: { radius?: number } = {}): number {
  const at = (proximity: boolean) =>
    levelIn(
      sceneOf({
        sources: [pointSource([0, r, 0], options)],
        capsules: [capsuleOf([0, 0, 0], [0, 1, 0], { a, proximity })],
      }),
      { band },
    );
  return at(true) - at(false);
}

describe('the proximity effect', () => {
  // Eargle, The Microphone Book, 2nd ed. 2005, eq. (4.6) and p. 63: 20·lg(√(1 + (kr)²)/(kr)), c = 344 m/s.
  test('lifts 100 Hz by 20.16 dB at a figure-8 5.4 cm from its source', () => {
    expect(boost(0, 0.054, 100, 344)).toBeCloseTo(20.16, 2);
  });

  // Eargle's eq. (4.6) and, for the cardioid, |A + B(1 + 1/(jkr))|, worked out at the nominal frequencies with c = 343 m/s:
  // our reference table, to its printed digit.
  test.each([
    { r: 0.02, figure8: [32.7, 26.8, 20.8, 14.9, 9.3], cardioid: [26.7, 20.8, 14.9, 9.3, 4.6] },
    { r: 0.05, figure8: [24.8, 18.9, 13.0, 7.6, 3.4], cardioid: [18.8, 13.0, 7.6, 3.4, 1.1] },
    { r: 0.1, figure8: [18.8, 13.0, 7.6, 3.4, 1.1], cardioid: [13.0, 7.6, 3.4, 1.1, 0.3] },
    { r: 0.2, figure8: [13.0, 7.6, 3.4, 1.1, 0.3], cardioid: [7.6, 3.4, 1.1, 0.3, 0.1] },
    { r: 0.3, figure8: [9.7, 4.9, 1.8, 0.5, 0.1], cardioid: [4.9, 1.8, 0.5, 0.1, 0.0] },
    { r: 0.6, figure8: [4.9, 1.8, 0.5, 0.1, 0.0], cardioid: [1.8, 0.5, 0.1, 0.0, 0.0] },
    { r: 1, figure8: [2.4, 0.8, 0.2, 0.1, 0.0], cardioid: [0.7, 0.2, 0.1, 0.0, 0.0] },
  ])('at $r m lifts a figure-8 by $figure8 and a cardioid by $cardioid dB, 63 Hz to 1 kHz', (row) => {
    [63, 125, 250, 500, 1000].forEach((hertz, i) => {
      expect(Math.abs(boost(0, row.r, hertz, 343) - (row.figure8[i] ?? 0))).toBeLessThan(0.051);
      expect(Math.abs(boost(0.5, row.r, hertz, 343) - (row.cardioid[i] ?? 0))).toBeLessThan(0.051);
    });
  });

  test.each([0.02, 0.1, 0.6])('comes through a whole scene at %f m in every band', (r) => {
    MID_BANDS.forEach((hertz, band) => {
      const kr = (2 * Math.PI * hertz * r) / losslessAir.soundSpeed;
      expect(boostInScene(0, r, band)).toBeCloseTo(20 * Math.log10(Math.sqrt(1 + kr * kr) / kr), 9);
      expect(boostInScene(0.5, r, band)).toBeCloseTo(10 * Math.log10(1 + 0.25 / (kr * kr)), 9);
      expect(boostInScene(1, r, band)).toBeCloseTo(0, 12);
    });
  });

  // r_e² = r² + a²: 3 cm before a disc of 4 cm radius the wave is as round as 5 cm from a point.
  test('is that of a point 5 cm off, 3 cm before a disc of 4 cm radius', () => {
    expect(boostInScene(0, 0.03, 1, { radius: 0.04 })).toBeCloseTo(boostInScene(0, 0.05, 1), 9);
  });

  // By hand: |½ + ½·cos θ(1 + 1/(jkr))|² at 180° is (1/(2kr))², and 1/4 at 90°, where a cardioid has no gradient.
  test('opens the null of a cardioid and leaves its side alone', () => {
    expect(firstOrder(0.5, 0, -1, 4)).toBeCloseTo(1, 12);
    expect(firstOrder(0.5, 0, 0, 4)).toBeCloseTo(0.25, 12);
  });
});
