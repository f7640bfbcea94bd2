import { describe, expect, test } from 'vitest';
import { sameInAllBands } from '../../src/acoustics/bands.ts';
import { edgeWave, newBend, passesClear } from '../../src/acoustics/edge.ts';
import { macdonaldLoss } from './macdonald.ts';

const C = 343.2;

/** Loss past an endless rigid edge at one frequency; the edge lies along y at x = 0 and z = edge, the plane below it. */
function closedFormLoss(row: Row): number {
  const [sx, sy, sz] = row.source;
  const [mx, my, mz] = row.mic;
  const bend = newBend();
  bend.before = Math.hypot(sx, row.edge - sz);
  bend.after = Math.hypot(mx, row.edge - mz);
  bend.sourceAngle = Math.atan2(Math.abs(sx), row.edge - sz);
  bend.micAngle = Math.atan2(Math.abs(mx), row.edge - mz);
  bend.whole = Math.hypot(bend.before + bend.after, my - sy);
  bend.straight = Math.hypot(mx - sx, my - sy, mz - sz);
  const wave = { re: sameInAllBands(0), im: sameInAllBands(0) };
  edgeWave(wave, bend, sameInAllBands(1), sameInAllBands(Math.sqrt(row.hertz / C)));
  const [re = 0, im = 0] = [wave.re[0], wave.im[0]];
  const phase = (2 * Math.PI * row.hertz * (bend.whole - bend.straight)) / C;
  const through = passesClear(bend) ? 1 : 0;
  const total = Math.hypot(
    through + re * Math.cos(phase) - im * Math.sin(phase),
    re * Math.sin(phase) + im * Math.cos(phase),
  );
  return -20 * Math.log10(total);
}

type Row = {
  readonly id: string;
  readonly source: readonly [number, number, number];
  readonly mic: readonly [number, number, number];
  readonly edge: number;
  readonly hertz: number;
  readonly loss: number;
};

/** Exact loss of a rigid half-plane from Macdonald's integral (1915), c = 343.2: our reference table `half_plane`. */
const ROWS: readonly Row[] = [
  { id: 'G1-125', source: [-0.5, 0, 1], mic: [0.5, 0, 1], edge: 1.5, hertz: 125, loss: 9.98 },
  { id: 'G1-500', source: [-0.5, 0, 1], mic: [0.5, 0, 1], edge: 1.5, hertz: 500, loss: 14.699 },
  { id: 'G1-2000', source: [-0.5, 0, 1], mic: [0.5, 0, 1], edge: 1.5, hertz: 2000, loss: 20.498 },
  { id: 'G1-8000', source: [-0.5, 0, 1], mic: [0.5, 0, 1], edge: 1.5, hertz: 8000, loss: 26.5 },
  { id: 'G2-125', source: [-0.3, 0, 1], mic: [0.3, 0, 1], edge: 1.5, hertz: 125, loss: 12.773 },
  { id: 'G2-1000', source: [-0.3, 0, 1], mic: [0.3, 0, 1], edge: 1.5, hertz: 1000, loss: 20.39 },
  { id: 'G2-4000', source: [-0.3, 0, 1], mic: [0.3, 0, 1], edge: 1.5, hertz: 4000, loss: 26.359 },
  { id: 'G3-250', source: [-1, 0, 1], mic: [1, 0, 1], edge: 1.5, hertz: 250, loss: 9.934 },
  { id: 'G3-1000', source: [-1, 0, 1], mic: [1, 0, 1], edge: 1.5, hertz: 1000, loss: 15.044 },
  { id: 'G3-4000', source: [-1, 0, 1], mic: [1, 0, 1], edge: 1.5, hertz: 4000, loss: 20.906 },
  { id: 'G4-125', source: [-0.5, 0, 1], mic: [2, 0, 1], edge: 1.5, hertz: 125, loss: 7.803 },
  { id: 'G4-500', source: [-0.5, 0, 1], mic: [2, 0, 1], edge: 1.5, hertz: 500, loss: 12.374 },
  { id: 'G4-2000', source: [-0.5, 0, 1], mic: [2, 0, 1], edge: 1.5, hertz: 2000, loss: 18.044 },
  { id: 'G5-250', source: [-0.3, 0, 0.6], mic: [2, 0, 1.2], edge: 2, hertz: 250, loss: 15.926 },
  { id: 'G5-1000', source: [-0.3, 0, 0.6], mic: [2, 0, 1.2], edge: 2, hertz: 1000, loss: 21.804 },
  { id: 'G6-250', source: [-1, 0, 1.2], mic: [1, 0, 1.2], edge: 1.3, hertz: 250, loss: 5.469 },
  { id: 'G6-1000', source: [-1, 0, 1.2], mic: [1, 0, 1.2], edge: 1.3, hertz: 1000, loss: 7.654 },
  { id: 'G6-4000', source: [-1, 0, 1.2], mic: [1, 0, 1.2], edge: 1.3, hertz: 4000, loss: 10.693 },
  { id: 'G7-500', source: [-1, 0, 1.2], mic: [1, 0, 1.2], edge: 1.2, hertz: 500, loss: 4.842 },
  { id: 'G7-2000', source: [-1, 0, 1.2], mic: [1, 0, 1.2], edge: 1.2, hertz: 2000, loss: 5.442 },
  { id: 'G8-250', source: [-1, 0, 1.2], mic: [1, 0, 1.2], edge: 1.1, hertz: 250, loss: 3.265 },
  { id: 'G8-2000', source: [-1, 0, 1.2], mic: [1, 0, 1.2], edge: 1.1, hertz: 2000, loss: 1.891 },
  { id: 'G9-500', source: [-1, 0, 1], mic: [1.5, 1, 1.1], edge: 1.8, hertz: 500, loss: 14.146 },
  { id: 'G9-2000', source: [-1, 0, 1], mic: [1.5, 1, 1.1], edge: 1.8, hertz: 2000, loss: 19.97 },
];

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
  test.each(FURTHER)('is within 0.6 dB of the integral at $id', ({ apart, over, hertz, id }) => {
    const row: Row = { id, source: [-apart, 0.1, 1], mic: [0.7, 0.6, 1.2], edge: 1.1 + over, hertz, loss: 0 };
    const exact = macdonaldLoss(row.source, row.mic, row.edge, (2 * Math.PI * hertz) / C);
    expect(Math.abs(closedFormLoss(row) - exact)).toBeLessThan(0.6);
  });
});
