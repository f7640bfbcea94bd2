import { describe, expect, test } from 'vitest';
import { bands, sameInAllBands } from '../../src/acoustics/bands.ts';
import {
  auxiliaryF,
  auxiliaryG,
  BAND_STEP,
  fresnelPlace,
  fresnelTable,
  isInTable,
  PIECE_SIZE,
  quadraticAt,
} from '../../src/acoustics/fresnel.ts';
import {
  BAND_SIZE,
  DIRECT,
  HALF,
  IM,
  IMAGE,
  LIFT,
  newEdgeWave,
  RE,
  setWave,
  wavenumbersAt,
} from '../../src/transfer/edge-diffraction.ts';

const TABLE = fresnelTable();

/** f and g of a band, whose x is that of the lowest times √(10^0.3) a band. */
function both(x: number, band: number): readonly [number, number] {
  const place = fresnelPlace(x);
  const piece = place | 0;
  const at = piece * PIECE_SIZE + band * BAND_STEP;
  const sum = quadraticAt(TABLE, at, place - piece);
  const difference = quadraticAt(TABLE, at + 3, place - piece);
  return [(sum + difference) / 2, (sum - difference) / 2];
}

describe('the auxiliary Fresnel functions from the table', () => {
  test('are those of the fits within 1e-7 wherever it reaches, in every band', () => {
    for (let x = 1e-4; x < 100; x *= 1.0073) {
      for (let band = 0; band < 8; band++) {
        const [f, g] = both(x, band);
        expect(Math.abs(f - auxiliaryF(x * 10 ** (0.15 * band)))).toBeLessThan(1e-7);
        expect(Math.abs(g - auxiliaryG(x * 10 ** (0.15 * band)))).toBeLessThan(1e-7);
      }
    }
  });

  test('end at 1e-4 and 100 in the lowest band', () => {
    expect([1e-4, 99.9].map(isInTable)).toEqual([true, true]);
    expect([0, 9e-5, 100].map(isInTable)).toEqual([false, false, false]);
  });
});

/** The wave of an edge whose image term is left out, against the functions it is made of. */
const waveAt = (x: number): { re: Float64Array; im: Float64Array } => {
  const wave = newEdgeWave();
  wave[DIRECT] = x;
  wave[IMAGE] = 1;
  wave[LIFT] = 0;
  wave[HALF] = 1;
  setWave(wave, 0, sameInAllBands(0), wavenumbersAt(343));
  return {
    re: bands((band) => wave[band * BAND_SIZE + RE] as number),
    im: bands((band) => wave[band * BAND_SIZE + IM] as number),
  };
};

describe('an edge wave', () => {
  test('at grazing is that of f = g = 1/2, C(∞) and S(∞)', () => {
    const { re, im } = waveAt(0);
    for (const band of re.keys()) {
      expect(re[band]).toBeCloseTo(1, 6);
      expect(im[band]).toBeCloseTo(0, 6);
    }
  });

  test.each([60, 99, 101, 300, 1e4])('falls as 1/(πx) and 1/(π²x³) from %d on (A&S 7.3.27-28)', (x) => {
    const { re, im } = waveAt(x);
    for (const band of re.keys()) {
      const far = x * 10 ** (0.15 * band);
      expect(Math.abs(((re[band] ?? 0) + (im[band] ?? 0)) / 2 - 1 / (Math.PI * far))).toBeLessThan(1.2e-7);
      expect(Math.abs(((re[band] ?? 0) - (im[band] ?? 0)) / 2)).toBeLessThan(1.2e-7 + far ** -3);
    }
  });

  test.each([1e-4, 100])("is the same on either side of the table's end at %d", (end) => {
    const [inside, outside] = [waveAt(end * (1 - 1e-12)), waveAt(end * (1 + 1e-12))];
    for (const band of inside.re.keys()) {
      expect(Math.abs((inside.re[band] ?? 0) - (outside.re[band] ?? 0))).toBeLessThan(1e-9);
      expect(Math.abs((inside.im[band] ?? 0) - (outside.im[band] ?? 0))).toBeLessThan(1e-9);
    }
  });
});
