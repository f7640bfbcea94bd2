import { expect, test } from 'vitest';
import { byBand } from '../../src/acoustics/bands.ts';

const rounded = (values: Float64Array) => [...values].map((v) => Number(v.toFixed(6)));

test('one number stands for all eight bands and fills nothing', () => {
  const { values, filled } = byBand(0.3, 'linear');
  expect([...values]).toEqual(Array(8).fill(0.3));
  expect(filled).toEqual({ interpolated: [], held: [], silent: [] });
});

// 250 Hz and 500 Hz lie at one and two thirds of the way from 125 Hz to 1 kHz: 0.1 + 0.6/3, 0.1 + 2·0.6/3.
test('missing bands of a coefficient lie linearly on log frequency and the ends hold', () => {
  const { values, filled } = byBand({ 125: 0.1, 1000: 0.7 }, 'linear');
  expect(rounded(values)).toEqual([0.1, 0.1, 0.3, 0.5, 0.7, 0.7, 0.7, 0.7]);
  expect(filled).toEqual({ interpolated: [250, 500], held: [63, 2000, 4000, 8000], silent: [] });
});

test('decibels lie linearly in decibels: 10 dB and 40 dB three octaves apart have 20 and 30 between', () => {
  expect(rounded(byBand({ 125: 10, 1000: 40 }, 'decibel').values)).toEqual([10, 10, 20, 30, 40, 40, 40, 40]);
});

// Q = 2 at 500 Hz and 8 at 2 kHz: 3.01 and 9.03 dB, their middle 6.02 dB is Q = 4, not 5.
test('a directivity factor lies linearly in its decibels', () => {
  const { values, filled } = byBand({ 500: 2, 2000: 8 }, 'factor');
  expect(rounded(values)).toEqual([2, 2, 2, 2, 4, 8, 8, 8]);
  expect(filled.interpolated).toEqual([1000]);
});

test('a spectrum is silent beyond its ends and filled between them', () => {
  const { values, filled } = byBand({ 250: -6, 1000: -2 }, 'spectrum');
  const silence = Number.NEGATIVE_INFINITY;
  expect([...values]).toEqual([silence, silence, -6, -4, -2, silence, silence, silence]);
  expect(filled).toEqual({ interpolated: [500], held: [], silent: [63, 125, 2000, 4000, 8000] });
});

test('the order of writing does not matter, and a full map fills nothing', () => {
  const full = { 8000: 8, 63: 1, 125: 2, 250: 3, 500: 4, 1000: 5, 2000: 6, 4000: 7 };
  const { values, filled } = byBand(full, 'decibel');
  expect([...values]).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
  expect(filled).toEqual({ interpolated: [], held: [], silent: [] });
});

test('a map of one band holds everywhere', () => {
  expect([...byBand({ 500: 2.5 }, 'factor').values].map((v) => v.toFixed(9))).toEqual(
    Array(8).fill('2.500000000'),
  );
});

test('a band that does not exist and an empty map are bugs of the caller', () => {
  expect(() => byBand({ 300: 1 }, 'linear')).toThrow('300 is no octave band');
  expect(() => byBand({}, 'linear')).toThrow('at least one band');
});
