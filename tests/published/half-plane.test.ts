import { describe, expect, test } from 'vitest';
import { expectStated, rms, worst } from './expect-stated.ts';
import { C, closedFormLoss, type Place, ROWS } from './half-plane.ts';
import { macdonaldLoss } from './macdonald.ts';
import { STATED } from './stated.ts';

/** Loss of ours over the exact one, dB. */
const off = (row: Place, exact: number): number => closedFormLoss(row) - exact;

describe('an endless rigid edge', () => {
  test.each(ROWS)('$id loses $loss dB at $hertz Hz', (row) => {
    expect(Math.abs(closedFormLoss(row) - row.loss)).toBeLessThan(0.6);
  });

  test('all rows together are within 0.2 dB rms', () => {
    expect(rms(ROWS.map((row) => off(row, row.loss)))).toBeLessThan(0.2);
  });

  test('all rows are as near as the page on the model says', () => {
    expectStated(STATED.edge, { worst: worst(ROWS.map((row) => off(row, row.loss))) });
    const upper = ROWS.filter(({ hertz }) => hertz >= 250);
    expectStated(STATED.edgeFrom250, { worst: worst(upper.map((row) => off(row, row.loss))) });
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
  const furtherOff = ({ apart, over, hertz }: (typeof FURTHER)[number]): number => {
    const row: Place = { source: [-apart, 0.1, 1], mic: [0.7, 0.6, 1.2], edge: 1.1 + over, hertz };
    return off(row, macdonaldLoss(row.source, row.mic, row.edge, (2 * Math.PI * hertz) / C));
  };

  test.each(FURTHER)('is within 0.6 dB of the integral at $id', (place) => {
    expect(Math.abs(furtherOff(place))).toBeLessThan(0.6);
  });

  test('is as near there as the page on the model says', () => {
    expectStated(STATED.edgeFurther, { worst: worst(FURTHER.map(furtherOff)) });
  });
});
