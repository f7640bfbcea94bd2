import { expect, test } from 'vitest';
import type { RoomEntry } from '../../src/plan/rooms.ts';
import { Notes } from '../../src/scene/context.ts';
import { roomAt, roomPlaces } from '../../src/scene/room-places.ts';
import { OUTSIDE } from '../../src/scene/scene.ts';
import { boxOf, doorAt, planOf, roomOf, wallBetween } from './plan-of.ts';

function placesOf(rooms: Record<string, RoomEntry>, partitions = {}) {
  const notes = new Notes();
  const plan = planOf({
    rooms: new Map(Object.entries(rooms)),
    partitions: new Map(Object.entries(partitions)),
  });
  return { places: roomPlaces(plan, notes), notes };
}

const ell: [number, number][] = [
  [0, 0],
  [6, 0],
  [6, 4],
  [3, 4],
  [3, 8],
  [0, 8],
];

test('a plan without rooms is all outside', () => {
  expect(roomAt(placesOf({}).places, 3, 3)).toBe(OUTSIDE);
});

test('the notch of an L-shaped hall is outside every room', () => {
  const { places } = placesOf({ hall: roomOf(ell, 3) });
  expect([roomAt(places, 2, 7), roomAt(places, 5, 2), roomAt(places, 5, 6)]).toEqual([0, 0, null]);
});

test('floor and ceiling stand above the ground by the floor level', () => {
  const { places } = placesOf({ stage: boxOf([0, 0], [4, 3], 5, { floorLevel: 0.9 }) });
  expect([places.rooms[0]?.floor, places.rooms[0]?.ceiling, places.rooms[0]?.area]).toEqual([0.9, 5.9, 12]);
});

test('the innermost outline wins, whatever the order of writing', () => {
  const { places, notes } = placesOf({
    desk: boxOf([4, 4], [1, 1], 2),
    booth: boxOf([3, 3], [3, 3], 2.4),
    hall: boxOf([0, 0], [9, 9], 4),
  });
  expect(places.rooms.map((room) => room.host)).toEqual([1, 2, null]);
  expect([roomAt(places, 4.5, 4.5), roomAt(places, 3.5, 3.5), roomAt(places, 1, 1)]).toEqual([0, 1, 2]);
  expect(notes.findings).toEqual([]);
});

test('a booth in the corner of a hall stands in it', () => {
  const { places, notes } = placesOf({ hall: boxOf([0, 0], [6, 5], 3), booth: boxOf([0, 0], [2, 2], 2.2) });
  expect(places.rooms[1]?.host).toBe(0);
  expect(notes.findings).toEqual([]);
});

test('a booth higher than its hall is a fault at its height', () => {
  const { notes } = placesOf({ hall: boxOf([0, 0], [6, 5], 3), booth: boxOf([1, 1], [2, 2], 3.1) });
  expect(notes.findings.map(({ code, path }) => ({ code, path }))).toEqual([
    { code: 'BAD_POSITION', path: ['rooms', 'booth', 'height'] },
  ]);
});

test('a room in the notch of an L does not stand in it', () => {
  const { places, notes } = placesOf({ hall: roomOf(ell, 3), store: boxOf([3, 4], [3, 4], 3) });
  expect(places.rooms[1]?.host).toBe(null);
  expect(notes.findings).toEqual([]);
});

test.each([
  ['reach into each other', boxOf([3, 1], [4, 2], 3)],
  ['have the same outline', boxOf([0, 0], [4, 3], 3)],
  ['cross like a plus sign', boxOf([1, -1], [2, 5], 3)],
])('two rooms that %s are a fault at the second', (_, second) => {
  const { notes } = placesOf({ hall: boxOf([0, 0], [4, 3], 3), store: second });
  expect(notes.findings.map(({ code, path }) => ({ code, path }))).toEqual([
    { code: 'BAD_POSITION', path: ['rooms', 'store'] },
  ]);
});

// The wall from x = 4 to x = 4.3 has its middle at 4.15; the door is 0.9 wide at y = 1.5.
test('whoever stands in a doorway, or within 20 cm of it, is in the nearer room', () => {
  const { places } = placesOf(
    { hall: boxOf([0, 0], [4, 3], 3), store: boxOf([4.3, 0], [3, 3], 3) },
    { wall: wallBetween('hall', 'store', { doors: [doorAt([4.15, 1.5])] }) },
  );
  expect(places.doorways).toHaveLength(1);
  expect([roomAt(places, 4.1, 1.5), roomAt(places, 4.2, 1.5), roomAt(places, 4.2, 2.1)]).toEqual([0, 1, 1]);
  expect(roomAt(places, 4.2, 2.3)).toBe(null);
});
