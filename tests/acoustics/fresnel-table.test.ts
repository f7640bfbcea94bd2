import { describe, expect, test } from 'vitest';
import { auxiliaryF, auxiliaryG } from '../../src/acoustics/fresnel.ts';
import { fresnelF, fresnelG, fresnelPlace } from '../../src/acoustics/fresnel-table.ts';

const both = (x: number): readonly [number, number] => [fresnelF(fresnelPlace(x)), fresnelG(fresnelPlace(x))];

describe('the auxiliary Fresnel functions from the table', () => {
  test('start at one half, C(∞) and S(∞)', () => {
    const [f, g] = both(0);
    expect(f).toBeCloseTo(0.5, 6);
    expect(g).toBeCloseTo(0.5, 6);
  });

  test('are those of the fits within 1e-9 from 0 to 50', () => {
    for (let x = 0; x < 50; x += 0.0173) {
      const [f, g] = both(x);
      expect(Math.abs(f - auxiliaryF(x))).toBeLessThan(1e-9);
      expect(Math.abs(g - auxiliaryG(x))).toBeLessThan(1e-9);
    }
  });

  test.each([60, 300, 1e4, 1e9])('fall as 1/(πx) and 1/(π²x³) at %d (A&S 7.3.27-28)', (x) => {
    const [f, g] = both(x);
    expect(Math.abs(f - 1 / (Math.PI * x))).toBeLessThan(1.2e-7);
    expect(Math.abs(g - 1 / (Math.PI ** 2 * x ** 3))).toBeLessThan(1.2e-7);
  });

  test('are 0, not lost, where x is beyond all measure', () => {
    expect(both(Number.MAX_VALUE)).toEqual([0, 0]);
  });
});
