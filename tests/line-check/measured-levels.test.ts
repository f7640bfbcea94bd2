/**
 * A plan judged as it was measured. Sources on a line in the open, where energies go with 1/r² alone, heard by omnidirectional
 * microphones; every expected value is derived beside it.
 */
import { describe, expect, test } from 'vitest';
import { bands } from '../../src/acoustics/bands.ts';
import { judge } from '../../src/judge/judge.ts';
import { applyReadings, measuredLevels } from '../../src/line-check/measured-levels.ts';
import type { Layer, Readings } from '../../src/line-check/readings.ts';
import { perturb } from '../../src/scene/perturbation.ts';
import type { Passage, Scene } from '../../src/scene/scene.ts';
import { movedSince } from '../../src/suggest/compare.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { onALine } from '../judge/on-a-line.ts';

const GAP = Number.NaN;

/** a and b 4 m apart, each with a microphone at 0.5 m: own 0.5 m, the other 3.5 m, 20·lg 7 = 16.902 dB less. */
const APART = 16.902;
const duo = onALine(
  { a: { at: 0 }, b: { at: 4 } },
  { 'mic a': { at: 0.5, for: [0] }, 'mic b': { at: 3.5, for: [1] } },
);

/** Levels by row, column and layer; rows hold the sources of the scene one by one, unless said otherwise. */
function read(
  scene: Scene,
  levels: readonly (readonly number[])[],
  more: Partial<Pick<Readings, 'rows' | 'layers' | 'columns'>> = {},
): Readings {
  const columns = more.columns ?? scene.capsules.map(({ name, mic }, i) => ({ name, mic, capsules: [i] }));
  const layers: readonly Layer[] = more.layers ?? [null];
  return {
    rows: more.rows ?? scene.sources.map(({ name }, i) => ({ name, sources: [i] })),
    columns,
    layers,
    weighting: 'Z',
    levels: Float64Array.from(levels.flat()),
    noise: new Float64Array(columns.length * layers.length).fill(GAP),
    skipped: [],
  };
}

const asRead = (scene: Scene, readings: Readings): Scene =>
  applyReadings(scene, measuredLevels(scene, readings));
const judged = (scene: Scene) => judge(scene, transfer(scene));
const micOf = (scene: Scene, name: string) => judged(scene).mics.find((mic) => mic.name === name);
const changesOf = (scene: Scene, readings: Readings) =>
  measuredLevels(scene, readings).summary.measured.map(({ level }) => level.value);
/** By what a source's power is raised, dB by octave. */
const rise = (day: Scene, plan: Scene, source: number): number[] =>
  Array.from(
    day.sources[source]?.power ?? [],
    (one, band) => 10 * Math.log10(one / (plan.sources[source]?.power[band] ?? 0)),
  );

