import { describe, expect, test } from 'vitest';
import { WEIGHTS, weightedSum } from '../../src/acoustics/bands.ts';
import { instrument, only } from './shipped-sources.ts';
import { octaveLevel, SPEECH } from './speech-spectra.ts';

describe('speech', () => {
  const voice = instrument('speech');
  const efforts = Object.entries(SPEECH).map(([effort, table]) => [effort, table] as const);

  test.each(efforts)('%s speech has the octaves of ANSI S3.5', (effort, { overall, levels }) => {
    const { spectrum, loudness } = only(voice.playing, effort);
    expect(loudness).toMatchObject({ kind: 'level', at: 1, weighting: 'Z', steps: { mf: overall } });
    [125, 250, 500, 1000, 2000, 4000, 8000].forEach((nominal, i) => {
      const ours = loudness.steps.mf + 10 * Math.log10(spectrum[i + 1] ?? 0);
      expect(Math.abs(ours - octaveLevel(levels, nominal))).toBeLessThan(0.15); // printed to 0.1 dB twice over
    });
  });

  // The A-weighted sums of the same tables by third-octaves: 59.2, 66.4, 73.9, 82.2 dB(A); octaves cost a few tenths.
  test.each(efforts)('%s speech reads as many dB(A)', (effort, { weighted }) => {
    const { spectrum, loudness } = only(voice.playing, effort);
    const level = loudness.steps.mf + 10 * Math.log10(weightedSum(spectrum, WEIGHTS.A));
    expect(Math.abs(level - weighted)).toBeLessThan(0.6);
  });

  test('speaking up from mf to ff is normal, raised and loud effort', () => {
    const { mf, f, ff } = voice.loudness.steps;
    expect([mf, f, ff]).toEqual([SPEECH.normal.overall, SPEECH.raised.overall, SPEECH.loud.overall]);
  });
});
