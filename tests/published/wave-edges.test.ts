import { describe, expect, test } from 'vitest';
import { expectStated, rms, worst } from './expect-stated.ts';
import { STATED } from './stated.ts';
import { type Difference, differences, sceneOf } from './wave-rooms.ts';

type Held = {
  readonly scene: string;
  /** Largest rms at 500 Hz, 1, 2 and 4 kHz, dB: 0.2 above what the model of half-planes, deepest first, left, or less. */
  readonly most: readonly number[];
  /** Largest mean from 1 kHz up, dB. */
  readonly bias?: number;
  readonly keep?: (one: Difference) => boolean;
};

const HELD: readonly Held[] = [
  { scene: 'free-panel', most: [0.78, 0.76, 1.07, 1.16] },
  { scene: 'free-two-panels', most: [2.58, 4.21, 3.22, 3.74], bias: 1 },
  { scene: 'free-l', most: [1.77, 1.94, 1.56, 1.37] },
  { scene: 'even-20-screen', most: [0.96, 1.2, 0.87] },
  { scene: 'dry-45-soft-screen', most: [1.48, 1.38, 0.96] },
  { scene: 'dry-45-two-screens', most: [1.72, 1.48, 1.59] },
  { scene: 'l-room', most: [1.27, 1, 1] },
  { scene: 'doorway', most: [1.52, 1.29, 1.08] },
  // beyond the wall, whose middle is at x = 4.6 m
  { scene: 'doorway', most: [1.6, 1.6, 1.6], keep: ({ at }) => at[0] > 4.6 },
];

describe('edges against the wave equation in three dimensions', () => {
  test.each(HELD)('$scene', ({ scene, most, bias = Number.POSITIVE_INFINITY, keep = () => true }) => {
    const found = sceneOf(scene)
      .flatMap((one) => differences(one))
      .filter(keep);
    most.forEach((limit, i) => {
      const hertz = 500 * 2 ** i;
      const values = found.filter((one) => one.hertz === hertz).map(({ db }) => db);
      const mean = values.reduce((sum, db) => sum + db, 0) / values.length;
      expect.soft(values.length, `${hertz} Hz, places`).toBeGreaterThan(10);
      expect.soft(rms(values), `${hertz} Hz, rms`).toBeLessThan(limit);
      if (hertz >= 1000) expect.soft(Math.abs(mean), `${hertz} Hz, mean`).toBeLessThan(bias);
    });
  });

  test.each([
    { scene: 'free-panel', row: STATED.openPanel },
    { scene: 'free-two-panels', row: STATED.openTwo },
    { scene: 'free-l', row: STATED.openL },
  ])('$scene differs as the page on the model says', ({ scene, row }) => {
    const values = sceneOf(scene)
      .flatMap((one) => differences(one))
      .flatMap(({ hertz, db }) => (hertz >= 500 ? [db] : []));
    expectStated(row, { rms: rms(values), worst: worst(values) });
  });
});