describe('levels', () => {
  /** +3 and −3 dB against the plan, gains −40 and −50: what plan, level and gain add up to is found again. */
  test('replace those of the plan, in relation to one another', () => {
    const readings = read(duo, [
      [3 - 40, 3 - APART - 50],
      [-3 - APART - 40, -3 - 50],
    ]);
    const [a = 0, b = 0] = changesOf(duo, readings);
    expect(a).toBeCloseTo(3, 3);
    expect(b).toBeCloseTo(-3, 3);
    const day = asRead(duo, readings);
    for (const one of rise(day, duo, 0)) expect(one).toBeCloseTo(3, 3);
    for (const one of rise(day, duo, 1)) expect(one).toBeCloseTo(-3, 3);
  });

  /**
   * a is 6 dB louder at 1 kHz alone, gains the same in both octaves: 0 and 6 dB. Of two octaves of equal power that is
   * 10·lg((1 + 10^0.6)/2) = 3.961 dB, and b 0; their median 1.981 is taken to be 0.
   */
  test('by octave, where a gain is the same in all of them', () => {
    const readings = read(
      duo,
      [
        [-40, 6 - 40, -APART - 50, 6 - APART - 50],
        [-APART - 40, -APART - 40, -50, -50],
      ],
      { layers: [3, 4] },
    );
    const day = asRead(duo, readings);
    expect(rise(day, duo, 0)[3]).toBeCloseTo(-1.981, 2);
    expect(rise(day, duo, 0)[4]).toBeCloseTo(4.019, 2);
    expect(rise(day, duo, 1)[4]).toBeCloseTo(-1.981, 2);
    // octaves that were not read go with all together: 3.961 − 1.981
    expect(rise(day, duo, 0)[0]).toBeCloseTo(1.981, 2);
  });

  /** In the second octave b drowns; a's +6 dB there can still be told, from gains that were found in the first. */
  test('by octave are known where a source stands over the noise alone', () => {
    const readings = read(
      duo,
      [
        [-40, 6 - 40, -APART - 50, 6 - APART - 50],
        [-APART - 40, GAP, -50, GAP],
      ],
      { layers: [3, 4] },
    );
    const [, , , half = 0, one = 0] = rise(asRead(duo, readings), duo, 0);
    expect(one - half).toBeCloseTo(6, 2);
  });

  test('of one who was read with no other stay as the plan has them', () => {
    const alone = read(duo, [
      [-37, GAP],
      [GAP, -53],
    ]);
    const day = asRead(duo, alone);
    expect(day.sources).toEqual(duo.sources);
    expect(measuredLevels(duo, alone).summary).toMatchObject({ measured: [], predicted: ['a', 'b'] });
    expect(micOf(day, 'mic a')?.basis).toBe('predicted');
  });

  test('are not known where all that was read drowns in the noise', () => {
    const levels = [
      [-10, -31],
      [-15, -22],
    ];
    const readings = { ...read(duo, levels), noise: Float64Array.of(-12, -22) };
    const { summary } = measuredLevels(duo, readings);
    expect(summary).toMatchObject({
      measured: [],
      predicted: ['a', 'b'],
      count: 0,
      belowNoise: 4,
      degreesOfFreedom: 0,
    });
    expect(judged(asRead(duo, readings)).levelBasis).toBe('predicted');
  });

  test('are as uncertain as they were measured, no longer as a guess is', () => {
    const readings = read(duo, [
      [-40, -APART - 50],
      [-APART - 40, -50],
    ]);
    const day = asRead(duo, readings);
    const loudest = perturb(day, {
      isHeld: (cause) => cause !== 'level',
      draw: (cause) => Number(cause === 'level'),
    });
    // two of two readings each: the difference of a and b is (d1 + d2)/2 of variance 1, half of it each: 0.5 dB; √3 of it
    expect(rise(loudest, day, 0)[4]).toBeCloseTo(Math.sqrt(3) * 0.5, 2);
  });

  test('go to no source of the same name with another instrument', () => {
    const day = measuredLevels(
      duo,
      read(duo, [
        [3 - 40, 3 - APART - 50],
        [-3 - APART - 40, -3 - 50],
      ]),
    );
    const other = { ...duo, sources: duo.sources.map((one) => ({ ...one, instrument: 'another' })) };
    expect(applyReadings(other, day).sources).toEqual(other.sources);
  });

  test('are laid over once, however often it is asked for', () => {
    const day = measuredLevels(
      duo,
      read(duo, [
        [3 - 40, 3 - APART - 50],
        [-3 - APART - 40, -3 - 50],
      ]),
    );
    const once = applyReadings(duo, day);
    expect(applyReadings(once, day)).toEqual(once);
  });
});

