import { describe, expect, test } from 'vitest';
import type { Vec3 } from '../../src/geometry.ts';
import { rippleWith, timings } from '../../src/judge/timing.ts';
import type { Scene } from '../../src/scene/scene.ts';
import { boxRoom, capsuleOf, losslessAir, micOf } from '../build-scene.ts';
import { computed, onALine } from './on-a-line.ts';
import { pairOf } from './pairs.ts';

const c = losslessAir.soundSpeed;
const A = { at: 0 };
const B = { at: 4 };
const nearA = { at: 1, for: [0] };
const nearB = { at: 3, for: [1] };
const of = (scene: Scene, reach?: number) =>
  timings(...computed(scene), reach === undefined ? {} : { reach });
const rowsOf = (scene: Scene, part = 'A') => of(scene).rows.filter((row) => row.part === part);

describe('a part at another mic', () => {
  // After the faders A is 0.9 in its own mic and 0.1 in that of B (ghost by hand), 9.54 dB under: g = 1/3, ripple 20·lg 2. The
  // way is 2 m longer: 2/343.2 s, first notch 343.2/4 = 85.8 Hz.
  test('combs as the faders stand', () => {
    expect(rowsOf(onALine({ A, B }, { 'near A': nearA, 'near B': nearB }))).toEqual([
      {
        part: 'A',
        source: 'A',
        own: 'near A',
        other: 'near B',
        level: expect.closeTo(-9.5424, 4),
        directLevel: expect.closeTo(-9.5424, 4),
        late: expect.closeTo(2 / c, 12),
        samples: expect.closeTo(279.72, 2),
        polarityInverted: false,
        otherRests: false,
        align: { mic: 'near A', by: expect.closeTo(2 / c, 12) },
        ripple: expect.closeTo(6.0206, 4),
        // in the open there is nothing but direct sound
        rippleWithRoom: expect.closeTo(6.0206, 4),
        over: false,
        notches: [expect.closeTo(85.8, 9), expect.closeTo(257.4, 9)],
      },
    ]);
  });

  test('room sound fills the notches: as much of it as direct sound leaves 2.8 of 6 dB', () => {
    // g = 1/3, r = 1: ((4/3)² + 1)/((2/3)² + 1) = 25/13
    expect(rippleWith({ direct: 1 / 3, rest: 1 })).toBeCloseTo(10 * Math.log10(25 / 13), 9);
    expect(rippleWith({ direct: 1 / 3, rest: 0 })).toBeCloseTo(20 * Math.log10(2), 9);
  });

  test('6 dB up in the mix combs deeper: g = 2/3, 20·lg 5', () => {
    // 1/3 times 10^(6.0206/20) = 2/3; (5/3)/(1/3) = 5.
    const scene = onALine({ A, B }, { 'near A': nearA, 'near B': { ...nearB, mix: 20 * Math.log10(2) } });
    expect(rowsOf(scene)[0]?.ripple).toBeCloseTo(20 * Math.log10(5), 9);
  });

  test.each([
    { reach: 9.5, rows: 0 },
    { reach: 9.6, rows: 2 },
  ])('is told within $reach dB of its own mic', ({ reach, rows }) => {
    expect(of(onALine({ A, B }, { 'near A': nearA, 'near B': nearB }), reach).rows).toHaveLength(rows);
  });

  test('on one rear lobe is upside down: notches at 0 and 343.2/2 Hz; on two it is not', () => {
    // The figure-8 near B looks at B, so that A comes from behind at the same strength.
    const away: Vec3 = [1, 0, 0];
    const behind = { ...nearB, a: 0, aim: away };
    const [one] = rowsOf(onALine({ A, B }, { 'near A': nearA, 'near B': behind }));
    expect(one?.polarityInverted).toBe(true);
    expect(one?.notches).toEqual([0, expect.closeTo(171.6, 9)]);
    expect(one?.ripple).toBeCloseTo(6.0206, 4);
    const [two] = rowsOf(onALine({ A, B }, { 'near A': { ...nearA, a: 0, aim: away }, 'near B': behind }));
    expect(two?.polarityInverted).toBe(false);
  });

  test('as far from both is in time: no notches, nothing to align, over 30 dB', () => {
    const mics = { 'near A': nearA, other: { at: -1, for: [1] } };
    // The other: A 1, B 1/25, g² = 25/26, A 0.9615 against 0.9: g = 0.9675, 20·lg(1.9675/0.0325) = 35.6 dB.
    const [row] = rowsOf(onALine({ A, B }, mics));
    expect(row).toMatchObject({ late: 0, notches: null, align: null, over: true, ripple: 30 });
  });

  test('with the other earlier has the other delayed', () => {
    const scene = onALine({ A, B }, { 'near A': { at: 2, for: [0] }, 'near B': { at: 1, for: [1] } });
    const [row] = rowsOf(scene);
    expect(row?.late).toBeCloseTo(-1 / c, 12);
    expect(row?.align).toEqual({ mic: 'near B', by: expect.closeTo(1 / c, 12) });
  });

  test('reaches a mic 1 m off 2.9 ms after the line', () => {
    const [row] = rowsOf(onALine({ A, B }, { line: { at: null, for: [0] }, 'near A': nearA }));
    expect(row).toMatchObject({ own: 'line', other: 'near A', late: expect.closeTo(1 / c, 12) });
    // 1 on the line, 0.9 in the mic.
    expect(row?.level).toBeCloseTo(10 * Math.log10(0.9), 9);
  });

  test('has no row where a wall keeps the direct sound away, nor where it never sounds', () => {
    const mics = { 'near A': nearA, 'near B': nearB };
    const rooms = [
      boxRoom(2, 2, 3),
      {
        ...boxRoom(2, 2, 3),
        outline: [
          [2.1, 0],
          [6, 0],
          [6, 2],
          [2.1, 2],
        ] as const,
      },
    ];
    const apart = onALine({ A: { at: [0.5, 1, 1] }, B: { at: [4, 1, 1] } }, mics);
    const scene: Scene = {
      ...apart,
      rooms,
      sources: apart.sources.map((source, room) => ({
        ...source,
        points: source.points.map((p) => ({ ...p, room })),
      })),
      capsules: apart.capsules.map((capsule, room) => ({ ...capsule, at: [1 + 2 * room, 1, 1], room })),
    };
    expect(of(scene, 200).rows).toEqual([]);
    const passages = [{ name: 'one', path: [], sounds: [false, true] }];
    expect(rowsOf(onALine({ A, B }, mics, { passages }))).toEqual([]);
  });

  test('the worst comes first', () => {
    const { rows } = of(
      onALine({ A, B, C: { at: 9 } }, { 'near A': nearA, 'near B': nearB, 'near C': { at: 8, for: [2] } }),
      40,
    );
    const ripples = rows.map(({ ripple }) => ripple);
    expect(ripples).toEqual([...ripples].sort((a, b) => b - a));
    expect(rows.length).toBe(6);
  });
});

