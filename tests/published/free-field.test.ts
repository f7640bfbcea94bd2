import { describe, expect, test } from 'vitest';
import { decibels, energyOf } from '../../src/acoustics/bands.ts';
import { criticalDistance } from '../../src/acoustics/room-acoustics.ts';
import type { Vec3 } from '../../src/geometry.ts';
import { judge } from '../../src/judge/judge.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { capsuleOf, levelIn, micOf, pointSource, sceneOf } from '../build-scene.ts';

const FOOT = 0.3048;

/** Level of the 100 dB point source `r` metres off, at an omni, without air. */
const levelAt = (r: number): number =>
  levelIn(sceneOf({ sources: [pointSource([0, 0, 0])], capsules: [capsuleOf([r, 0, 0], [1, 0, 0])] }));

describe('spreading in the open', () => {
  // Everest & Pohlmann, Master Handbook of Acoustics, p. 64: 80 dB at 10 ft, 76.5 dB at 15 ft.
  test('80 dB at 10 ft are 76.5 dB at 15 ft', () => {
    expect(80 + levelAt(15 * FOOT) - levelAt(10 * FOOT)).toBeCloseTo(76.5, 1);
  });

  // City handout "Using decibels": 95 dB at 50 ft, 89 dB at 100 ft, 83 dB at 200 ft.
  test.each([
    { feet: 100, level: 89 },
    { feet: 200, level: 83 },
  ])('95 dB at 50 ft are $level dB at $feet ft', ({ feet, level }) => {
    expect(Math.abs(95 + levelAt(feet * FOOT) - levelAt(50 * FOOT) - level)).toBeLessThan(0.1);
  });

  // Weinzierl et al., J. Acoust. Soc. Am. 144, 2018, eq. (4): the level on a measuring sphere of 54.63 m² round a sound power.
  test.each([
    { what: 'a timpani of 108 dB', power: 108, level: 90.63 },
    { what: 'a harp of 91 dB', power: 91, level: 73.63 },
  ])('$what of sound power is at $level dB on a sphere of 54.63 m²', ({ power, level }) => {
    expect(power - 100 + levelAt(Math.sqrt(54.63 / (4 * Math.PI)))).toBeCloseTo(level, 2);
  });

  // ISO 3382-1:2009, annex A: 10·lg(4π·10²) = 30.9921, 10·lg(16π·10²) = 37.0127.
  test('10 m take 30.9921 dB off a sound power', () => {
    expect(100 - levelAt(10)).toBeCloseTo(30.9921, 4);
  });

  test('a critical distance of 10 m belongs to a room constant of 37.0127 dB re 1 m²', () => {
    expect(criticalDistance(energyOf(37.0127))).toBeCloseTo(10, 4);
  });
});

describe('adding levels', () => {
  /** Level at an omni with a source of each level (as it arrives there alone) sounding at once. */
  function together(levels: readonly number[]): number {
    const around = (i: number): Vec3 => [Math.cos(i), Math.sin(i), 0];
    const sources = levels.map((level, i) =>
      pointSource(around(i), { power: Float64Array.of(0, 0, 0, 0, 4 * Math.PI * energyOf(level), 0, 0, 0) }),
    );
    const capsules = [capsuleOf([0, 0, 0], [1, 0, 0])];
    const wanted = sources.map((_, i) => i);
    const scene = sceneOf({ sources, capsules, mics: [micOf('mic', [0], wanted)] });
    return judge(scene, transfer(scene)).mics[0]?.signal ?? Number.NaN;
  }

  // "Decibel maths", 10db.co.uk; classroom experiment on adding decibels, lewebpedagogique.com.
  test.each([
    { levels: [62, 73], sum: 73.3 },
    { levels: [87, 87], sum: 90 },
    { levels: Array<number>(10).fill(87), sum: 97 },
  ])('sources of $levels dB at a mic make $sum dB', ({ levels, sum }) => {
    expect(Math.abs(together(levels) - sum)).toBeLessThan(0.05);
  });

  // Everest & Pohlmann, p. 197: a reflection whose way is 10.1 times the direct one is 20 dB down.
  test('a way 10.1 times as long is 20 dB down', () => {
    expect(levelAt(1) - levelAt(10.1)).toBeCloseTo(20, 0);
    expect(levelAt(1) - levelAt(10.1)).toBeCloseTo(decibels(10.1 ** 2), 9);
  });
});

describe('the 3:1 rule', () => {
  /**
   * Omni mics at (0, 0) and (6, 0) ft. Source 1 is 2 ft from its own mic and 6 ft from the other:
   * x² + y² = 4 and (x − 6)² + y² = 36 give 12x = 4, so x = 1/3, y = √(4 − 1/9) = √35/3. Source 2 mirrored: x = 17/3.
   */
  const y = (Math.sqrt(35) / 3) * FOOT;
  const scene = sceneOf({
    sources: [
      pointSource([FOOT / 3, y, 0]),
      pointSource([(17 * FOOT) / 3, y, 0], { name: 'other', part: 1 }),
    ],
    capsules: [
      capsuleOf([0, 0, 0], [0, 1, 0], { name: 'one' }),
      capsuleOf([6 * FOOT, 0, 0], [0, 1, 0], { name: 'two', mic: 1 }),
    ],
    mics: [micOf('one', [0], [0]), micOf('two', [1], [1])],
  });
  const report = judge(scene, transfer(scene));

  // Burroughs, Microphones: Design and Application (1974): mics 6 ft apart, 2 ft from their sources; 20·lg 3 = 9.54 dB.
  test.each([0, 1])(
    'omni mic %i of two, 2 ft from its source and 6 ft from the other, has S/B 9.54 dB',
    (i) => {
      expect(report.mics[i]?.signalToBleed).toBeCloseTo(9.5424, 4);
    },
  );

  test('mics 6 ft apart and 2 ft from their sources stand at 3:1', () => {
    expect(report.threeToOne).toHaveLength(1);
    expect(report.threeToOne[0]?.ratio).toBeCloseTo(3, 12);
    expect(report.threeToOne[0]?.margin).toBeCloseTo(0, 12);
  });

  test('mics 6 ft apart and 2 ft from their sources keep the rule where it is judged', () => {
    const limits = { ...scene.limits, threeToOne: 3 };
    expect(judge({ ...scene, limits }, transfer(scene)).threeToOne[0]?.verdict).toBe('marginal');
  });
});
