/** Pitfalls of nulls, screens, rooms and doors. */

import { describe, expect, test } from 'vitest';
import { bands, sameInAllBands } from '../../src/acoustics/bands.ts';
import { judge } from '../../src/judge/judge.ts';
import { lengthsIn } from '../../src/plan/units.ts';
import { OUTSIDE, type Scene, type WallElement } from '../../src/scene/scene.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { boxRoom, capsuleOf, micOf, partitionOf, pointSource, sceneOf } from '../build-scene.ts';
import { panelFrom } from '../transfer/panels.ts';
import { fixes, told } from './pitfalls-of.ts';

describe('a ratio that hangs on a null', () => {
  /** Own source 1 m ahead, another of the same power 10 m to the side; a null 25 dB deep. */
  const aimed = (a: number): Scene =>
    sceneOf({
      sources: [
        pointSource([0, 1, 0], { name: 'voice' }),
        pointSource([10, 0, 0], { name: 'drums', part: 1 }),
      ],
      capsules: [capsuleOf([0, 0, 0], [0, 1, 0], { name: 'voice-mic', a, floor: 10 ** -2.5 })],
    });

  test('a figure-8 loses 8.6 dB when turned by 8°', () => {
    // ε² = 10^-2.5: before 10·lg(100/ε²) = 45.0 dB; after, D² = ε² + (1−ε²)·cos² 8° and ε² + (1−ε²)·sin² 8°:
    // 10·lg(100·0.98069/0.022470) = 36.4 dB
    expect(told(aimed(0), 'narrow-null')).toEqual([
      'voice-mic relies on its null at drums: 8° off aim, S/B drops 45.0 → 36.4 dB',
    ]);
  });

  test('a cardioid loses 1.1 dB: 20·lg((0.5 + 0.5·sin 8°)/0.5)', () => {
    expect(told(aimed(0.5), 'narrow-null')).toEqual([]);
  });
});

describe('low bleed past a screen', () => {
  const low = bands((band) => (band < 2 ? 1e11 : 0));
  const high = bands((band) => (band > 3 ? 1e11 : 0));
  const screened = (power: Float64Array, more: Partial<Scene> = {}, lowestNote = 0): Scene =>
    sceneOf({
      rooms: [boxRoom(8, 6, 3, { alpha: 0.9 })],
      sources: [
        pointSource([2, 3, 1], { name: 'voice', room: 0, lowestNote }),
        pointSource([6, 3, 1], { name: 'tuba', room: 0, part: 1, power }),
      ],
      capsules: [capsuleOf([3, 3, 1], [-1, 0, 0], { name: 'voice-mic', room: 0 })],
      panels: [
        panelFrom(
          [
            [4, 2.4],
            [4, 3.6],
          ],
          { high: 1.5 },
        ),
      ],
      ...more,
    });

  test('is not stopped: all of it lies in the octaves of 63 and 125 Hz', () => {
    expect(told(screened(low), 'low-bleed')).toEqual([
      '100% of the bleed in voice-mic is below 250 Hz, mostly tuba: panel cannot stop that',
    ]);
    expect(told(screened(high), 'low-bleed')).toEqual([]);
    expect(told(screened(low, { panels: [] }), 'low-bleed')).toEqual([]);
  });

  test('can be filtered where the own lowest note lies above some of it', () => {
    expect(fixes(screened(low, {}, 220), 'low-bleed')).toEqual(['a high-pass below its lowest note, 220 Hz']);
    expect(fixes(screened(low, {}, 41), 'low-bleed')).toEqual(['tuba further away or in another room']);
  });
});

describe('the bleed of the room', () => {
  /** A hard room: a screen in the line, and next to nothing comes straight. */
  const hard = (more: Partial<Scene> = {}): Scene =>
    sceneOf({
      rooms: [boxRoom(8, 6, 3, { alpha: 0.05 })],
      sources: [
        pointSource([2, 3, 1], { name: 'voice', room: 0 }),
        pointSource([7, 3, 1], { name: 'drums', room: 0, part: 1 }),
      ],
      capsules: [capsuleOf([2.5, 3, 1], [-1, 0, 0], { name: 'voice-mic', room: 0 })],
      panels: [
        panelFrom([
          [4, 2],
          [4, 4],
        ]),
      ],
      ...more,
    });

  test('goes round whatever stands in the line', () => {
    expect(told(hard(), 'room-bleed')).toEqual([
      expect.stringMatching(
        /^\d\d% of the bleed in voice-mic is room sound, which panel cannot reject: without direct/,
      ),
    ]);
    expect(told(hard({ panels: [] }), 'room-bleed')).toEqual([]);
  });

  test('and past a null that looks at the source', () => {
    const eight = capsuleOf([2.5, 3, 1], [0, 1, 0], { name: 'voice-mic', room: 0, a: 0, floor: 10 ** -2.5 });
    expect(told(hard({ panels: [], capsules: [eight] }), 'room-bleed')).toEqual([
      expect.stringContaining('which its null at drums cannot reject'),
    ]);
  });
});

