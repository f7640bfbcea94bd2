import { describe, expect, test } from 'vitest';
import {
  bands,
  decibels,
  energyOf,
  sameInAllBands,
  WEIGHTS,
  type Weighting,
  weightedSum,
} from '../../src/acoustics/bands.ts';
import { type Directivity, directivityOf, OMNIDIRECTIONAL } from '../../src/acoustics/directivity.ts';
import { levelOnAxis, powerOfReading, powerOfTotal, type Reading } from '../../src/scene/source-acoustics.ts';
import { energyAt, transfer } from '../../src/transfer/transfer.ts';
import { capsuleOf, pointSource, roomAir, sceneOf } from '../build-scene.ts';

/** A spectrum with a slope and a hole; only its shape counts. */
const spectrum = Float64Array.from([-20, -8, -3, 0, -2, -6, -14, -24], energyOf);

const beaming: Directivity = directivityOf(
  (band) => [1, 1.2, 1.5, 2, 3, 4, 5, 6][band] ?? 1,
  (band) => [null, 2, 4, 6, 9, 12, 15, 18][band] ?? null,
);

type Case = {
  readonly name: string;
  readonly reading: Reading;
  readonly radius: number;
  readonly directivity: Directivity;
};

const CASES: readonly Case[] = [
  { name: 'at 1 m', reading: { spl: 88, weighting: 'A', at: 1 }, radius: 0, directivity: OMNIDIRECTIONAL },
  { name: 'at 1 m, beaming', reading: { spl: 88, weighting: 'A', at: 1 }, radius: 0, directivity: beaming },
  {
    name: 'at 30 cm before a disc of 15 cm',
    reading: { spl: 88, weighting: 'A', at: 0.3 },
    radius: 0.15,
    directivity: beaming,
  },
  {
    name: 'at 3 m, C-weighted',
    reading: { spl: 88, weighting: 'C', at: 3 },
    radius: 0.15,
    directivity: beaming,
  },
  {
    name: 'at 1 m, unweighted',
    reading: { spl: 88, weighting: 'Z', at: 1 },
    radius: 0.4,
    directivity: beaming,
  },
];

const powerFor = ({ reading, radius, directivity }: Case) =>
  powerOfReading(reading, { spectrum, q: directivity.q, radius, airLoss: roomAir.loss });

/** What an omni on the axis reads in a whole scene with air. */
function readBack(one: Case, weighting: Weighting): number {
  const { radius, directivity, reading } = one;
  const source = pointSource([0, 0, 0], { axis: [0, 1, 0], power: powerFor(one), radius, directivity });
  const mic = capsuleOf([0, reading.at, 0], [0, -1, 0]);
  const result = transfer(sceneOf({ air: roomAir, sources: [source], capsules: [mic] }));
  return decibels(
    weightedSum(
      bands((band) => energyAt(result, 0, 0, band)),
      WEIGHTS[weighting],
    ),
  );
}

describe('a reading of 88 dB', () => {
  test.each(CASES)('$name is read back on the axis', (one) => {
    const { reading, radius, directivity } = one;
    const radiator = { q: directivity.q, radius, airLoss: roomAir.loss };
    expect(levelOnAxis(powerFor(one), radiator, reading.at, reading.weighting)).toBeCloseTo(88, 9);
  });

  test.each(CASES)('$name is read back by a mic in a scene with air', (one) => {
    expect(Math.abs(readBack(one, one.reading.weighting) - 88)).toBeLessThan(0.001);
  });

  test('keeps the shape of the spectrum on the axis', () => {
    const one = CASES[1] as Case;
    const power = powerFor(one);
    const onAxis = bands(
      (band) => (power[band] ?? 0) * (beaming.q[band] ?? 1) * energyOf(-(roomAir.loss[band] ?? 0)),
    );
    for (let band = 1; band < 8; band++) {
      const shape = (spectrum[band] ?? 0) / (spectrum[0] ?? 1);
      expect((onAxis[band] ?? 0) / (onAxis[0] ?? 1)).toBeCloseTo(shape, 9);
    }
  });

  // By hand: one band at 1 kHz (A weight 0.0 dB), Q 1, no air: L_W = 88 + 10·lg 4π = 98.99 dB at 1 m; at 2 m 6.02 dB more.
  test.each([
    { at: 1, power: 98.992 },
    { at: 2, power: 105.013 },
  ])('at $at m of an omni of 1 kHz alone is a power of $power dB', ({ at, power }) => {
    const only = Float64Array.of(0, 0, 0, 0, 1, 0, 0, 0);
    const radiator = { spectrum: only, q: sameInAllBands(1), radius: 0, airLoss: sameInAllBands(0) };
    const found = powerOfReading({ spl: 88, weighting: 'A', at }, radiator);
    expect(decibels(found[4] ?? 0)).toBeCloseTo(power, 2);
    expect(found[0]).toBe(0);
  });
});

describe('a total sound power', () => {
  // By hand: 100 dB over two bands of equal on-axis level, Q 1 and 4: shares 1 and ¼ of 1¼, so 99.031 and 93.010 dB.
  test('of 100 dB is shared as spectrum over Q', () => {
    const two = Float64Array.of(1, 1, 0, 0, 0, 0, 0, 0);
    const power = powerOfTotal(100, { spectrum: two, q: Float64Array.of(1, 4, 1, 1, 1, 1, 1, 1) });
    expect(decibels(power[0] ?? 0)).toBeCloseTo(99.031, 3);
    expect(decibels(power[1] ?? 0)).toBeCloseTo(93.01, 3);
    expect(decibels(power.reduce((sum, part) => sum + part, 0))).toBeCloseTo(100, 9);
  });
});
