import { describe, expect, test } from 'vitest';
import {
  aWeight,
  cWeight,
  decibels,
  energyOf,
  MID_BANDS,
  sameInAllBands,
  WEIGHTS,
  weightedSum,
} from '../../src/acoustics/bands.ts';
import { expectStated, worst } from './expect-stated.ts';
import { STATED } from './stated.ts';

describe('weightings', () => {
  // IEC 61672-1:2013, Table 3, octaves, dB to one digit.
  const TABLES = [
    { name: 'A', of: aWeight, table: [-26.2, -16.1, -8.6, -3.2, 0.0, 1.2, 1.0, -1.1] },
    { name: 'C', of: cWeight, table: [-0.8, -0.2, 0.0, 0.0, 0.0, -0.2, -0.8, -3.0] },
  ] as const;
  test.each(TABLES)('$name is $table dB in the octaves', ({ name, of, table }) => {
    table.forEach((printed, band) => {
      expect(Math.abs(of(MID_BANDS[band] ?? 0) - printed)).toBeLessThan(0.051);
      expect(Math.abs(decibels(WEIGHTS[name][band] ?? 0) - printed)).toBeLessThan(0.051);
    });
  });

  test('are as near as the page on the model says', () => {
    const off = TABLES.flatMap(({ of, table }) => table.map((printed, i) => of(MID_BANDS[i] ?? 0) - printed));
    expectStated(STATED.weightings, { worst: worst(off) });
  });

  // The same table beyond our octaves.
  test.each([
    { hertz: 31.623, a: -39.4, c: -3.0 },
    { hertz: 15848.93, a: -6.6, c: -8.5 },
  ])('at $hertz Hz are $a dB (A) and $c dB (C)', ({ hertz, a, c }) => {
    expect(Math.abs(aWeight(hertz) - a)).toBeLessThan(0.051);
    expect(Math.abs(cWeight(hertz) - c)).toBeLessThan(0.051);
  });

  // ISO 3382-3:2012, speech at 1 m by octave from 125 Hz (figures from memory); their A-weighted sum is printed as 57.4 dB.
  test('bring the standard’s speech spectrum to 57.4 dBA', () => {
    const speech = [Number.NEGATIVE_INFINITY, 49.9, 54.3, 58.0, 52.0, 44.8, 38.8, 33.5];
    expect(
      Math.abs(decibels(weightedSum(Float64Array.from(speech, energyOf), WEIGHTS.A)) - 57.4),
    ).toBeLessThan(0.05);
  });

  test('Z leaves eight bands of 60 dB at 69.03 dB', () => {
    expect(decibels(weightedSum(sameInAllBands(1e6), WEIGHTS.Z))).toBeCloseTo(60 + 10 * Math.log10(8), 9);
  });
});
