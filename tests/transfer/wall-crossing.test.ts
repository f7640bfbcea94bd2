import fc from 'fast-check';
import { expect, test } from 'vitest';
import { sameInAllBands } from '../../src/acoustics/bands.ts';
import type { Vec2, Vec3 } from '../../src/geometry.ts';
import { OUTSIDE, type Partition, type Room, type WallElement } from '../../src/scene/scene.ts';
import { partitionBetween, roomsOnLine, type WallCrossing } from '../../src/transfer/wall-crossing.ts';
import { roomOf } from '../build-scene.ts';

const box = (x: number, y: number, w: number, d: number): Vec2[] => [
  [x, y],
  [x + w, y],
  [x + w, y + d],
  [x, y + d],
];

const wall = sameInAllBands(1e-4);
const partition = (parts: Partial<Partition>): Partition => ({
  name: 'wall',
  path: ['partitions', 'wall'],
  rooms: [0, 1],
  stretches: [],
  roof: null,
  area: 1,
  wall,
  elements: [],
  tau: wall,
  ...parts,
});
const element = (parts: Partial<WallElement>): WallElement => ({
  name: 'door',
  kind: 'door',
  state: 'closed',
  free: false,
  a: [9.1, 1.5],
  b: [9.1, 2.5],
  low: 0,
  high: 2,
  tau: sameInAllBands(1e-2),
  ...parts,
});
const slit = element({
  name: 'slit',
  state: 'ajar',
  free: true,
  a: [9.1, 1.975],
  b: [9.1, 2.025],
  tau: sameInAllBands(1),
});
const window = element({
  name: 'window',
  kind: 'window',
  a: [9.1, 4],
  b: [9.1, 5],
  low: 1,
  high: 1.8,
  tau: sameInAllBands(1e-3),
});

/** Hall x 0 to 9, store x 9.2 to 12.2 and y 1 to 5 behind 20 cm of wall, another room above it on the page. */
const hall = roomOf(box(0, 0, 9, 7), 3.6);
const store = roomOf(box(9.2, 1, 3, 4), 2.6);
const attic = roomOf(box(9.2, 5.2, 3, 1.8), 3);
const rooms = [hall, store, attic];
const between = partition({
  stretches: [{ a: [9.1, 1], b: [9.1, 5], low: 0, high: 2.6 }],
  elements: [element({}), window],
});

const inHall = (...at: Vec3) => ({ at, room: 0 });
const inStore = (...at: Vec3) => ({ at, room: 1 });
const met = (wallCrossing: WallCrossing | null) =>
  wallCrossing && [
    typeof wallCrossing.through === 'string' ? wallCrossing.through : wallCrossing.through.name,
    wallCrossing.tau?.[0] ?? null,
  ];

// From (8.1, y) to (10.1, y) at one height: the middle of the wall is half way.
test.each([
  ['the bare wall', 3, 1.2, ['wall', 1e-4]],
  ['the wall over the door', 2, 2.1, ['wall', 1e-4]],
  ['the door', 2, 1.2, ['door', 1e-2]],
  ['the window', 4.5, 1.2, ['window', 1e-3]],
  ['the wall under the window', 4.5, 0.9, ['wall', 1e-4]],
])('a line through %s is lessened by it', (_, y, z, expected) => {
  const { wallCrossing, openings } = partitionBetween(
    { rooms, partitions: [between] },
    inHall(8.1, y, z),
    inStore(10.1, y, z),
  );
  expect(met(wallCrossing)).toEqual(expected);
  expect(wallCrossing?.at).toEqual([9.1, y, z].map((v) => expect.closeTo(v, 9)));
  expect(openings).toEqual([]);
});

// From (7.1, 3.6, 0.4) to (11.1, 1.2, 2): half way at x = 9.1, so y = 2.4 and z = 1.2: in the door. The way back is the same.
test('an oblique line meets the door where it crosses the middle of the wall, both ways', () => {
  const ends = [inHall(7.1, 3.6, 0.4), inStore(11.1, 1.2, 2)] as const;
  for (const [source, mic] of [ends, [ends[1], ends[0]] as const]) {
    const { wallCrossing } = partitionBetween({ rooms, partitions: [between] }, source, mic);
    expect(met(wallCrossing)).toEqual(['door', 1e-2]);
    expect(wallCrossing?.at).toEqual([9.1, 2.4, 1.2].map((v) => expect.closeTo(v, 9)));
  }
});

