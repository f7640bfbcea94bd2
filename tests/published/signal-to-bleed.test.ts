import { describe, expect, test } from 'vitest';
import { energyOf, filterByBand } from '../../src/acoustics/bands.ts';
import type { Vec3 } from '../../src/geometry.ts';
import { judge } from '../../src/judge/judge.ts';
import type { Report } from '../../src/judge/report.ts';
import { spacings } from '../../src/judge/spacing.ts';
import { verdictOf } from '../../src/judge/verdict.ts';
import type { Mic, Scene } from '../../src/scene/scene.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { boxRoom, capsuleOf, micOf, plainLimits, pointSource, sceneOf } from '../build-scene.ts';

/** Power that is heard at `level` by band at 1 m in the open. */
const heardAs = (levels: readonly number[]) =>
  Float64Array.from(levels, (level) => 4 * Math.PI * energyOf(level));
const SILENT = Number.NEGATIVE_INFINITY;

/** An omni at the origin, its own source and the others each 1 m off: levels at the mic are those given. */
function report(
  own: readonly number[],
  others: readonly (readonly number[])[],
  options: { mic?: Partial<Mic>; scene?: Partial<Scene> } = {},
): Report {
  const sources = [own, ...others].map((levels, i) =>
    pointSource([Math.cos(i), Math.sin(i), 0], { power: heardAs(levels), name: `source ${i}`, part: i }),
  );
  const scene = sceneOf({
    sources,
    capsules: [capsuleOf([0, 0, 0], [1, 0, 0])],
    mics: [micOf('mic', [0], [0], options.mic)],
    ...options.scene,
  });
  return judge(scene, transfer(scene));
}

const only = (level: number, band: number): number[] =>
  Array.from({ length: 8 }, (_, b) => (b === band ? level : SILENT));

describe('S/B in its own octaves', () => {
  // The wanted sound's strongest octave is 80 dB at 1 kHz: 60.1 dB at 2 kHz counts, 59.9 dB at 500 Hz does not. Bleed of 90 dB
  // at 500 Hz is out, 70 dB at 2 kHz in. By hand: 10·lg(10^8 + 10^6.01) = 80.044; less 70.
  const own = [SILENT, SILENT, SILENT, 59.9, 80, 60.1, SILENT, SILENT];
  const bleed = [SILENT, SILENT, SILENT, 90, SILENT, 70, SILENT, SILENT];

  test('leaves out what lies more than 20 dB under the strongest', () => {
    const [mic] = report(own, [bleed]).mics;
    expect(mic?.judgedBands).toEqual([1000, 2000]);
    expect(mic?.signalToBleed).toBeCloseTo(80.044 - 70, 3);
  });

  // Unweighted, by hand: signal 10·lg(10^8 + 10^6.01 + 10^5.99) = 80.0862, bleed 10·lg(10^9 + 10^7) = 90.0432.
  test('stands beside the unweighted figure', () => {
    expect(report(own, [bleed]).mics[0]?.signalToBleedUnweighted).toBeCloseTo(80.0862 - 90.0432, 3);
  });

  // A-weighted: 500 Hz −3.2, 2 kHz +1.2 dB (IEC 61672-1, Table 3): signal 80.0 with little beside, bleed 86.8 and 71.2.
  test('is a matter of the weighting', () => {
    const limits = { ...plainLimits, weighting: 'A' as const };
    const [mic] = report(own, [bleed], { scene: { limits } }).mics;
    const signal = 10 * Math.log10(energyOf(80) + energyOf(61.3) + energyOf(56.7));
    const spill = 10 * Math.log10(energyOf(86.8) + energyOf(71.2));
    expect(Math.abs((mic?.signalToBleed ?? 0) - (signal - spill))).toBeLessThan(0.1);
  });
});

describe('what counts as bleed', () => {
  // By hand: 80 against 10·lg(2·10^7) = 73.0103.
  test('is the energy of every other source', () => {
    expect(report(only(80, 4), [only(70, 4), only(70, 4)]).mics[0]?.signalToBleed).toBeCloseTo(6.9897, 4);
  });

  test('leaves out mates of the same kit or part', () => {
    const [mic] = report(only(80, 4), [only(70, 4), only(90, 4)], { mic: { ignored: [2] } }).mics;
    expect(mic?.signalToBleed).toBeCloseTo(10, 9);
    expect(mic?.levels.map(({ role }) => role)).toEqual(['signal', 'bleed', 'same-kit']);
  });

  test('is judged in the worst passage in which the wanted source sounds', () => {
    const passages = [
      { name: 'verse', path: [], sounds: [true, true, false] },
      { name: 'chorus', path: [], sounds: [true, false, true] },
      { name: 'solo', path: [], sounds: [false, true, true] },
    ];
    const [mic] = report(only(80, 4), [only(70, 4), only(75, 4)], { scene: { passages } }).mics;
    expect(mic?.passage).toBe('chorus');
    expect(mic?.signalToBleed).toBeCloseTo(5, 9);
  });

  // A wanted 125 Hz of 80 dB behind a second-order high-pass at 125.9 Hz is 3.01 dB down, bleed at 1 kHz is not
  // (1/(1 + (1/7.943)⁴): 0.001 dB). Butterworth.
  test('is taken after the filters of the channel', () => {
    const filter = filterByBand({ at: 125.8925, slope: 12 }, null);
    const both = Array.from({ length: 8 }, (_, b) => (b === 1 ? 80 : b === 4 ? 70 : SILENT));
    const [mic] = report(both, [only(70, 4)], {
      mic: { filter, highPass: { at: 125.8925, slope: 12 } },
    }).mics;
    const signal = 10 * Math.log10(energyOf(80) / 2 + energyOf(70 - 0.001));
    expect(mic?.signalToBleed).toBeCloseTo(signal - 70, 2);
    expect(mic?.signalToBleedUnfiltered).toBeCloseTo(10 * Math.log10(energyOf(80) + energyOf(70)) - 70, 6);
  });

  test('is nothing where no other source sounds: clear, without a figure', () => {
    const [mic] = report(only(80, 4), []).mics;
    expect([mic?.signalToBleed, mic?.verdict]).toEqual([null, 'clear']);
  });

  test('is everything where its own source does not reach the mic: short, without a figure', () => {
    const [mic] = report(Array<number>(8).fill(SILENT), [only(70, 4)]).mics;
    expect([mic?.signalToBleed, mic?.verdict]).toEqual([null, 'short']);
  });

  test('gets no verdict at a mic for everyone', () => {
    const [mic] = report(only(80, 4), [only(70, 4)], { mic: { purpose: 'all', wanted: [0, 1] } }).mics;
    expect([mic?.verdict, mic?.margin]).toEqual([null, null]);
  });
});

