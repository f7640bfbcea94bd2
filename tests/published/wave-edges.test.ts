import { describe, expect, test } from 'vitest';
import { meanOf, rmsOf, waveDifferences } from './wave-scenes.ts';

/** Octaves from which the statistics of a few dozen places mean something. */
const FROM = 500;

/** Largest rms by octave from 500 Hz up, in dB, and largest mean at 1, 2 and 4 kHz where one is held. */
const HELD: readonly { scene: string; rms: Readonly<Record<number, number>>; mean?: number }[] = [
  { scene: 'free-panel', rms: { 500: 0.78, 1000: 0.76, 2000: 1.07, 4000: 1.16 }, mean: 0.5 },
];

describe('edges against the wave equation in three dimensions', () => {
  test.each(HELD)('$scene', ({ scene, rms, mean = Infinity }) => {
    for (const [octave, differences] of waveDifferences(scene)) {
      if (octave < FROM) continue;
      expect.soft(rmsOf(differences), `${octave} Hz, rms`).toBeLessThan(rms[octave] as number);
      if (octave >= 1000) expect.soft(Math.abs(meanOf(differences)), `${octave} Hz, mean`).toBeLessThan(mean);
    }
  });
});
