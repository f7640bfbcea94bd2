import { expect, test } from 'vitest';
import { baselineOf } from '../../src/line-check/diagnose.ts';
import { measuredRows } from '../../src/line-check/line-check.ts';
import type { Readings } from '../../src/line-check/readings.ts';
import { normalizedReadings } from '../../src/line-check/readings.ts';
import { onALine } from '../judge/on-a-line.ts';

const scene = onALine({ a: { at: 0 }, b: { at: 4 }, c: { at: 8 } }, { 'a-mic': { at: 0.5, for: [0] } });

const readingsOf = (levels: readonly number[], layers: Readings['layers'] = [null]): Readings => ({
  rows: ['a', 'b', 'c'].map((name, i) => ({ name, sources: [i] })),
  columns: [{ name: 'a-mic', mic: 0, capsules: [0] }],
  layers,
  weighting: 'Z',
  levels: Float64Array.from(levels),
  noise: new Float64Array(layers.length).fill(Number.NaN),
  skipped: [],
});

function rowOf(readings: Readings) {
  const [row] = measuredRows(
    scene,
    readings,
    normalizedReadings(readings).cells,
    baselineOf(scene, readings).predicted,
  );
  return row;
}

/** 10·lg(10^−1/(10^−2 + 10^−2)) = 6.99 dB; σ² = 1 + ½² + ½². */
test('measured S/B is own over all else, whatever the gain', () => {
  for (const gain of [0, -37, 12]) {
    const row = rowOf(readingsOf([-10 + gain, -20 + gain, -20 + gain]));
    expect(row?.measured).toBeCloseTo(6.99, 2);
    expect(row?.error).toBeCloseTo(Math.sqrt(1.5), 6);
  }
});

/** In the open 1/r²: 0.5, 3.5 and 7.5 m; 10·lg(4/(1/12.25 + 1/56.25)) = 16.05 dB. */
test('what the plan predicts of it stands beside it', () => {
  expect(rowOf(readingsOf([0, 0, 0]))?.predicted).toBeCloseTo(16.05, 2);
});

test('nothing is measured where a source has no reading, and it is named', () => {
  const row = rowOf(readingsOf([-10, Number.NaN, -20]));
  expect(row).toMatchObject({ measured: null, margin: null, verdict: null, lacks: ['b'] });
});

/** Two octaves; in the second the wanted sound is 30 dB weaker, so that it does not count: 10·lg(1/(0.1 + 0.1)) = 6.99. */
test('by octave, those count in which the wanted sound is within 20 dB of its strongest', () => {
  expect(rowOf(readingsOf([0, -30, -10, 0, -10, 0], [4, 0]))?.measured).toBeCloseTo(6.99, 2);
});
