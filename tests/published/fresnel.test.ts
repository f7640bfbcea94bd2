import { describe, expect, test } from 'vitest';
import { auxiliaryF, auxiliaryG } from '../../src/acoustics/fresnel.ts';
import { expectStated } from './expect-stated.ts';
import { STATED } from './stated.ts';

/** x, f, g from the Faddeeva function of SciPy 1.17.1 (`wofz`): g + if = (1+i)/2 · w((1+i)·x·√π/2). */
const FADDEEVA = [
  [0, 0.5, 0.5],
  [0.1, 0.4931318256, 0.4077985545],
  [0.3, 0.4527710173, 0.267059293],
  [0.7, 0.3465515464, 0.1135138821],
  [1, 0.2798934004, 0.0617408526],
  [1.5, 0.2034184312, 0.0250097969],
  [2, 0.1565843216, 0.0117465939],
  [3, 0.1057207893, 0.003687001],
  [5, 0.0636311887, 0.0008086181],
  [10, 0.0318300214, 0.0001013058],
  [30, 0.0106103256, 0.0000037526],
] as const;

/** C(x) and S(x) of Abramowitz & Stegun, Table 7.7, from memory and checked with SciPy 1.17.1 (`fresnel`). */
const INTEGRALS = [
  [0.5, 0.4923442, 0.0647324],
  [1, 0.7798934, 0.4382591],
  [1.5, 0.4452612, 0.697505],
  [2, 0.4882534, 0.3434157],
  [3, 0.6057208, 0.496313],
  [4, 0.498426, 0.4205158],
  [5, 0.5636312, 0.4991914],
] as const;

/** f and g as integrals without oscillation, DLMF 7.7.10-11 with t = u²; trapezoid after u = e^(π/2·sinh v). */
function byQuadrature(x: number): readonly [number, number] {
  let f = 0;
  let g = 0;
  const step = 1 / 256;
  for (let v = -4; v <= 4; v += step) {
    const u = Math.exp((Math.PI / 2) * Math.sinh(v));
    const weight = u * (Math.PI / 2) * Math.cosh(v) * step;
    const kernel = (Math.exp((-Math.PI * x * x * u * u) / 2) / (1 + u ** 4)) * weight;
    if (Number.isFinite(kernel)) f += kernel;
    if (Number.isFinite(kernel * u * u)) g += kernel * u * u;
  }
  return [(f * Math.SQRT2) / Math.PI, (g * Math.SQRT2) / Math.PI];
}

describe('auxiliary Fresnel functions', () => {
  test.each(FADDEEVA)('at %f they are %f and %f', (x, f, g) => {
    expect(Math.abs(auxiliaryF(x) - f)).toBeLessThan(1e-6);
    expect(Math.abs(auxiliaryG(x) - g)).toBeLessThan(1e-6);
  });

  test.each(INTEGRALS)('at %f they give back C = %f and S = %f', (x, c, s) => {
    const angle = (Math.PI * x * x) / 2;
    const [f, g] = [auxiliaryF(x), auxiliaryG(x)];
    expect(0.5 + f * Math.sin(angle) - g * Math.cos(angle)).toBeCloseTo(c, 6);
    expect(0.5 - f * Math.cos(angle) - g * Math.sin(angle)).toBeCloseTo(s, 6);
  });

  test('they stay within 1e-6 of their integrals from 0 to 40', () => {
    let worst = 0;
    for (let x = 0; x <= 40; x = x < 4 ? x + 0.01 : x * 1.03) {
      const [f, g] = byQuadrature(x);
      worst = Math.max(worst, Math.abs(auxiliaryF(x) - f), Math.abs(auxiliaryG(x) - g));
    }
    expect(worst).toBeLessThan(1e-6);
    expectStated(STATED.fresnel, { worst });
  });

  test('far out they fall as 1/(πx) and 1/(π²x³)', () => {
    // First terms of Abramowitz & Stegun 7.3.27-28; the next are 3/(π²x⁴) and 15/(π²x⁴) smaller.
    expect(auxiliaryF(200) * Math.PI * 200).toBeCloseTo(1, 3);
    expect(auxiliaryG(20) * Math.PI ** 2 * 20 ** 3).toBeCloseTo(1, 2);
  });
});
