/** Ways on the plan against what a string pulled taut by hand would do. */
import { describe, expect, test } from 'vitest';
import { pathOnPlan } from '../../src/draw/bleed.ts';
import type { Vec3 } from '../../src/geometry.ts';
import { toldOf } from './drawn.ts';

const hall = (more: string): string =>
  `spillcheck: 1\nrooms:\n  hall: {size: [8, 6], height: 3}\n${more}players: {tuba: {at: [1, 1], facing: 0, plays: tuba}}\n`;

const baffle = (height: number, to = 4): string =>
  `baffles: {baffle-1: {from: [4, 2], to: [4, ${to}], height: ${height}, made-of: upholstered-baffle}}\n`;

async function path(text: string, from: Vec3, to: Vec3, rooms: readonly [number, number] = [0, 0]) {
  const { result } = await toldOf(text);
  return pathOnPlan(result.prepared, { at: from, room: rooms[0] }, { at: to, room: rooms[1] });
}

const near = (point: readonly [number, number] | undefined, x: number, y: number): number =>
  Math.hypot((point?.[0] ?? Number.NaN) - x, (point?.[1] ?? Number.NaN) - y);

describe('past a baffle', () => {
  test('the path bends around the nearer edge, a little clear of it', async () => {
    const low = await path(hall(baffle(2)), [2, 2.6, 1], [6, 2.6, 1]);
    expect(low.length).toBe(3);
    expect(near(low[1], 4, 2)).toBeLessThan(0.07);
    expect(low[1]?.[1]).toBeLessThan(2);
    const high = await path(hall(baffle(2)), [2, 3.4, 1], [6, 3.4, 1]);
    expect(near(high[1], 4, 4)).toBeLessThan(0.07);
  });

  test('it runs straight where the baffle stands beside it, or where it passes over its top', async () => {
    expect((await path(hall(baffle(2)), [2, 5, 1], [6, 5, 1])).length).toBe(2);
    expect((await path(hall(baffle(1.2)), [2, 3, 1.6], [6, 3, 1.6])).length).toBe(2);
  });

  test('an edge at a wall is no path', async () => {
    const text = hall(
      'baffles: {baffle-1: {from: [4, 3], to: [4, 6], height: 2, made-of: upholstered-baffle}}\n',
    );
    const round = await path(text, [2, 5.5, 1], [6, 5.5, 1]);
    expect(near(round[1], 4, 3)).toBeLessThan(0.07);
  });

  test('an angle of two baffles has two ends, and its joint is none: the path goes around both sides of it', async () => {
    const text = hall(
      'baffles:\n  a: {from: [4, 2], to: [4, 4], height: 2, made-of: upholstered-baffle}\n' +
        '  b: {from: [4, 4], to: [6, 4], height: 2, made-of: upholstered-baffle}\n',
    );
    const round = await path(text, [3, 3.8, 1], [5, 3.5, 1]);
    // over the corner 4, 4 and the end 6, 4: 1.02 + 2 + 1.12 = 4.14; round the end 4, 2 alone: 2.06 + 1.80 = 3.86
    expect(round.length).toBe(3);
    expect(near(round[1], 4, 2)).toBeLessThan(0.07);
  });
});

test('in a room with a corner the path goes around it', async () => {
  const text =
    'spillcheck: 1\nrooms:\n  hall: {outline: [[0, 0], [8, 0], [8, 3], [3, 3], [3, 7], [0, 7]], height: 3}\n';
  const round = await path(text, [7, 2, 1], [1, 6, 1]);
  expect(round.length).toBe(3);
  expect(near(round[1], 3, 3)).toBeLessThan(0.07);
});

describe('from room to room', () => {
  const two = (state: string): string =>
    hall(`  den: {size: [4, 6], origin: [8, 0], height: 3}
partitions: {wall: {between: [hall, den], wall: stud-gypsum-insulated, doors: [{at: [8, 1], width: 1, height: 2, leaf: solid-core-sealed, state: ${state}}]}}
`);

  test('through an open door, past its nearer jamb', async () => {
    const through = await path(two('open'), [6, 4, 1], [10, 4, 1], [0, 1]);
    expect(through.length).toBe(3);
    expect(near(through[1], 8, 1.5)).toBeLessThan(0.06);
  });

  test('straight through the wall where the door is shut', async () => {
    expect(await path(two('closed'), [6, 4, 1], [10, 4, 1], [0, 1])).toEqual([
      [6, 4],
      [10, 4],
    ]);
  });
});
