import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { bearingPicture, PICTURE, pointsOf, x, y } from './bearing-picture.ts';
import { readme, run, shownIn } from './shown.ts';

const shown = shownIn(readme());

describe('the README shows what the command prints', () => {
  test('it shows some', () => expect(shown.length).toBeGreaterThan(3));

  test.each(shown)('$ $command', ({ command, output, cut }) => {
    const today = run(command);
    expect(cut ? today.slice(0, output.length) : today).toEqual(output);
  });
});

test('the picture is drawn of a run of today', () => {
  expect(readFileSync(PICTURE, 'utf8')).toBe(bearingPicture());
});

test('a row stands in the picture by its bearing and its figure', () => {
  const [point] = pointsOf(['row,pattern,bearing,figure,fault', '1,omni,90,5,']);
  // 90 of 360 degrees in a frame from 60 to 560; 5 dB half way up from -10 to 20, in a frame from 275 to 20
  expect([x(point?.bearing ?? 0), y(point?.decibels ?? 0)]).toEqual([185, 147.5]);
});
