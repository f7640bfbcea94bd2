import { expect, test } from 'vitest';
import { NOMINAL_BANDS } from '../../src/acoustics/bands.ts';
import { octaves, verdictWords } from '../../src/report/words.ts';
import { figure } from '../../src/text.ts';

test('a deficit is never shown as nothing', () => {
  expect(verdictWords('short', -4)).toBe('4.0 dB short');
  expect(verdictWords('short', -0.01)).toBe('under 0.1 dB short');
  expect(verdictWords('marginal', 1.25)).toBe('marginal, 1.3 dB to spare');
  expect(verdictWords('clear', 12)).toBe('clear, 12.0 dB to spare');
  expect(verdictWords('short', null)).toBe('short');
});

test('zero has no sign', () => expect(figure(-0.04, 1)).toBe('0.0'));

test('octaves in a row are a span, others a list', () => {
  expect(octaves([250, 500, 1000], NOMINAL_BANDS)).toBe('250 Hz to 1 kHz');
  expect(octaves([63, 8000], NOMINAL_BANDS)).toBe('63 Hz, 8 kHz');
  expect(octaves([1000], NOMINAL_BANDS)).toBe('1 kHz');
  expect(octaves([...NOMINAL_BANDS], NOMINAL_BANDS)).toBe('all octaves');
});
