import { describe, expect, test } from 'vitest';
import type { Vec3 } from '../../src/geometry.ts';
import { mainPairs } from '../../src/judge/stereo.ts';
import type { Scene } from '../../src/scene/scene.ts';
import { boxRoom, capsuleOf, losslessAir, micOf, pointSource, sceneOf } from '../build-scene.ts';
import { computed, onALine } from './on-a-line.ts';
import { pairOf } from './pairs.ts';

/** Players `far` m from the origin at so many degrees to the right of straight up the page. */
const around = (degrees: number, far: number): Vec3 => [
  far * Math.sin((degrees * Math.PI) / 180),
  far * Math.cos((degrees * Math.PI) / 180),
  0,
];

type Pair = ReturnType<typeof pairOf>;

function before(
  players: Readonly<Record<string, Vec3>>,
  capsules: Pair,
  purpose: 'all' | 'room' = 'all',
): Scene {
  const scene = onALine(Object.fromEntries(Object.entries(players).map(([name, at]) => [name, { at }])), {});
  const everyone = scene.sources.map((_, i) => i);
  return { ...scene, capsules, mics: [micOf('main', [0, 1], everyone, { purpose, stereo: 'ortf' })] };
}

const first = (scene: Scene) => mainPairs(...computed(scene))[0];
const ortf = pairOf({ kind: 'ortf' }, 0.5);

describe('the parts at a main pair', () => {
  test('are told against the loudest', () => {
    // Omnis in one point: 2 m against 4 m, 20·lg 2.
    const row = first(
      before({ near: around(0, 2), far: around(20, 4) }, pairOf({ kind: 'xy', angle: 90 }, 1)),
    );
    expect(row?.parts.map(({ part }) => part)).toEqual(['near', 'far']);
    expect(row?.parts[0]?.level).toBeCloseTo(0, 9);
    expect(row?.parts[1]?.level).toBeCloseTo(-6.0206, 4);
  });

  test('stand to the left or right of its aim, whichever way that is', () => {
    const aim: Vec3 = [Math.SQRT1_2, Math.SQRT1_2, 0];
    const turned = pairOf({ kind: 'ortf' }, 0.5, { aim });
    const players = { left: around(-30, 3), right: around(50, 3), behind: around(180, 3) };
    const angles = (pair: Pair) =>
      first(before(players, pair))?.parts.map(({ angle }) => Math.round(angle ?? 999));
    expect(angles(ortf)).toEqual([-30, 50, 180]);
    // The aim is at 45°: −75, 5, 135.
    expect(angles(turned)).toEqual([-75, 5, 135]);
  });

  test('are seen across an overhead bar by a pair that looks down', () => {
    const down = pairOf({ kind: 'spaced', distance: 1 }, 1, { at: [0, 0, 2], aim: [0, 0, -1], facing: 0 });
    expect(first(before({ right: around(90, 1) }, down))?.parts[0]?.angle).toBeCloseTo(90, 9);
  });

  test('are dry without a room', () => {
    expect(first(before({ A: around(0, 2) }, ortf))?.parts[0]?.directToRoom).toBeNull();
  });

  // System design manual, ch. 6 (worked example W11 of our reference): direct over reverberant is +6, 0, −6 dB at 0.5, 1 and 2
  // critical distances. 30 m each way, α = 0.1: R = 540/0.9 = 600 m², 0.141·√600 = 3.45 m. The early reflections scatter ours.
  test.each([
    { times: 0.5, ratio: 6 },
    { times: 1, ratio: 0 },
    { times: 2, ratio: -6 },
  ])('are $ratio dB direct over room at $times critical distances', ({ times, ratio }) => {
    const room = boxRoom(30, 30, 30, { alpha: 0.1 });
    const [x, y, z] = [14, 13, 16];
    const scene = sceneOf({
      rooms: [room],
      sources: [pointSource([x, y, z], { room: 0 })],
      capsules: [capsuleOf([x + 3.454 * times, y, z], [-1, 0, 0], { room: 0 })],
      mics: [micOf('main', [0], [0], { purpose: 'all' })],
    });
    expect(Math.abs((first(scene)?.parts[0]?.directToRoom ?? 99) - ratio)).toBeLessThan(1);
  });

  test('count in the passage in which they are loudest, without their wedges', () => {
    const scene = before(
      { A: around(0, 2), 'A too': around(0, 1), wedge: around(90, 1) },
      pairOf({ kind: 'xy', angle: 90 }, 1),
    );
    const parts = [
      { name: 'A', path: [], sources: [0, 1, 2], later: 'leave' as const },
      { name: 'B', path: [], sources: [], later: 'leave' as const },
    ];
    const sources = scene.sources.map((source, i) => ({ ...source, part: 0, repeats: i === 2 }));
    const passages = [
      { name: 'soft', path: [], sounds: [true, false, true] },
      { name: 'loud', path: [], sounds: [false, true, true] },
    ];
    const row = first({ ...scene, sources, parts, passages });
    expect(row?.parts[0]).toMatchObject({ level: 0, angle: expect.closeTo(0, 9) });
    expect(row?.parts[1]).toMatchObject({ level: null, angle: null, directToRoom: null });
    expect(row?.ensemble).toEqual({ left: expect.closeTo(0, 9), right: expect.closeTo(0, 9) });
  });
});