describe('octaves below the Schroeder frequency', () => {
  /** 60 m³ and 0.6 s: 2000·√(0.6/60) = 200 Hz. */
  const small = (power: Float64Array, short: number): Scene => {
    const scene = sceneOf({
      rooms: [
        boxRoom(5, 4, 3, {
          measured: { times: sameInAllBands(0.6), earlyBands: Array(8).fill(true), setUp: true, named: true },
        }),
      ],
      sources: [
        pointSource([1, 1, 1], { name: 'bass', room: 0, power }),
        pointSource([4, 3, 1], { name: 'tuba', room: 0, part: 1, power }),
      ],
      capsules: [capsuleOf([1.3, 1, 1], [-1, 0, 0], { name: 'bass-mic', room: 0 })],
    });
    const ratio = judge(scene, transfer(scene)).mics[0]?.signalToBleed ?? 0;
    return { ...scene, mics: [micOf('bass-mic', [0], [0], { limit: ratio + short })] };
  };
  const low = bands((band) => (band < 2 ? 1e10 : 0));

  test('make a close verdict unsure', () => {
    expect(told(small(low, 1), 'below-schroeder')).toEqual([
      expect.stringMatching(
        /^bass-mic is judged mostly below the Schroeder frequency of room, 200 Hz: S\/B .* ±5 dB/,
      ),
    ]);
  });

  test('do not matter to a verdict with 6 dB in hand, nor to high sounds', () => {
    expect(told(small(low, -6), 'below-schroeder')).toEqual([]);
    expect(
      told(
        small(
          bands((band) => (band > 3 ? 1e10 : 0)),
          1,
        ),
        'below-schroeder',
      ),
    ).toEqual([]);
  });
});

test('a mic past the critical distance hears mostly the room', () => {
  // 5 × 4 × 3 m, α = 0.2: S = 94 m², R = 18.8/0.8 = 23.5 m², 0.141·√23.5 = 0.68 m
  const away = (x: number) =>
    sceneOf({
      rooms: [boxRoom(5, 4, 3, { alpha: 0.2 })],
      sources: [pointSource([1, 2, 1.5], { name: 'horn', room: 0 })],
      capsules: [capsuleOf([1 + x, 2, 1.5], [-1, 0, 0], { name: 'horn-mic', room: 0 })],
    });
  expect(told(away(2), 'beyond-critical-distance')).toEqual([
    expect.stringMatching(/^horn-mic is 2\.00 m from horn, critical distance 68 cm: \d\d% of its signal/),
  ]);
  // 2 m = 78.74 in = 6 · 12 + 6.74; 0.6835 m = 26.91 in: 53.8 halves, 54
  expect(told(away(2), 'beyond-critical-distance', lengthsIn('ft'))).toEqual([
    expect.stringMatching(/^horn-mic is 6 ft 7 in from horn, critical distance 27 in: /),
  ]);
  expect(told(away(0.5), 'beyond-critical-distance')).toEqual([]);
});

describe('a door ajar', () => {
  /** 12 m² of wall; the gap of 5 cm × 2 m passes 0.1 m², the wall 12e-5. */
  const gap: WallElement = {
    name: 'door',
    kind: 'door',
    state: 'ajar',
    free: true,
    tau: sameInAllBands(1),
    a: [4, 1.975],
    b: [4, 2.025],
    low: 0,
    high: 2,
  };
  const rooms = (elements: readonly WallElement[], limit = 100): Scene =>
    sceneOf({
      rooms: [
        boxRoom(4, 4, 3),
        boxRoom(3, 4, 3, {
          name: 'store',
          outline: [
            [4, 0],
            [7, 0],
            [7, 4],
            [4, 4],
          ],
        }),
      ],
      partitions: [
        {
          ...partitionOf([0, 1], 12, sameInAllBands(elements.length > 0 ? 0.1 / 12 + 1e-5 : 1e-5)),
          wall: sameInAllBands(1e-5),
          stretches: [{ a: [4, 0], b: [4, 4], low: 0, high: 3 }],
          elements,
        },
      ],
      sources: [
        pointSource([5.5, 2, 1], { name: 'voice', room: 1 }),
        pointSource([1, 2, 1], { name: 'drums', room: 0, part: 1 }),
      ],
      capsules: [capsuleOf([5.7, 2, 1], [-1, 0, 0], { name: 'voice-mic', room: 1 })],
      mics: [micOf('voice-mic', [0], [0], { limit })],
    });

  test('lets in 0.1/(0.1 + 12e-5) of what passes its wall', () => {
    expect(told(rooms([gap]), 'ajar-door')).toEqual([
      'the door of wall is ajar: 100% of the bleed in voice-mic comes through walls, 100% of it through that gap',
    ]);
  });

  test('that is shut, or does not matter, gets no word', () => {
    expect(told(rooms([]), 'ajar-door')).toEqual([]);
    expect(
      told(rooms([{ ...gap, free: false, state: 'closed', tau: sameInAllBands(1e-5) }]), 'ajar-door'),
    ).toEqual([]);
    expect(told(rooms([gap], -100), 'ajar-door')).toEqual([]);
  });
});

describe('baffles that nearly touch', () => {
  const with2 = (gap: number, room = OUTSIDE): Scene => {
    const [one, two] = [
      panelFrom([
        [-1, 1],
        [0, 1],
      ]),
      panelFrom([
        [gap, 1],
        [1, 1],
      ]),
    ];
    return sceneOf({
      panels: [
        { ...one, name: 'one', room: OUTSIDE },
        { ...two, name: 'two', room },
      ],
      sources: [pointSource([0, 0, 1])],
      capsules: [capsuleOf([0, 2, 1], [0, -1, 0])],
    });
  };

  // By hand: (1 − e^(−0.03/0.05))/(1 − e^(−4)) = 0.45119/0.98168 = 46 %.
  test('are named with what the gap counts', () => {
    expect(told(with2(0.03), 'baffle-gap')).toEqual([
      'one and two nearly touch: the gap of 3 cm counts as 46% open',
    ]);
  });

  test('but not where they touch, stand apart, or stand in two rooms', () => {
    for (const scene of [with2(0), with2(0.001), with2(0.13), with2(0.03, 1)])
      expect(told(scene, 'baffle-gap')).toEqual([]);
  });
});