test('a line through what stands open has no transmission of its own, and the opening is told', () => {
  const ajar = partition({ ...between, elements: [element({ state: 'ajar' }), slit] });
  const hit = partitionBetween({ rooms, partitions: [ajar] }, inHall(8.1, 2, 1), inStore(10.1, 2, 1));
  expect(met(hit.wallCrossing)).toEqual(['slit', null]);
  expect(hit.openings).toEqual([slit]);
  const beside = partitionBetween({ rooms, partitions: [ajar] }, inHall(8.1, 2.2, 1), inStore(10.1, 2.2, 1));
  expect(met(beside.wallCrossing)).toEqual(['door', 1e-2]);
  expect(beside.openings).toEqual([slit]);
});

// (8, 6.8) to (9.6, 4.6): at x = 9 it is at y = 6.8 − 1.375 = 5.425, at x = 9.2 at 5.15, so it leaves the hall beside the wall
// of the store; between the rooms it is in the open, and enters the store at y = 5 through its top.
test('a line that enters beside the partition is left out', () => {
  const { wallCrossing } = partitionBetween(
    { rooms: [hall, store], partitions: [between] },
    inHall(8, 6.8, 1),
    inStore(9.6, 4.6, 1),
  );
  expect(wallCrossing).toBe(null);
});

test('a line through a third room is left out', () => {
  const { wallCrossing } = partitionBetween(
    { rooms, partitions: [between] },
    inHall(8, 6.9, 1),
    inStore(11, 4.6, 1),
  );
  expect(wallCrossing).toBe(null);
});

// The hall ends at y = 7; an upper part of it, higher than the store, has the open air behind: the line leaves at z > 2.6.
test('a line that leaves the hall above the roof of the store is left out', () => {
  const { wallCrossing } = partitionBetween(
    { rooms, partitions: [between] },
    inHall(8.1, 3, 3.5),
    inStore(10.1, 3, 2.3),
  );
  expect(wallCrossing).toBe(null);
});

test('rooms without a partition, and one room, have no way through walls', () => {
  const none = { partition: null, wallCrossing: null, openings: [] };
  expect(partitionBetween({ rooms, partitions: [] }, inHall(8.1, 3, 1), inStore(10.1, 3, 1))).toEqual(none);
  expect(partitionBetween({ rooms, partitions: [between] }, inHall(8.1, 3, 1), inHall(2, 3, 1))).toEqual(
    none,
  );
});

test('a partition known by its area alone has no line', () => {
  const { wallCrossing } = partitionBetween(
    { rooms, partitions: [partition({})] },
    inHall(8.1, 3, 1),
    inStore(10.1, 3, 1),
  );
  expect(wallCrossing).toBe(null);
});

// A mic in the doorway, 5 cm into the wall at x = 9.05, counts to the hall: its line to the store starts in the wall.
test('a line may begin in the wall itself', () => {
  const { wallCrossing } = partitionBetween(
    { rooms, partitions: [between] },
    inHall(9.05, 2, 1),
    inStore(10.1, 2, 1),
  );
  expect(met(wallCrossing)).toEqual(['door', 1e-2]);
});

/** Booth x 4 to 6, y 3 to 5, 2.2 m high, in the hall; its door in the right wall stands open. */
const booth: Room = { ...roomOf(box(4, 3, 2, 2), 2.2), host: 0 };
const door = element({ free: true, state: 'open', a: [6, 3.5], b: [6, 4.5], tau: sameInAllBands(1) });
const shell = partition({
  stretches: box(4, 3, 2, 2).map((a, i, all) => ({ a, b: all[(i + 1) % 4] as Vec2, low: 0, high: 2.2 })),
  roof: { outline: box(4, 3, 2, 2), height: 2.2 },
  elements: [door],
});
const withBooth = { rooms: [hall, booth], partitions: [shell] };

test('a line into a booth meets the wall it enters by', () => {
  const { wallCrossing } = partitionBetween(withBooth, inHall(2, 4, 1), { at: [5, 4, 1], room: 1 });
  expect(met(wallCrossing)).toEqual(['wall', 1e-4]);
  expect(wallCrossing?.at).toEqual([4, 4, 1].map((v) => expect.closeTo(v, 9)));
});

