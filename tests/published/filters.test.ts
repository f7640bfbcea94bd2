import { describe, expect, test } from 'vitest';
import { decibels, filterByBand, highPass, lowPass } from '../../src/acoustics/bands.ts';

/*
 * Butterworth, On the theory of filter amplifiers, 1930 (from memory): |H|² = 1/(1 + x^2n), x the cut-off over the frequency of
 * a high-pass and the frequency over the cut-off of a low-pass, n the order, 6 dB an octave each.
 */
describe('a Butterworth filter', () => {
  test.each([6, 12, 18, 24, 48])('of %i dB an octave is 3.01 dB down at its cut-off', (slope) => {
    expect(decibels(highPass({ at: 100, slope }, 100))).toBeCloseTo(-3.0103, 4);
    expect(decibels(lowPass({ at: 100, slope }, 100))).toBeCloseTo(-3.0103, 4);
  });

  // By hand: 1/(1 + 2^2) = 1/5, 1/(1 + 2^4) = 1/17, 1/(1 + 2^6) = 1/65, 1/(1 + 2^8) = 1/257; two octaves off 1/(1 + 4^4) = 1/257.
  test.each([
    { slope: 6, octaves: 1, level: -6.99 },
    { slope: 12, octaves: 1, level: -12.304 },
    { slope: 18, octaves: 1, level: -18.129 },
    { slope: 24, octaves: 1, level: -24.099 },
    { slope: 12, octaves: 2, level: -24.099 },
  ])('of $slope dB an octave is at $level dB $octaves octave(s) off', ({ slope, octaves, level }) => {
    expect(decibels(highPass({ at: 80, slope }, 80 / 2 ** octaves))).toBeCloseTo(level, 3);
    expect(decibels(lowPass({ at: 5000, slope }, 5000 * 2 ** octaves))).toBeCloseTo(level, 3);
  });

  test.each([6, 12, 18, 24])('falls by its %i dB in an octave far off', (slope) => {
    // 20·n·lg 2: 6.02 dB an octave and order.
    const fall = (slope / 6) * 20 * Math.log10(2);
    const at = (hertz: number) => decibels(highPass({ at: 1000, slope }, hertz));
    expect(at(2) - at(1)).toBeCloseTo(fall, 4);
    const above = (hertz: number) => decibels(lowPass({ at: 10, slope }, hertz));
    expect(above(10_000) - above(20_000)).toBeCloseTo(fall, 4);
  });

  test('leaves what it passes: two octaves inside no more than 0.02 dB goes', () => {
    // 1/(1 + (1/4)^4) = 256/257: −0.0169 dB.
    expect(decibels(highPass({ at: 100, slope: 12 }, 400))).toBeCloseTo(-0.0169, 4);
    expect(decibels(lowPass({ at: 400, slope: 12 }, 100))).toBeCloseTo(-0.0169, 4);
  });
});

describe('the filters of a channel', () => {
  test('act at the exact middle of each octave', () => {
    // High-pass 100 Hz, 12 dB: at 63.0957 Hz (100/63.0957)^4 = 10^0.8 = 6.3096, −10·lg 7.3096 = −8.639 dB; at 1 kHz
    // −10·lg(1 + 10^−4) = −0.0004 dB.
    const factors = filterByBand({ at: 100, slope: 12 }, null);
    expect(decibels(factors?.[0] ?? 0)).toBeCloseTo(-8.639, 3);
    expect(decibels(factors?.[4] ?? 0)).toBeCloseTo(-0.0004, 4);
  });

  test('add in dB where there are two, and are none where there is none', () => {
    // Both at 1 kHz: 3.01 dB each at 1 kHz.
    const both = filterByBand({ at: 1000, slope: 12 }, { at: 1000, slope: 24 });
    expect(decibels(both?.[4] ?? 0)).toBeCloseTo(-6.0206, 4);
    expect(filterByBand(null, null)).toBeNull();
  });
});
