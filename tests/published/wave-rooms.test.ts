import { describe, expect, test } from 'vitest';
import { expectStated, rms, worst } from './expect-stated.ts';
import { ROOM_OCTAVES, STATED, STATED_ROOMS, type Stated } from './stated.ts';
import { type Difference, differences, WAVE_ROOMS } from './wave-rooms.ts';

const mean = (values: readonly number[]): number =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

const found = WAVE_ROOMS.flatMap((scene) => differences(scene));
const isOmni = ({ scene }: Difference): boolean => !scene.startsWith('first-order');
const within = (of: readonly Difference[], from: number, to: number): number[] =>
  of.filter(({ hertz }) => hertz >= from && hertz <= to).map(({ db }) => db);

/** "0.24/0.87", with a proper minus sign, the rms rounded up; a dash where there is nothing. */
function stated(values: readonly number[]): string {
  if (values.length === 0) return '–';
  const middle = mean(values)
    .toFixed(2)
    .replace(/^-0\.00$/, '0.00')
    .replace('-', '−');
  return `${middle}/${(Math.ceil(100 * rms(values) - 1e-6) / 100).toFixed(2)}`;
}

describe('levels in rooms solved by the wave equation, through the command', () => {
  test.each(Object.keys(STATED_ROOMS) as (keyof typeof STATED_ROOMS)[])(
    '%s differs octave by octave as the page on the model says',
    (name) => {
      const of = found.filter((one) => (name === 'omni' ? isOmni(one) : one.scene === name));
      const levels = ROOM_OCTAVES.map((hertz) => stated(within(of, hertz, hertz)));
      expect(levels.join(' ')).toEqual(STATED_ROOMS[name].levels);
    },
  );

  test('every scene is in the table', () => {
    const names = new Set(WAVE_ROOMS.map(({ scene }) => scene));
    expect(Object.keys(STATED_ROOMS).filter((name) => name !== 'omni')).toEqual([...names]);
  });

  // What the model is held to: nine rooms with omni mics.
  test.each([
    { from: 500, to: 2000, most: 0.98, bias: 0.4, row: STATED.roomsMiddle },
    { from: 250, to: 250, most: 1.95, bias: 0.8, row: STATED.rooms250 },
    { from: 125, to: 125, most: Number.POSITIVE_INFINITY, bias: 1.8, row: STATED.rooms125 },
  ])(
    'from $from to $to Hz the rms is at most $most dB and the mean within $bias dB',
    ({ from, to, most, bias, row }) => {
      const values = within(found.filter(isOmni), from, to);
      expect(rms(values)).toBeLessThanOrEqual(most);
      expect(Math.abs(mean(values))).toBeLessThanOrEqual(bias);
      expectStated<Stated>(row, { rms: rms(values), worst: worst(values) });
    },
  );
});