describe('signal to bleed', () => {
  /** Whatever plan and gain: what was read of a over what was read of b at mic a. */
  test.each([0, -37, 12])('is what was read at the microphone, with a gain of %i dB', (gain) => {
    const readings = read(duo, [
      [-10 + gain, -31],
      [-15 + gain, -22],
    ]);
    const row = micOf(asRead(duo, readings), 'mic a');
    expect(row?.signalToBleed).toBeCloseTo(5, 6);
    expect(row?.basis).toBe('measured');
  });

  /**
   * By octave, gains that differ between octaves as no channel does: 10·lg((10^−1 + 10^−2)/(10^−1.5 + 10^−3)) = 5.279 dB, as
   * a recording of them would have.
   */
  test('by octave is that of the octaves as they were read', () => {
    const readings = read(
      duo,
      [
        [-10, -20, -31, -30],
        [-15, -30, -22, -24],
      ],
      { layers: [3, 4] },
    );
    const scene = { ...duo, limits: { ...duo.limits, weighting: 'Z' as const } };
    const quiet = {
      ...scene,
      sources: scene.sources.map((one) => ({ ...one, power: only(one.power, [3, 4]) })),
    };
    expect(micOf(asRead(quiet, readings), 'mic a')?.signalToBleed).toBeCloseTo(5.279, 3);
  });

  /**
   * Read over all octaves alone, 5 dB. a sounds at 1 kHz, b as much at 500 Hz as there: in the octave in which mic a is judged
   * half of b is left by the plan, 5 + 3.01 dB.
   */
  test('over all octaves is said to be so where the plan spreads it over them', () => {
    const [a, b] = duo.sources.map(({ power }, i) => only(power, i === 0 ? [4] : [3, 4]));
    const sources = duo.sources.map((one, i) => ({ ...one, power: (i === 0 ? a : b) ?? one.power }));
    const scene = { ...duo, sources };
    const readings = read(scene, [
      [-10, -31],
      [-15, -22],
    ]);
    expect(micOf(asRead(scene, readings), 'mic a')).toMatchObject({
      signalToBleed: expect.closeTo(8.01, 2),
      basis: 'measured-overall',
    });
  });

  /**
   * c, read nowhere, 1.5 m from mic a: 20·lg 3 = 9.542 dB less than a as planned. a and b read as planned but for +3 and −3 dB:
   * 3 − 10·lg(10^−0.9542 + 10^−1.9902) = 12.161 dB.
   */
  test('where a source was not read rests on levels of which some are only planned', () => {
    const trio = onALine(
      { a: { at: 0 }, b: { at: 4 }, c: { at: 2 } },
      { 'mic a': { at: 0.5, for: [0] }, 'mic b': { at: 3.5, for: [1] } },
    );
    const readings = read(
      trio,
      [
        [3 - 40, 3 - APART - 50],
        [-3 - APART - 40, -3 - 50],
      ],
      { rows: ['a', 'b'].map((name, i) => ({ name, sources: [i] })) },
    );
    const day = asRead(trio, readings);
    expect(micOf(day, 'mic a')).toMatchObject({
      signalToBleed: expect.closeTo(12.161, 2),
      basis: 'partly-measured',
    });
    expect(measuredLevels(trio, readings).summary.predicted).toEqual(['c']);
  });

  /** Of b nothing is read at mic a, but at mic b and mic c: its level is known, its way to mic a computed. */
  test('with a gap is computed from levels that were measured', () => {
    const more = onALine(
      { a: { at: 0 }, b: { at: 4 } },
      { 'mic a': { at: 0.5, for: [0] }, 'mic b': { at: 3.5, for: [1] }, 'mic c': { at: 2, for: [1] } },
    );
    // mic c stands 2 m from both: 20·lg 4 = 12.041 dB under a reading at 0.5 m
    const readings = read(more, [
      [3 - 40, 3 - APART - 50, 3 - 12.041 - 60],
      [GAP, -3 - 50, -3 - 12.041 - 60],
    ]);
    const row = micOf(asRead(more, readings), 'mic a');
    expect(row?.signalToBleed).toBeCloseTo(6 + APART, 2);
    expect(row?.basis).toBe('measured-levels');
    expect(micOf(asRead(more, readings), 'mic c')?.basis).toBe('measured');
  });

  test('of two that were read as one is not said to be measured', () => {
    const readings = read(duo, [[-10, -20]], { rows: [{ name: 'both', sources: [0, 1] }] });
    expect(measuredLevels(duo, readings).summary.measured).toEqual([]);
    const trio = onALine(
      { a: { at: 0 }, b: { at: 4 }, c: { at: 8 } },
      { 'mic a': { at: 0.5, for: [0] }, 'mic c': { at: 7.5, for: [2] } },
    );
    const rows = [
      { name: 'both', sources: [0, 1] },
      { name: 'c', sources: [2] },
    ];
    const readAsTwo = read(
      trio,
      [
        [-10, -30],
        [-33, -12],
      ],
      { rows },
    );
    expect(
      measuredLevels(trio, readAsTwo).summary.measured.map(({ measuredAsOne }) => measuredAsOne),
    ).toEqual([true, false]);
    const day = asRead(trio, readAsTwo);
    // at mic c both are bleed alike, at mic a one of them is what it is for
    expect(micOf(day, 'mic a')?.basis).toBe('partly-measured');
    expect(micOf(day, 'mic c')).toMatchObject({ basis: 'measured', signalToBleed: expect.closeTo(18, 6) });
  });

  test('between two who share no microphone is not said to be measured', () => {
    const four = onALine(
      { a: { at: 0 }, b: { at: 4 }, c: { at: 8 }, d: { at: 12 } },
      { 'mic a': { at: 0.5, for: [0] }, 'mic c': { at: 8.5, for: [2] } },
    );
    const readings = read(four, [
      [-10, GAP],
      [-28, GAP],
      [GAP, -12],
      [GAP, -29],
    ]);
    expect(measuredLevels(four, readings).summary.measured.map(({ group }) => group)).toEqual([0, 0, 1, 1]);
    expect(micOf(asRead(four, readings), 'mic a')?.basis).toBe('partly-measured');
  });

  test('goes by who sounds in the passage', () => {
    const passages: Passage[] = [
      { name: 'duet', path: [], sounds: [true, true, false] },
      { name: 'alone', path: [], sounds: [true, false, true] },
    ];
    const trio = onALine(
      { a: { at: 0 }, b: { at: 4 }, c: { at: 30 } },
      { 'mic a': { at: 0.5, for: [0] }, 'mic b': { at: 3.5, for: [1] } },
      { passages },
    );
    const rows = ['a', 'b'].map((name, i) => ({ name, sources: [i] }));
    const day = asRead(
      trio,
      read(
        trio,
        [
          [-10, -31],
          [-15, -22],
        ],
        { rows },
      ),
    );
    expect(micOf(day, 'mic a')).toMatchObject({ passage: 'duet', basis: 'measured' });
  });
});