describe('the ensemble', () => {
  // ORTF takes in 96° as printed, ours within 10°: ±40° fits either way, ±60° does not.
  test.each([
    { half: 40, fits: true },
    { half: 60, fits: false },
  ])('of ±$half° before an ORTF pair fits: $fits', ({ half, fits }) => {
    const row = first(before({ a: around(-half, 3), b: around(half, 3) }, ortf));
    expect(row?.ensemble?.left).toBeCloseTo(-half, 9);
    expect(row?.ensemble?.right).toBeCloseTo(half, 9);
    expect(row?.fits).toBe(fits);
    expect(row?.spare).toBeCloseTo((row?.recordingAngle?.right ?? 0) - half, 3);
  });

  test('that stands off to one side does not fit, however narrow', () => {
    const row = first(
      before({ a: around(60, 3), b: around(70, 3), middle: around(0, 3), behind: around(180, 3) }, ortf),
    );
    expect(row?.fits).toBe(false);
    expect(row?.outside).toEqual(['a', 'b', 'behind']);
  });

  test('always fits where no image gets all the way out', () => {
    const close = pairOf({ kind: 'spaced', distance: 0.3 }, 1);
    expect(first(before({ a: around(-80, 3), b: around(80, 3) }, close))).toMatchObject({
      recordingAngle: { left: null, right: null },
      fits: true,
    });
  });

  test('is not judged before a mic for the room, nor before one mic alone', () => {
    const room = first(before({ a: around(60, 3) }, ortf, 'room'));
    expect(room).toMatchObject({ purpose: 'room', fits: null });
    expect(room?.recordingAngle).not.toBeNull();
    const one = onALine({ A: { at: 1 } }, { main: { at: 0, for: [0], purpose: 'all' } });
    expect(first(one)).toMatchObject({ recordingAngle: null, fits: null });
  });
});

test('each spot mic has its delay against the pair', () => {
  // The spot 0.5 m from the singer, the pair's capsules in one point 4 m off: 3.5 m.
  const scene = before({ singer: around(0, 4) }, pairOf({ kind: 'xy', angle: 90 }, 0.5));
  const spot = capsuleOf([0, 3.5, 0], [0, 1, 0], { mic: 1 });
  const row = first({
    ...scene,
    capsules: [...scene.capsules, spot],
    mics: [...scene.mics, micOf('spot', [2], [0])],
  });
  expect(row?.spots).toEqual([
    {
      spot: 'spot',
      source: 'singer',
      late: expect.closeTo(3.5 / losslessAir.soundSpeed, 9),
      samples: expect.closeTo(489.51, 2),
    },
  ]);
});
