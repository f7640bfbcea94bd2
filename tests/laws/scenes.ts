/** Random whole scenes: two boxes side by side with a wall and an open door, screens, directional sources, mics of any pattern. */
import fc from 'fast-check';
import { bands, sameInAllBands } from '../../src/acoustics/bands.ts';
import { directivityOf } from '../../src/acoustics/directivity.ts';
import { direction, type Vec2, type Vec3 } from '../../src/geometry.ts';
import type { Capsule, Panel, Partition, Room, Scene, Source, WallElement } from '../../src/scene/scene.ts';
import { boxRoom, capsuleOf, micOf, pointSource, roomAir, roomOf, sceneOf } from '../build-scene.ts';

/** Sides of the first room; the second, 4 m wide, joins it at x = 7. */
const SIZE = { x: 7, y: 5, height: 3, beyond: 11 } as const;

/** Even over the stretch, ends left out: `fc.double` dwells on ends, where a spot is in line with a wall or a screen. */
export const span = (min: number, max: number): fc.Arbitrary<number> =>
  fc.noBias(fc.integer({ min: 0, max: 2 ** 30 })).map((i) => min + ((max - min) * (i + 0.5)) / 2 ** 30);

export const spotIn = (room: 0 | 1): fc.Arbitrary<Vec3> =>
  room === 0
    ? fc.tuple(span(0.3, SIZE.x - 0.3), span(0.3, SIZE.y - 0.3), span(0.3, 2.5))
    : fc.tuple(span(SIZE.x + 0.3, SIZE.beyond - 0.3), span(0.3, SIZE.y - 0.3), span(0.3, 2.5));

const look: fc.Arbitrary<Vec3> = fc
  .tuple(span(0, 360), span(-60, 60))
  .map(([bearing, tilt]) => direction(bearing, tilt));

export const source = (room: 0 | 1): fc.Arbitrary<Source> =>
  fc
    .record({
      at: spotIn(room),
      axis: look,
      q: span(1, 8),
      frontToBack: fc.option(span(0, 25), { nil: null }),
      level: span(70, 110),
      radius: fc.constantFrom(0, 0, 0.15),
    })
    .map(({ at, axis, q, frontToBack, level, radius }) =>
      pointSource(at, {
        room,
        axis,
        radius,
        power: bands((band) => 10 ** ((level - 2 * band) / 10)),
        directivity: directivityOf(
          (band) => 1 + ((q - 1) * band) / 7,
          () => frontToBack,
        ),
      }),
    );

export const capsule = (room: 0 | 1): fc.Arbitrary<Capsule> =>
  fc
    .record({
      at: spotIn(room),
      aim: look,
      a: fc.constantFrom(1, 0.7, 0.5, 0.366, 0.25, 0),
      floor: fc.constantFrom(0, 0.003, 0.03),
      proximity: fc.boolean(),
    })
    .map(({ at, aim, ...options }) => capsuleOf(at, aim, { room, ...options }));

export const alphas = fc.array(span(0.02, 0.9), { minLength: 6, maxLength: 6 });

export const hall = (values: readonly number[], options: Partial<Room> = {}): Room =>
  boxRoom(SIZE.x, SIZE.y, SIZE.height, {
    ...options,
    alpha: (surface, band) => (values[surface] ?? 0.2) * (0.4 + 0.08 * band),
  });

const beside = (alpha: number): Room =>
  roomOf(
    [
      [SIZE.x, 0],
      [SIZE.beyond, 0],
      [SIZE.beyond, SIZE.y],
      [SIZE.x, SIZE.y],
    ],
    SIZE.height,
    { alpha, name: 'store' },
  );

/** The wall at x = 7 with a door in it that stands open. */
function wallWithDoor(middle: number): Partition {
  const at = (y: number): Vec2 => [SIZE.x, y];
  const wall = sameInAllBands(1e-4);
  const door: WallElement = {
    name: 'door',
    kind: 'door',
    state: 'open',
    free: true,
    a: at(middle - 0.45),
    b: at(middle + 0.45),
    low: 0,
    high: 2,
    tau: sameInAllBands(1),
  };
  const area = SIZE.y * SIZE.height;
  return {
    name: 'hall-store',
    path: ['partitions', 'hall-store'],
    rooms: [0, 1],
    stretches: [{ a: at(0), b: at(SIZE.y), low: 0, high: SIZE.height }],
    roof: null,
    area,
    wall,
    elements: [door],
    tau: sameInAllBands((1.8 + (area - 1.8) * 1e-4) / area),
  };
}

const panel: fc.Arbitrary<Panel> = fc
  .record({ x: span(1.5, 5.5), y: span(1.5, 3.5), turn: span(0, 180), high: span(1, 2.2), loss: span(5, 30) })
  .map(({ x, y, turn, high, loss }) => {
    const [dx, dy] = direction(turn);
    return {
      name: 'screen',
      path: ['baffles', 'screen'],
      room: 0,
      a: [x - 0.6 * dx, y - 0.6 * dy],
      b: [x + 0.6 * dx, y + 0.6 * dy],
      low: 0,
      high,
      tau: sameInAllBands(10 ** (-loss / 10)),
      alpha: sameInAllBands(0.4),
      windowFrom: Number.POSITIVE_INFINITY,
      booth: null,
    };
  });

/** Each capsule a mic of its own, for the source of its number. */
export function withMics(scene: Scene): Scene {
  return { ...scene, mics: scene.capsules.map((_, i) => micOf(`mic ${i}`, [i], [i % scene.sources.length])) };
}

export const scene: fc.Arbitrary<Scene> = fc
  .record({
    alphas,
    store: span(0.1, 0.6),
    door: span(0.6, SIZE.y - 0.6),
    panels: fc.array(panel, { minLength: 0, maxLength: 1 }),
    sources: fc.tuple(source(0), source(0), source(1)),
    capsules: fc.tuple(capsule(0), capsule(0), capsule(1)),
  })
  .map(({ alphas: values, store, door, panels, sources, capsules }) =>
    withMics(
      sceneOf({
        air: roomAir,
        rooms: [hall(values), beside(store)],
        partitions: [wallWithDoor(door)],
        panels,
        sources: sources.map((one, i) => ({ ...one, name: `source ${i}`, part: i })),
        capsules: capsules.map((one, i) => ({ ...one, name: `mic ${i}`, mic: i })),
      }),
    ),
  );

/** An omni capsule and a round point source at two spots, and the two swapped. */
export function swapped(
  from: Vec3,
  to: Vec3,
  parts: { rooms?: readonly Room[]; room?: number } = {},
): [Scene, Scene] {
  const { rooms = [], room = -1 } = parts;
  const between = (a: Vec3, b: Vec3) =>
    sceneOf({
      air: roomAir,
      rooms,
      sources: [pointSource(a, { room })],
      capsules: [capsuleOf(b, [0, 1, 0], { room })],
    });
  return [between(from, to), between(to, from)];
}