describe('what screens can buy', () => {
  test('is nothing one can name where all bleed is direct', () => {
    const [mic] = report(
      [60, 70, 80, 75, 71, 66, 50, 40],
      [
        [61, 72, 63, 74, 65, 56, 67, 58],
        [51, 42, 73, 64, 55, 66, 57, 48],
        [33, 77, 11, 62, 39, 71, 68, 12],
      ],
    ).mics;
    expect(mic?.bleedShares).toEqual({ direct: 1, reflections: 0, room: 0, walls: 0 });
    expect(mic?.baffleGainMax).toBeNull();
  });

  // All direct bleed and first reflections taken away leave the room's: −10·lg(room share).
  test('in a room is what is left without direct bleed and first reflections', () => {
    const scene = sceneOf({
      rooms: [boxRoom(6, 5, 3, { alpha: 0.3 })],
      sources: [pointSource([1, 1, 1], { room: 0 }), pointSource([4, 4, 1], { room: 0, part: 1 })],
      capsules: [capsuleOf([1.3, 1, 1], [-1, 0, 0], { room: 0 })],
    });
    const [mic] = judge(scene, transfer(scene)).mics;
    const { direct, reflections, room } = mic?.bleedShares ?? { direct: 0, reflections: 0, room: 0 };
    expect(mic?.baffleGainMax).toBeCloseTo(-10 * Math.log10(room), 9);
    expect(direct + reflections + room).toBeCloseTo(1, 9);
    expect(mic?.signalToDirectBleed).toBeCloseTo((mic?.signalToBleed ?? 0) - 10 * Math.log10(direct), 9);
  });
});

describe('verdicts', () => {
  test.each([
    { margin: 12, verdict: 'clear' },
    { margin: 3, verdict: 'clear' },
    { margin: 2.9, verdict: 'marginal' },
    { margin: 0, verdict: 'marginal' },
    // what rounding leaves of a limit met to the dot: 20·lg(2.9999999999999996/3)
    { margin: -1.3e-15, verdict: 'marginal' },
    { margin: 3 - 1e-15, verdict: 'clear' },
    { margin: -0.1, verdict: 'short' },
  ])('a margin of $margin dB is $verdict', ({ margin, verdict }) => {
    expect(verdictOf(margin)).toBe(verdict);
  });
});

describe('the 3:1 rule', () => {
  /** Mics at the given places, each half a metre before its own source. */
  function spaced(
    places: readonly Vec3[],
    options: { mics?: (i: number) => Partial<Mic>; players?: number[]; rooms?: number[] } = {},
  ) {
    const { mics = () => ({}), players = [], rooms = [] } = options;
    const scene = sceneOf({
      sources: places.map(([x, y, z], i) =>
        pointSource([x, y + 0.5, z], { part: i, player: players[i] ?? null }),
      ),
      capsules: places.map((at, i) =>
        capsuleOf(at, [0, 1, 0], { name: `mic ${i}`, mic: i, room: rooms[i] ?? -1 }),
      ),
      mics: places.map((_, i) => micOf(`mic ${i}`, [i], [i], mics(i))),
      limits: { ...plainLimits, threeToOne: 3 },
    });
    return spacings(scene);
  }

  // 1 m apart, 0.5 m from their sources: 2, and 20·lg(2/3) = −3.52 dB.
  test('says short by 3.52 dB at a ratio of 2', () => {
    const [row] = spaced([
      [0, 0, 1],
      [1, 0, 1],
    ]);
    expect(row?.ratio).toBeCloseTo(2, 12);
    expect(row?.margin).toBeCloseTo(-3.5218, 4);
    expect(row?.verdict).toBe('short');
  });

  test('speaks of every pair once, worst first', () => {
    const rows = spaced([
      [0, 0, 1],
      [3, 0, 1],
      [4, 0, 1],
    ]);
    expect(rows.map(({ mics }) => mics)).toEqual([
      ['mic 1', 'mic 2'],
      ['mic 0', 'mic 1'],
      ['mic 0', 'mic 2'],
    ]);
    expect(rows.map(({ ratio }) => Math.round(ratio))).toEqual([2, 6, 8]);
  });

  test.each([
    { name: 'mics for one player', options: { players: [4, 4] } },
    {
      name: 'mics for everyone',
      options: { mics: (i: number) => (i === 0 ? { purpose: 'all' as const } : {}) },
    },
    {
      name: 'mics for the room',
      options: { mics: (i: number) => (i === 0 ? { purpose: 'room' as const } : {}) },
    },
    { name: 'mics in different rooms', options: { rooms: [0, 1] } },
  ])('leaves out $name', ({ options }) => {
    expect(
      spaced(
        [
          [0, 0, 1],
          [1, 0, 1],
        ],
        options,
      ),
    ).toEqual([]);
  });
});