describe('a plan in which something was moved since', () => {
  const readings = read(duo, [
    [-10, -31],
    [-15, -22],
  ]);
  const day = measuredLevels(duo, readings);
  const moved = onALine(
    { a: { at: 0 }, b: { at: 4 } },
    { 'mic a': { at: 0.5, for: [0] }, 'mic b': { at: 3, for: [1] } },
  );
  const after = movedSince(applyReadings(moved, day), applyReadings(duo, day));

  /** Read −22 over −31: 9 dB. From 0.5 to 1 m of b −6.021 dB, from 3.5 to 3 m of a +1.339: 1.640 dB. */
  test('has what was read and what the move changes, and says that it is computed', () => {
    expect(micOf(after, 'mic b')).toMatchObject({
      signalToBleed: expect.closeTo(1.64, 3),
      basis: 'measured-levels',
    });
  });

  test('still has what was read where nothing moved', () => {
    expect(micOf(after, 'mic a')).toMatchObject({ signalToBleed: expect.closeTo(5, 6), basis: 'measured' });
  });
});

test('without readings no figure says what it rests on', () => {
  const report = judged(duo);
  expect(report.levelBasis).toBeNull();
  expect([...report.mics, ...report.parts].map(({ basis }) => basis)).toEqual([null, null, null, null]);
});

/** Of what stays of a at mic b when mic a is muted, every way was read. */
test('a ghost is measured where every way was read at every microphone', () => {
  const octave = read(
    duo,
    [
      [-10, -31],
      [-15, -22],
    ],
    { layers: [4] },
  );
  expect(judged(asRead(duo, octave)).parts.map(({ basis }) => basis)).toEqual(['measured', 'measured']);
  expect(judged(asRead(duo, octave)).levelBasis).toBe('measured-levels');
  const whole = { ...octave, layers: [null] };
  expect(judged(asRead(duo, whole)).parts.map(({ basis }) => basis)).toEqual([
    'measured-overall',
    'measured-overall',
  ]);
});

const only = (power: Float64Array, octaves: readonly number[]) =>
  bands((band) => (octaves.includes(band) ? (power[band] ?? 0) : 0));
