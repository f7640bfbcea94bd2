import { describe, expect, test } from 'vitest';
import { bands, decibels, energyOf, sameInAllBands } from '../../src/acoustics/bands.ts';
import {
  angleTable,
  efficiencyByBand,
  firstOrder,
  nullAngle,
  nullFloor,
  randomEfficiency,
} from '../../src/acoustics/directivity.ts';
import type { Vec3 } from '../../src/geometry.ts';
import { energyAt, transfer } from '../../src/transfer/transfer.ts';
import { capsuleOf, pointSource, sceneOf } from '../build-scene.ts';
import { sphereAverage } from './sphere.ts';

/** The design's A of each pattern. */
const A = { omni: 1, wide: 0.7, cardioid: 0.5, supercardioid: 0.366, hypercardioid: 0.25, 'figure-8': 0 };

/** Level in dB of a source 2 m off at `degrees` off the aim of a textbook mic, relative to the same source on its axis. */
function offAxis(a: number, degrees: number): number {
  const at = (angle: number): Vec3 => {
    const turn = (angle * Math.PI) / 180;
    const [cos, sin] =
      angle % 90 === 0
        ? [Math.round(Math.cos(turn)), Math.round(Math.sin(turn))]
        : [Math.cos(turn), Math.sin(turn)];
    return [2 * sin, 2 * cos, 0];
  };
  const sources = [pointSource(at(0)), pointSource(at(degrees))];
  const result = transfer(sceneOf({ sources, capsules: [capsuleOf([0, 0, 0], [0, 1, 0], { a })] }));
  return decibels(energyAt(result, 1, 0, 4) / energyAt(result, 0, 0, 4));
}

describe('a textbook pattern', () => {
  test('a cardioid is 6.02 dB down at 90° and silent at 180°', () => {
    expect(offAxis(A.cardioid, 90)).toBeCloseTo(-20 * Math.log10(2), 9);
    expect(offAxis(A.cardioid, 180)).toBe(Number.NEGATIVE_INFINITY);
  });

  test('a figure-8 is silent at 90° and at 0 dB at 180°', () => {
    expect(offAxis(A['figure-8'], 90)).toBe(Number.NEGATIVE_INFINITY);
    expect(offAxis(A['figure-8'], 180)).toBeCloseTo(0, 12);
  });

  test.each([17, 90, 133, 180])('an omni hears %i° as it hears 0°', (degrees) => {
    expect(offAxis(A.omni, degrees)).toBeCloseTo(0, 12);
  });

  // Nave, HyperPhysics, "Directional patterns of microphones": rounded figures (−6, −8.5, −12 dB at 90°; −12, −6 dB at
  // 180°), which arithmetic on A + B·cos θ misses by up to 0.6 dB at the back of the supercardioid.
  test.each([
    { name: 'cardioid', degrees: 90, level: -6 },
    { name: 'supercardioid', degrees: 90, level: -8.5 },
    { name: 'hypercardioid', degrees: 90, level: -12 },
    { name: 'supercardioid', degrees: 180, level: -12 },
    { name: 'hypercardioid', degrees: 180, level: -6 },
  ] as const)('a $name at $degrees° is near the printed $level dB', ({ name, degrees, level }) => {
    expect(Math.abs(offAxis(A[name], degrees) - level)).toBeLessThan(0.6);
  });

  // By hand, 20·lg|A + B·cos θ|: 20·lg 0.366, 20·lg|0.366 − 0.634|, 20·lg 0.25, 20·lg 0.5, 20·lg 0.7, 20·lg 0.4.
  test.each([
    { name: 'supercardioid', degrees: 90, level: -8.73 },
    { name: 'supercardioid', degrees: 180, level: -11.44 },
    { name: 'hypercardioid', degrees: 90, level: -12.04 },
    { name: 'hypercardioid', degrees: 180, level: -6.02 },
    { name: 'wide', degrees: 90, level: -3.1 },
    { name: 'wide', degrees: 180, level: -7.96 },
  ] as const)('a $name at $degrees° is at $level dB', ({ name, degrees, level }) => {
    expect(offAxis(A[name], degrees)).toBeCloseTo(level, 2);
  });

  // HyperPhysics: the arcs within which the pickup stays above −3 and −6 dB, whole degrees.
  test.each([
    { name: 'cardioid', arc: 131, down: 3 },
    { name: 'supercardioid', arc: 115, down: 3 },
    { name: 'hypercardioid', arc: 105, down: 3 },
    { name: 'figure-8', arc: 90, down: 3 },
    { name: 'cardioid', arc: 180, down: 6 },
    { name: 'supercardioid', arc: 156, down: 6 },
    { name: 'hypercardioid', arc: 141, down: 6 },
    { name: 'figure-8', arc: 120, down: 6 },
  ] as const)('a $name falls by $down dB at the ends of an arc of $arc°', ({ name, arc, down }) => {
    const [wider, narrower] = [offAxis(A[name], (arc + 1) / 2), offAxis(A[name], (arc - 1) / 2)];
    const half = down === 3 ? -10 * Math.log10(2) : -20 * Math.log10(2);
    expect(wider).toBeLessThan(half);
    expect(narrower).toBeGreaterThan(half);
  });

  // acos(−A/B) by hand: cos = −0.5773 and −1/3. HyperPhysics prints 110° and, for a supercardioid of other coefficients, 127°.
  test.each([
    { name: 'supercardioid', degrees: 125.26 },
    { name: 'hypercardioid', degrees: 109.47 },
    { name: 'cardioid', degrees: 180 },
    { name: 'figure-8', degrees: 90 },
  ] as const)('the null of a $name lies at $degrees°', ({ name, degrees }) => {
    const angle = nullAngle(A[name]) ?? Number.NaN;
    expect(angle).toBeCloseTo(degrees, 1);
    expect(offAxis(A[name], angle)).toBeLessThan(-150);
  });

  test.each(['omni', 'wide'] as const)('the %s has no null', (name) => {
    expect(nullAngle(A[name])).toBeNull();
  });
});

