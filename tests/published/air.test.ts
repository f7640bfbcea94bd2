import { describe, expect, test } from 'vitest';
import { airLoss, airLossByBand, energyLoss, soundSpeed } from '../../src/acoustics/air.ts';
import { BAND_EDGE, MID_BANDS, NOMINAL_BANDS } from '../../src/acoustics/bands.ts';
import { capsuleOf, levelIn, losslessAir, pointSource, roomAir, sceneOf } from '../build-scene.ts';
import { expectStated, worst } from './expect-stated.ts';
import { STATED } from './stated.ts';

describe('absorption of air', () => {
  // ISO 9613-2:1996, Table 2, dB/km in the octaves 63 Hz to 8 kHz.
  test.each([
    { celsius: 10, humidity: 70, loss: [0.1, 0.4, 1.0, 1.9, 3.7, 9.7, 32.8, 117] },
    { celsius: 20, humidity: 70, loss: [0.1, 0.3, 1.1, 2.8, 5.0, 9.0, 22.9, 76.6] },
    { celsius: 15, humidity: 20, loss: [0.3, 0.6, 1.2, 2.7, 8.2, 28.2, 88.8, 202] },
    { celsius: 15, humidity: 50, loss: [0.1, 0.5, 1.2, 2.2, 4.2, 10.8, 36.2, 129] },
  ])('at $celsius °C and $humidity % is $loss dB/km', ({ celsius, humidity, loss }) => {
    airLossByBand(celsius, humidity).forEach((perMetre, band) => {
      const printed = loss[band] ?? 0;
      const digit = printed >= 100 ? 1 : 0.1;
      expect(Math.abs(perMetre * 1000 - printed)).toBeLessThan(digit * 0.6);
    });
  });

  // ISO 9613-1:1993, Table 1, dB/km at the exact mid-bands.
  const ENTRIES = [
    { celsius: 20, hertz: 1000, loss: 4.66 },
    { celsius: 20, hertz: 1995.262, loss: 9.86 },
    { celsius: 25, hertz: 1000, loss: 5.68 },
    { celsius: 10, hertz: 3981.072, loss: 46.7 },
    { celsius: 15, hertz: 1000, loss: 4.16 },
  ] as const;
  const part = ({ celsius, hertz, loss }: (typeof ENTRIES)[number]) =>
    (airLoss(hertz, celsius, 50) * 1000 - loss) / loss;

  test.each(ENTRIES)('at $celsius °C, 50 % and $hertz Hz is $loss dB/km', (entry) => {
    expect(Math.abs(part(entry))).toBeLessThan(0.004);
  });

  test('is as near as the page on the model says', () => {
    expectStated(STATED.air, { worst: 100 * worst(ENTRIES.map(part)) });
  });

  // ISO 9613-1, equations (3) to (5), worked out apart from our code: dB/km, and m = α/4.343 per metre.
  test('at 20 °C and 50 % is 0.123 to 103.9 dB/km, as energy 2.8e-5 to 0.0239 per metre', () => {
    const loss = [0.123, 0.445, 1.318, 2.733, 4.665, 9.855, 29.419, 103.912];
    const m = [2.8e-5, 0.000103, 0.000303, 0.000629, 0.001074, 0.002269, 0.006774, 0.023927];
    airLossByBand(20, 50).forEach((perMetre, band) => {
      expect(Math.abs(perMetre * 1000 - (loss[band] ?? 0))).toBeLessThan(0.001);
      expect(Math.abs(energyLoss(perMetre) - (m[band] ?? 0))).toBeLessThan(6e-7);
    });
  });

  test('takes 103.9 dB/km off 8 kHz on the direct way through a scene', () => {
    const at = (air: typeof roomAir) =>
      levelIn(
        sceneOf({ air, sources: [pointSource([0, 10, 0])], capsules: [capsuleOf([0, 0, 0], [0, 1, 0])] }),
        { band: 7 },
      );
    expect(at(losslessAir) - at(roomAir)).toBeCloseTo(1.039, 3);
  });
});

describe('speed of sound', () => {
  // ISO 9613-1, annex A: 343.2 m/s at 20 °C. The textbook line 331.3 + 0.606·t (from memory)
  // leaves the root by x²/8 of it, x = t/273.15: 0.5 m/s at 30 °C.
  test.each([0, 10, 20, 30])('at %i °C is within 0.5 m/s of 331.3 + 0.606·t', (celsius) => {
    expect(Math.abs(soundSpeed(celsius) - (331.3 + 0.606 * celsius))).toBeLessThan(0.5);
  });

  test('at 20 °C is 343.2 m/s', () => {
    expect(soundSpeed(20)).toBeCloseTo(343.2, 12);
  });
});

describe('the octave bands', () => {
  // IEC 61260-1:2014: exact mid-bands 1000·10^(3n/10), edges at mid·10^(±3/20).
  test('have the exact mid-bands of the standard', () => {
    const exact = [63.096, 125.893, 251.189, 501.187, 1000, 1995.262, 3981.072, 7943.282];
    expect(Array.from(MID_BANDS, (hertz) => Math.round(hertz * 1000) / 1000)).toEqual(exact);
  });

  test('are named by nominal frequencies within 1.3 % of the exact ones', () => {
    MID_BANDS.forEach((hertz, band) => {
      expect(Math.abs(hertz / (NOMINAL_BANDS[band] ?? 0) - 1)).toBeLessThan(0.013);
    });
  });

  test('touch: each ends where the next begins', () => {
    for (let band = 1; band < MID_BANDS.length; band++) {
      expect((MID_BANDS[band - 1] ?? 0) * BAND_EDGE).toBeCloseTo((MID_BANDS[band] ?? 0) / BAND_EDGE, 6);
    }
  });
});
