import { describe, expect, test } from 'vitest';
import { fit } from '../../src/line-check/fit.ts';
import type { Cell, Readings } from '../../src/line-check/readings.ts';
import { cellCount, groupsOf, normalizedReadings } from '../../src/line-check/readings.ts';

/** Readings over all octaves: a list for each who played, NaN for a gap. */
function tableOf(levels: readonly (readonly number[])[], noise?: readonly number[]): Readings {
  const columns = levels[0]?.map((_, i) => ({ name: `mic-${i}`, mic: i, capsules: [i] })) ?? [];
  return {
    rows: levels.map((_, i) => ({ name: `player-${i}`, sources: [i] })),
    columns,
    layers: [null],
    weighting: 'Z',
    levels: Float64Array.from(levels.flat()),
    noise: Float64Array.from(noise ?? columns.map(() => Number.NaN)),
    skipped: [],
  };
}

const flat = (readings: Readings): Float64Array => new Float64Array(cellCount(readings));
const sumsOf = (rows: readonly number[], columns: readonly number[]): number[][] =>
  rows.map((row) => columns.map((column) => row + column));
const valuesOf = (readings: Readings) => {
  const { layers } = fit(normalizedReadings(readings).cells, flat(readings), readings);
  return {
    sources: layers[0]?.sources.map((one) => one?.value),
    gains: layers[0]?.gains.map((one) => one?.value),
  };
};

const close = (found: readonly (number | undefined)[] | undefined, wanted: readonly number[]) => {
  expect(found).toHaveLength(wanted.length);
  for (const [i, one] of wanted.entries()) expect(found?.[i]).toBeCloseTo(one, 4);
};

describe('levels and gains', () => {
  test('are found exactly where readings are level plus gain; the median source is 0, the rest is gain', () => {
    // levels −3, 1, 6 about their median 1: −4, 0, 5; the 1 goes to the gains
    const { sources, gains } = valuesOf(tableOf(sumsOf([-3, 1, 6], [-40, -50, -45, -60])));
    close(sources, [-4, 0, 5]);
    close(gains, [-39, -49, -44, -59]);
  });

  test('are found with gaps, as long as readings link them', () => {
    const gap = Number.NaN;
    // s = 0, 2, 5 and g = −10, −20, −30, of each row two readings
    const { sources, gains } = valuesOf(
      tableOf([
        [-10, -20, gap],
        [gap, -18, -28],
        [-5, gap, -25],
      ]),
    );
    close(sources, [-2, 0, 3]);
    close(gains, [-8, -18, -28]);
  });

  test.each([10, 20, 60, -40])('stay where they are when one reading is %i dB off', (off) => {
    const levels = sumsOf([0, 4, -4, 2, -2], [-40, -50, -45, -60, -55]);
    (levels[1] as number[])[2] = -41 + off;
    const { sources } = valuesOf(tableOf(levels));
    // what is set aside keeps a thousandth of its weight
    for (const [i, one] of [0, 4, -4, 2, -2].entries()) expect(sources?.[i]).toBeCloseTo(one, 1);
  });

  /** Median polish withstands what is less than half of every row and column: here two of five. */
  test('stay where they are when two of five readings in each row and column are 30 dB off', () => {
    const rows = [0, 4, -4, 2, -2];
    const levels = sumsOf(rows, [-40, -50, -45, -60, -55]).map((row, i) =>
      row.map((level, k) => ((k - i + 5) % 5 < 2 ? level + 30 : level)),
    );
    const found = valuesOf(tableOf(levels)).sources ?? [];
    for (const [i, one] of rows.entries()) expect(Math.abs((found[i] ?? 99) - one)).toBeLessThan(0.5);
  });
});

/** Of R rows and C columns all read, variance σ² each: a row has σ²/C·(1 − 1/R), a column against the mean row σ²/R. Analysis of variance. */
test('standard errors are those of a two-way table', () => {
  const readings = tableOf(sumsOf([0, 3, -3, 1], [-40, -50, -45]));
  const { layers } = fit(normalizedReadings(readings).cells, flat(readings), readings);
  for (const one of layers[0]?.sources ?? [])
    expect(one?.error).toBeCloseTo(Math.sqrt((1 / 3) * (1 - 1 / 4)), 6);
  for (const one of layers[0]?.gains ?? []) expect(one?.error).toBeCloseTo(Math.sqrt(1 / 4), 6);
});

describe('what readings do not link', () => {
  const gap = Number.NaN;
  const apart = tableOf([
    [-10, -20, gap, gap],
    [-5, -15, gap, gap],
    [gap, gap, -70, -60],
    [gap, gap, -71, -61],
  ]);

  test('falls into groups', () => {
    const { cells } = normalizedReadings(apart);
    expect(groupsOf(cells)).toEqual([
      { rows: [0, 1], columns: [0, 1] },
      { rows: [2, 3], columns: [2, 3] },
    ]);
  });

  test('is compared within each group alone', () => close(valuesOf(apart).sources, [-2.5, 2.5, 0.5, -0.5]));

  test('grows together when a reading links it', () => {
    const linked = [
      { row: 0, column: 0 },
      { row: 1, column: 1 },
      { row: 0, column: 1 },
    ];
    expect(groupsOf(linked)).toEqual([{ rows: [0, 1], columns: [0, 1] }]);
  });
});

describe('the noise', () => {
  const cell = (read: number, noise: number): Cell | undefined =>
    normalizedReadings(tableOf([[read]], [noise])).cells[0];

  /** 10·lg(1 − 10^−1) = −0.458 dB; σ·√(1 + 0.1²)/(1 − 0.1) = 1.117. */
  test('is taken out as an energy: 10 dB under a reading it is worth 0.46 dB', () => {
    expect(cell(-30, -40)?.level).toBeCloseTo(-30.458, 3);
    expect(cell(-30, -40)?.sigma).toBeCloseTo(1.117, 3);
  });

  test('drowns a reading that stands less than 6 dB over it', () => {
    expect(cell(-35, -40)).toBeUndefined();
    expect(normalizedReadings(tableOf([[-35]], [-40])).belowNoise).toEqual([{ row: 0, column: 0, layer: 0 }]);
    expect(cell(-33.9, -40)).toBeDefined();
  });

  test('leaves a reading as it is where it was not read', () => {
    expect(cell(-35, Number.NaN)).toMatchObject({ level: -35, sigma: 1 });
  });
});