describe('a kit', () => {
  const kit = { part: 0, kit: 'kit' };
  const sources = {
    'kit.kick': { at: 0, ...kit },
    'kit.snare': { at: 1, ...kit },
    'kit.ride': { at: 2, ...kit },
    piano: { at: 12, part: 1 },
  };
  const mics = {
    'kick-mic': { at: -0.1, for: [0], ignored: [1, 2] },
    'snare-mic': { at: 0.9, for: [1], ignored: [0, 2] },
    over: { at: [1, 0, 1.2] as const, for: [0, 1, 2] },
    'piano-mic': { at: 11, for: [3] },
  };

  test('has each piece timed from its own mic, those without one from the mic for all of it', () => {
    const rows = of(onALine(sources, mics), 60).rows.filter(({ part }) => part === 'kit');
    const pairs = rows.map(({ source, own, other }) => `${source}: ${own} to ${other}`);
    expect(pairs).toContain('kit.kick: kick-mic to over');
    expect(pairs).toContain('kit.snare: snare-mic to over');
    expect(pairs).toContain('kit.ride: over to snare-mic');
    expect(pairs.filter((pair) => pair.startsWith('kit.snare: over'))).toEqual([]);
  });
});

describe('an overhead pair', () => {
  /** Overheads 1 m apart, 1 m over a snare that stands `aside` m to the right of their middle, with a mic 10 cm over it. */
  function overheadsOver(aside: number) {
    const sources = { 'kit.snare': { at: [aside, 0, 0] as const, part: 0, kit: 'kit' } };
    const scene = onALine(sources, { 'snare-mic': { at: [aside, 0, 0.1], for: [0] } });
    const pair = pairOf({ kind: 'spaced', distance: 1 }, 1, { at: [0, 0, 1], aim: [0, 0, -1], mic: 1 });
    return of({
      ...scene,
      capsules: [...scene.capsules, ...pair],
      mics: [...scene.mics, micOf('overheads', [1, 2], [0], { stereo: 'spaced' })],
    }).overheads;
  }

  test('with the snare in the middle has it at both capsules at once', () => {
    expect(overheadsOver(0)[0]?.snare).toEqual({ source: 'kit.snare', nearer: null, apart: 0, late: 0 });
  });

  test('with the snare 10 cm aside has it 8.8 cm earlier on that side, 0.26 ms', () => {
    // √(1 + 0.6²) − √(1 + 0.4²) = 1.16619 − 1.07703 = 0.08916 m.
    expect(overheadsOver(0.1)[0]?.snare).toEqual({
      source: 'kit.snare',
      nearer: 'pair.right',
      apart: expect.closeTo(0.08916, 5),
      late: expect.closeTo(0.08916 / c, 7),
    });
  });

  test('is so much later than the snare mic as the mean of both its ways', () => {
    // (1.16619 + 1.07703)/2 − 0.1 = 1.02161 m: 2.977 ms.
    expect(overheadsOver(0.1)[0]?.spots).toEqual([
      {
        spot: 'snare-mic',
        source: 'kit.snare',
        late: expect.closeTo(1.02161 / c, 7),
        samples: expect.closeTo(142.88, 2),
      },
    ]);
  });

  test('with neither a snare nor a spot under it has nothing to tell', () => {
    const scene = onALine({ choir: { at: 0 } }, {});
    const capsules = [capsuleOf([0, 1, 0], [0, -1, 0]), capsuleOf([1, 1, 0], [0, -1, 0])];
    expect(
      of({ ...scene, capsules, mics: [micOf('pair', [0, 1], [0], { stereo: 'spaced' })] }).overheads,
    ).toEqual([]);
  });
});