// (2, 4, 3.4) to (5, 4, 1): down 0.8 a metre; over the booth's edge x = 4 it is at 1.8, below the roof: the wall.
// (4, 4, 3.4) to (5, 4, 1): down 2.4 a metre, at 2.2 after 0.5 m: the roof at x = 4.5.
test('a line from above meets the wall or the roof, whichever it comes to', () => {
  const low = partitionBetween(withBooth, inHall(2, 4, 3.4), { at: [5, 4, 1], room: 1 });
  expect(met(low.wallCrossing)).toEqual(['wall', 1e-4]);
  expect(low.wallCrossing?.at).toEqual([4, 4, 1.8].map((v) => expect.closeTo(v, 9)));
  const steep = partitionBetween(withBooth, inHall(4, 4, 3.4), { at: [5, 4, 1], room: 1 });
  expect(met(steep.wallCrossing)).toEqual(['roof', 1e-4]);
  expect(steep.wallCrossing?.at).toEqual([4.5, 4, 2.2].map((v) => expect.closeTo(v, 9)));
  const upright = partitionBetween(withBooth, { at: [5, 4, 1], room: 1 }, inHall(5, 4, 3));
  expect(met(upright.wallCrossing)).toEqual(['roof', 1e-4]);
});

test('a line over a booth stays in the hall, one through it is in the booth meanwhile', () => {
  const over = roomsOnLine([hall, booth], [1, 4, 2.5], [9, 4, 2.5]);
  expect(over).toEqual([{ room: 0, from: 0, to: 1 }]);
  const through = roomsOnLine([hall, booth], [1, 4, 1], [9, 4, 1]);
  expect(through.map(({ room }) => room)).toEqual([0, 1, 0]);
  // x = 4 is 3/8 of the way from 1 to 9, x = 6 is 5/8
  expect(through.map(({ to }) => to)).toEqual([0.375, 0.625, 1].map((v) => expect.closeTo(v, 9)));
});

test('past the end of a hall a line is outside', () => {
  expect(roomsOnLine([hall], [8, 3, 1], [10, 3, 1]).map(({ room }) => room)).toEqual([0, OUTSIDE]);
});

// The arm of the L (x 0 to 3, y 4 to 8) hides the opening at (6.1, 1.5) from (2.8, 7.5): at x = 3 the line
// is at y = 7.125 (towards (6, 1.5)), above the inner corner (3, 4), and so in the notch.
test('an opening that one of the two cannot see is left to the field', () => {
  const ell = roomOf(
    [
      [0, 0],
      [6, 0],
      [6, 4],
      [3, 4],
      [3, 8],
      [0, 8],
    ],
    3,
  );
  const next = roomOf(box(6.2, 0, 3, 4), 3);
  const open = partition({
    stretches: [{ a: [6.1, 0], b: [6.1, 4], low: 0, high: 3 }],
    elements: [{ ...door, a: [6.1, 1], b: [6.1, 2] }],
  });
  const building = { rooms: [ell, next], partitions: [open] };
  const hidden = partitionBetween(building, inHall(2.8, 7.5, 1), inStore(7, 1.5, 1));
  expect(hidden).toEqual({ partition: open, wallCrossing: null, openings: [] });
  const seen = partitionBetween(building, inHall(1, 3, 1), inStore(7, 1.5, 1));
  expect(seen.openings).toHaveLength(1);
});

type Span = readonly [number, number];
const within = ([min, max]: Span) => fc.double({ min: min + 0.01, max: max - 0.01, noNaN: true });
const inside = (x: Span, y: Span, z: Span): fc.Arbitrary<Vec3> => fc.tuple(within(x), within(y), within(z));

test('every line into a booth comes through its shell, at the same point both ways', () => {
  const around = inside([0, 9], [0, 7], [0, 3.6]).filter(
    ([x, y, z]) => !(x > 3.9 && x < 6.1 && y > 2.9 && y < 5.1 && z < 2.3),
  );
  fc.assert(
    fc.property(around, inside([4, 6], [3, 5], [0, 2.2]), (outer, inner) => {
      const source = { at: outer, room: 0 };
      const mic = { at: inner, room: 1 };
      const into = partitionBetween(withBooth, source, mic).wallCrossing;
      const out = partitionBetween(withBooth, mic, source).wallCrossing;
      expect(into).not.toBe(null);
      expect(out?.at).toEqual(into?.at.map((v) => expect.closeTo(v, 6)));
      const [x, y, z] = into?.at ?? [0, 0, 0];
      const depth = Math.min(x - 4, 6 - x, y - 3, 5 - y, 2.2 - z);
      expect(depth).toBeCloseTo(0, 6);
    }),
    { seed: 7, numRuns: 500 },
  );
});