describe('random energy efficiency', () => {
  // Eargle, The Microphone Book, 2nd ed. 2005, Table 6-1 (after Olson 1972): RE, directivity factor and DI as printed.
  test.each([
    { name: 'omni', efficiency: 1, factor: 1, index: 0 },
    { name: 'figure-8', efficiency: 0.33, factor: 3, index: 4.8 },
    { name: 'cardioid', efficiency: 0.33, factor: 3, index: 4.8 },
    { name: 'hypercardioid', efficiency: 0.25, factor: 4, index: 6.0 },
  ] as const)('of the $name is $efficiency: factor $factor, index $index dB', (row) => {
    const ree = randomEfficiency(A[row.name], 0);
    expect(Math.abs(ree - row.efficiency)).toBeLessThan(0.005);
    expect(1 / ree).toBeCloseTo(row.factor, 9);
    expect(Math.abs(-decibels(ree) - row.index)).toBeLessThan(0.05);
  });

  // A manufacturer's tip sheet: a supercardioid takes in 5.7 dB less of the room than an omni, and may stand 1.9 times as far.
  test('of the supercardioid is 5.7 dB below an omni: 1.9 times the distance', () => {
    const ree = randomEfficiency(A.supercardioid, 0);
    expect(Math.abs(-decibels(ree) - 5.7)).toBeLessThan(0.05);
    expect(Math.abs(1 / Math.sqrt(ree) - 1.9)).toBeLessThan(0.05);
  });

  // Distance factors by hand, 1/√(A² + B²/3): √3, 2, √3, 1/√0.52.
  test.each([
    { name: 'cardioid', distance: Math.sqrt(3) },
    { name: 'hypercardioid', distance: 2 },
    { name: 'figure-8', distance: Math.sqrt(3) },
    { name: 'wide', distance: 1.3868 },
  ] as const)('lets the $name stand $distance times as far as an omni', ({ name, distance }) => {
    expect(1 / Math.sqrt(randomEfficiency(A[name], 0))).toBeCloseTo(distance, 4);
  });

  const CASES = Object.values(A).flatMap((a) => [null, 25, 15, 10].map((depth) => ({ a, depth })));

  test.each(CASES)(
    'of A = $a with a null of $depth dB is the mean of its response over the sphere',
    (row) => {
      const floor = nullFloor(row.depth);
      const mean = sphereAverage((cos) => firstOrder(row.a, floor, cos, 0));
      expect(randomEfficiency(row.a, floor)).toBeCloseTo(mean, 8);
    },
  );

  test('of a measured table is the mean of the table over the sphere', () => {
    // 0 dB in front, falling evenly to −20 dB at the back: e(θ) = 10^(−2θ/π); ½∫ e sin θ dθ = ½(1 + e^(−aπ))/(1 + a²),
    // a = ln 10·2/π, by parts; the table's steps of 1° are linear in energy between, hence the tolerance.
    const table = angleTable([0, 180], [Array<number>(8).fill(0), Array<number>(8).fill(-20)]);
    const a = (Math.LN10 * 2) / Math.PI;
    const exact = (0.5 * (1 + Math.exp(-a * Math.PI))) / (1 + a * a);
    const ree = efficiencyByBand(sameInAllBands(1), table, sameInAllBands(0));
    for (const band of [0, 4, 7]) expect(ree[band]).toBeCloseTo(exact, 4);
  });

  test('of an omni is 1 with any null, of a cardioid with a null of 20 dB 0.34', () => {
    const ree = efficiencyByBand(
      bands((band) => (band < 4 ? 1 : 0.5)),
      null,
      sameInAllBands(energyOf(-20)),
    );
    // By hand: an omni keeps 1 with any floor; a cardioid has 0.01 + 0.99/3 = 0.34.
    expect(ree[0]).toBeCloseTo(1, 12);
    expect(ree[7]).toBeCloseTo(0.34, 12);
  });
});

describe('a null of finite depth', () => {
  test.each([10, 15, 25])('leaves a cardioid %i dB down behind, and untouched in front', (depth) => {
    expect(decibels(firstOrder(0.5, nullFloor(depth), -1, 0))).toBeCloseTo(-depth, 9);
    expect(firstOrder(0.5, nullFloor(depth), 1, 0)).toBeCloseTo(1, 12);
  });
});
