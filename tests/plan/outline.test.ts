/** Outlines: what is one, and which wall is which. */

import fc from 'fast-check';
import { expect, test } from 'vitest';
import { signedArea } from '../../src/geometry.ts';
import { anticlockwise, outlineFault } from '../../src/plan/rooms.ts';
import type { Point } from '../../src/plan/values.ts';
import { faultsOf, schemaOf } from './plans.ts';

const L: Point[] = [
  [0, 0],
  [6, 0],
  [6, 3],
  [3, 3],
  [3, 5],
  [0, 5],
];

test.each<[string, Point[], RegExp | null]>([
  ['an L', L, null],
  ['an L the other way round', L.toReversed(), null],
  [
    'a corner in the middle of a wall',
    [
      [0, 0],
      [2, 0],
      [4, 0],
      [4, 3],
    ],
    null,
  ],
  [
    'a bow',
    [
      [0, 0],
      [4, 4],
      [4, 0],
      [0, 4],
    ],
    /crosses itself: side 0 meets side 2/,
  ],
  [
    'a wall that runs back on itself',
    [
      [0, 0],
      [4, 0],
      [2, 0],
      [2, 3],
    ],
    /crosses itself: side 0 meets side 1/,
  ],
  [
    'a corner that touches a wall',
    [
      [0, 0],
      [4, 0],
      [4, 4],
      [2, 0],
      [0, 4],
    ],
    /crosses itself: side 0 meets side 2/,
  ],
  [
    'a corner twice',
    [
      [0, 0],
      [4, 0],
      [4, 0],
      [0, 4],
    ],
    /two corners at the same point \(1 and 2\)/,
  ],
  [
    'three corners in line',
    [
      [0, 0],
      [4, 0],
      [8, 0],
    ],
    /crosses itself/,
  ],
])('%s', (_name, corners, fault) => {
  const found = outlineFault(corners);
  if (fault) expect(found).toMatch(fault);
  else expect(found).toBeNull();
});

test('the area of an L is that of its two rectangles, either way round', () => {
  // 6 · 3 + 3 · 2 = 24
  expect(signedArea(L)).toBe(24);
  expect(signedArea(L.toReversed())).toBe(-24);
});

test('turned anticlockwise, each wall keeps the number of the side it was', () => {
  fc.assert(
    fc.property(fc.integer({ min: 3, max: 12 }), fc.boolean(), (count, clockwise) => {
      const ring = Array.from({ length: count }, (_, i): Point => {
        const angle = ((clockwise ? -1 : 1) * 2 * Math.PI * i) / count;
        return [5 * Math.cos(angle), 5 * Math.sin(angle)];
      });
      const { outline, sides } = anticlockwise(ring);
      expect(signedArea(outline)).toBeGreaterThan(0);
      sides.forEach((side, i) => {
        const written = new Set([ring[side], ring[(side + 1) % count]]);
        expect(new Set([outline[i], outline[(i + 1) % count]])).toEqual(written);
      });
    }),
  );
});

const room = (keys: string) => `spillcheck: 1\nrooms:\n  hall: {height: 3, ${keys}}\n`;
const hallOf = async (keys: string) => {
  const hall = (await schemaOf(room(keys))).rooms.get('hall');
  if (!hall) throw new Error('no hall');
  return hall;
};
const wood = { name: 'wood' };
const felt = { name: 'felt' };

test('walls of a rectangle go by the page: bottom, right, top, left from the origin on', async () => {
  const hall = await hallOf('size: [4, 3], origin: [1, 2], walls: {top: felt, left: wood}');
  expect(hall.outline).toEqual([
    [1, 2],
    [5, 2],
    [5, 5],
    [1, 5],
  ]);
  expect(hall.wallNames).toEqual(['bottom', 'right', 'top', 'left']);
  expect(hall.walls).toEqual([null, null, felt, wood]);
});

test('a list of walls goes along the outline as it was written, clockwise here', async () => {
  // written: 0 left, 1 top, 2 right, 3 bottom; anticlockwise from the corner written last: 2, 1, 0, 3
  const hall = await hallOf(
    'outline: [[0, 0], [0, 3], [4, 3], [4, 0]], walls: [felt, wood, 0.1, {125: 0.2}], patches: {a: {on: 0, finish: felt, area: 1}, b: {on: top, finish: felt, area: 1}}',
  );
  expect(hall.outline).toEqual([
    [4, 0],
    [4, 3],
    [0, 3],
    [0, 0],
  ]);
  expect(hall.wallNames).toEqual(['2', '1', '0', '3']);
  expect(hall.walls).toEqual([
    { absorption: 0.1 },
    wood,
    felt,
    { absorption: { kind: 'bands', points: [[125, 0.2]] } },
  ]);
  expect(hall.patches.get('a')?.on).toBe(2);
  expect(hall.patches.get('b')?.on).toBe(1);
});

test.each([
  ['size: [4, 3], walls: [felt, wood, felt]', ['walls'], /lists 3 finishes for 4 walls/],
  ['outline: [[0, 0], [4, 0], [2, 3]], walls: {top: felt}', ['walls'], /not a rectangle along the page/],
  ['size: [4, 3], walls: {topp: felt}', ['walls', 'topp'], /not a key of the walls/],
  ['size: [4, 3], patches: {a: {on: 4, finish: felt, area: 1}}', ['patches', 'a', 'on'], /got 4/],
  ['size: [4, 3], patches: {a: {on: door, finish: felt, area: 1}}', ['patches', 'a', 'on'], /got door/],
  ['size: [4, 3], outline: [[0, 0], [4, 0], [2, 3]]', ['outline'], /combined with `size`/],
  ['origin: [4, 3], outline: [[0, 0], [4, 0], [2, 3]]', ['origin'], /needs `size`/],
])('%s is refused', async (keys, path, message) => {
  expect(await faultsOf(room(keys))).toMatchObject([
    { path: ['rooms', 'hall', ...path], message: expect.stringMatching(message) },
  ]);
});
