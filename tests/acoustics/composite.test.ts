import { expect, test } from 'vitest';
import { sameInAllBands } from '../../src/acoustics/bands.ts';
import {
  compositeTransmission,
  parallelReduction,
  reductionOf,
  transmissionOf,
} from '../../src/acoustics/room-acoustics.ts';

const wall = (elements: readonly { area: number; reduction: number }[]) =>
  reductionOf(
    compositeTransmission(
      elements.map(({ area, reduction }) => ({ area, tau: transmissionOf(sameInAllBands(reduction)) })),
    ),
  )[0];

// Published worked question: brick wall with a window and a door.
test('7.54 m² of 53 dB, 0.96 m² of 25 dB and 1.5 m² of 20 dB together keep 27.43 dB', () => {
  const elements = [
    { area: 7.54, reduction: 53 },
    { area: 0.96, reduction: 25 },
    { area: 1.5, reduction: 20 },
  ];
  expect(wall(elements)).toBeCloseTo(27.43, 2);
});

// EN 12354-4:2000, Annex G: 176 m² of light concrete with a 24 m² door; printed to 0.1 dB.
test('an industrial wall and its door keep 28.2, 30.8 and 33.9 dB at 63, 125 and 250 Hz', () => {
  const concrete = Float64Array.of(32, 36, 36, 36, 36, 36, 36, 36);
  const door = Float64Array.of(21, 23, 28, 28, 28, 28, 28, 28);
  const together = reductionOf(
    compositeTransmission([
      { area: 176, tau: transmissionOf(concrete) },
      { area: 24, tau: transmissionOf(door) },
    ]),
  );
  for (const [band, printed] of [28.2, 30.8, 33.9].entries()) {
    expect(Math.abs((together[band] ?? 0) - printed)).toBeLessThan(0.06);
  }
});

// Hopkins 2007, Eq. (4.92): a bare opening holds the whole to 10 lg(S/S_open).
test('a bare opening of 1 % holds a 60 dB wall to 20.0 dB', () => {
  const elements = [
    { area: 0.99, reduction: 60 },
    { area: 0.01, reduction: 0 },
  ];
  expect(wall(elements)).toBeCloseTo(20, 2);
});

// EN 12354-1:2000, Annex H.3: the direct and twelve flanking ways; printed 52.2 dB.
test('thirteen ways of 57 to 73 dB together keep 52.2 dB', () => {
  const ways = [57, 65.5, 66, 66, 64.5, 64.8, 64.8, 61.1, 62.7, 62.7, 73, 67.2, 67.2];
  expect(Math.abs(parallelReduction(ways) - 52.2)).toBeLessThan(0.05);
});

test('equal elements are as good as one of them, however the area is shared', () => {
  const elements = [
    { area: 3, reduction: 41 },
    { area: 0.5, reduction: 41 },
  ];
  expect(wall(elements)).toBeCloseTo(41, 9);
});

test('a wall without area lets nothing through', () => {
  expect([...compositeTransmission([])]).toEqual(Array(8).fill(0));
});
