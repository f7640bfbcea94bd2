/**
 * Our octave filters against the limits of IEC 61260 for class 2 (1995 edition, which are the narrower; from memory): relative
 * attenuation in dB at powers of G = 10^0.3 off the middle, least and most.
 */
import { describe, expect, test } from 'vitest';
import { MID_BANDS, NOMINAL_BANDS } from '../../src/acoustics/bands.ts';
import { type OctaveFilter, octaveFilters } from '../../src/acoustics/octave-filters.ts';
import { integers } from '../../src/statistics.ts';

const LIMITS = [
  [0, -0.5, 0.5],
  [1 / 8, -0.5, 0.6],
  [1 / 4, -0.5, 0.8],
  [3 / 8, -0.5, 1.6],
  [1 / 2, 1.6, 5.5],
  [1, 16.5, Infinity],
  [2, 41, Infinity],
  [3, 55, Infinity],
  [4, 60, Infinity],
] as const;

const filterAt = (rate: number, band: number): OctaveFilter => {
  const filter = octaveFilters(rate)[band];
  if (!filter) throw new Error(`no filter for band ${band} at ${rate} Hz`);
  return filter;
};

/** Attenuation of a tone in dB over its last half second, once the filter has settled. */
function attenuation(rate: number, band: number, hertz: number): number {
  const filter = filterAt(rate, band);
  const tone = Float64Array.from({ length: 1.5 * rate }, (_, i) =>
    Math.sin((2 * Math.PI * hertz * i) / rate),
  );
  const out = new Float64Array(tone.length);
  filter.run(out, tone);
  return -10 * Math.log10(meanSquare(out.subarray(rate)) / 0.5);
}

const meanSquare = (samples: Float64Array): number =>
  samples.reduce((sum, one) => sum + one * one, 0) / samples.length;

describe.each([44_100, 48_000])('at %i samples a second', (rate) => {
  test.each(NOMINAL_BANDS.map((name, band) => ({ name, band })))(
    'tones about $name Hz keep to the limits',
    ({ band }) => {
      const mid = MID_BANDS[band] as number;
      for (const [power, least, most] of LIMITS) {
        for (const hertz of new Set([mid * 10 ** (0.3 * power), mid * 10 ** (-0.3 * power)])) {
          if (hertz >= rate / 2) continue;
          const found = attenuation(rate, band, hertz);
          expect(found, `${hertz.toFixed(0)} Hz`).toBeGreaterThanOrEqual(least);
          expect(found, `${hertz.toFixed(0)} Hz`).toBeLessThanOrEqual(most);
        }
      }
    },
  );
});

/** White noise has the share of its power in a band that the band has of all frequencies; 0.6 dB for class 2, from memory. */
test('white noise reads in each octave what its bandwidth says', () => {
  const rate = 48_000;
  const next = integers(7);
  const noise = Float64Array.from({ length: 20 * rate }, () => next() / 2 ** 31 - 1);
  const all = meanSquare(noise);
  for (const [band, mid] of MID_BANDS.entries()) {
    const out = new Float64Array(noise.length);
    filterAt(rate, band).run(out, noise);
    const share = (mid * (10 ** 0.15 - 10 ** -0.15)) / (rate / 2);
    expect(Math.abs(10 * Math.log10(meanSquare(out) / all / share)), `${mid.toFixed(0)} Hz`).toBeLessThan(
      0.6,
    );
  }
});

/** A band needs all of its width below half the sample rate: 8 kHz ends at 11.2 kHz. */
test('an octave above the sample rate is left out', () => {
  expect(octaveFilters(22_050).map((filter) => filter !== null)).toEqual([
    true,
    true,
    true,
    true,
    true,
    true,
    true,
    false,
  ]);
});
