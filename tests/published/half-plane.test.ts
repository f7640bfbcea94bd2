import { describe, expect, test } from 'vitest';
import { C, closedFormLoss, type Place, ROWS } from './half-plane.ts';
import { macdonaldLoss } from './macdonald.ts';

describe('an endless rigid edge', () => {
  test.each(ROWS)('$id loses $loss dB at $hertz Hz', (row) => {
    expect(Math.abs(closedFormLoss(row) - row.loss)).toBeLessThan(0.6);
  });

  test('all rows together are within 0.2 dB rms', () => {
    const squares = ROWS.map((row) => (closedFormLoss(row) - row.loss) ** 2);
    expect(Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / squares.length)).toBeLessThan(0.2);
  });

  test.each(ROWS)(
    "Macdonald's integral, written out again here, gives the table's $loss dB of $id",
    (row) => {
      expect(macdonaldLoss(row.source, row.mic, row.edge, (2 * Math.PI * row.hertz) / C)).toBeCloseTo(
        row.loss,
        2,
      );
    },
  );

  const FURTHER = [0.3, 0.8, 1.5].flatMap((apart) =>
    [-0.3, 0.05, 0.5].flatMap((over) =>
      [63, 250, 1000, 8000].map((hertz) => ({
        apart,
        over,
        hertz,
        id: `${apart} m, ${over} m over, ${hertz} Hz`,
      })),
    ),
  );
  test.each(FURTHER)('is within 0.6 dB of the integral at $id', ({ apart, over, hertz }) => {
    const row: Place = { source: [-apart, 0.1, 1], mic: [0.7, 0.6, 1.2], edge: 1.1 + over, hertz };
    const exact = macdonaldLoss(row.source, row.mic, row.edge, (2 * Math.PI * hertz) / C);
    expect(Math.abs(closedFormLoss(row) - exact)).toBeLessThan(0.6);
  });
});
