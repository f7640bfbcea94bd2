import { describe, expect, test } from 'vitest';
import { sameInAllBands } from '../../src/acoustics/bands.ts';
import { judgeSight } from '../../src/judge/sight.ts';
import type { Panel, Scene, WallElement } from '../../src/scene/scene.ts';
import { boxRoom, none, partitionOf, plainLimits, roomOf, sceneOf } from '../build-scene.ts';
import { person } from './people.ts';
import { computed } from './why-plans.ts';

const screen = (options: Partial<Panel> = {}): Panel => ({
  name: 'screen',
  path: ['baffles', 'screen'],
  room: -1,
  a: [-1, 1],
  b: [1, 1],
  low: 0,
  high: 1.5,
  tau: none,
  alpha: none,
  windowFrom: Number.POSITIVE_INFINITY,
  booth: null,
  ...options,
});

const inRoom = (name: string, eyes: readonly [number, number, number], room = -1) =>
  person(name, eyes, { room });
const sceneWith = (parts: Partial<Scene>): Scene => sceneOf({ sources: [], capsules: [], ...parts });
const hiddenBy = (parts: Partial<Scene>) => judgeSight(sceneWith(parts)).rows[0]?.hiddenBy;

describe('a baffle', () => {
  // Eyes at 1.22 m seated and 1.62 m standing, a screen half way: the line passes it at the mean of both.
  test.each([
    { one: 1.22, other: 1.22, high: 1.2, sees: true },
    { one: 1.22, other: 1.22, high: 1.3, sees: false },
    { one: 1.62, other: 1.62, high: 1.2, sees: true },
    { one: 1.22, other: 1.62, high: 1.41, sees: true },
    { one: 1.22, other: 1.62, high: 1.43, sees: false },
  ])('of $high m between eyes at $one and $other m: seen across $sees', ({ one, other, high, sees }) => {
    const players = [inRoom('a', [0, 0, one]), inRoom('b', [0, 2, other])];
    const [row] = judgeSight(sceneWith({ players, panels: [screen({ high })] })).rows;
    expect(row).toEqual({ players: ['a', 'b'], sees, hiddenBy: sees ? [] : ['screen'] });
  });

  test('near the one who sits hides less than near the one who stands: 1.22 + 0.4·t over 1.5 m from t = 0.7 on', () => {
    const players = [inRoom('seated', [0, 0, 1.22]), inRoom('standing', [0, 2, 1.62])];
    const at = (y: number) => screen({ a: [-1, y], b: [1, y] });
    expect(hiddenBy({ players, panels: [at(1.38)] })).toEqual(['screen']);
    expect(hiddenBy({ players, panels: [at(1.42)] })).toEqual([]);
  });

  test('lets see through its window, under its gap and past its ends', () => {
    const players = [inRoom('a', [0, 0, 1.22]), inRoom('b', [0, 2, 1.22])];
    const high = 2;
    expect(hiddenBy({ players, panels: [screen({ high })] })).toEqual(['screen']);
    expect(hiddenBy({ players, panels: [screen({ high, windowFrom: 1.2 })] })).toEqual([]);
    expect(hiddenBy({ players, panels: [screen({ high, windowFrom: 1.25 })] })).toEqual(['screen']);
    expect(hiddenBy({ players, panels: [screen({ high, low: 1.3 })] })).toEqual([]);
    expect(hiddenBy({ players, panels: [screen({ high, a: [0.1, 1] })] })).toEqual([]);
  });

  test('and another: both are named, from the first on', () => {
    const players = [inRoom('a', [0, 0, 1.22]), inRoom('b', [0, 3, 1.22])];
    const panels = [screen({ name: 'far', a: [-1, 2], b: [1, 2] }), screen({ name: 'near' })];
    expect(hiddenBy({ players, panels })).toEqual(['near', 'far']);
  });
});

describe('a wall between two rooms', () => {
  const rooms = [
    boxRoom(4, 4, 3, { name: 'live' }),
    {
      ...boxRoom(4, 4, 3),
      name: 'control',
      outline: [
        [4, 0],
        [8, 0],
        [8, 4],
        [4, 4],
      ] as const,
    },
  ];
  const players = [inRoom('a', [2, 2, 1.22], 0), inRoom('b', [6, 2, 1.22], 1)];
  const element = (parts: Partial<WallElement>): WallElement => ({
    name: 'door',
    kind: 'door',
    state: 'closed',
    free: false,
    a: [4, 1.5],
    b: [4, 2.5],
    low: 0,
    high: 2,
    tau: none,
    ...parts,
  });
  const wall = (...elements: readonly WallElement[]) => ({
    ...partitionOf([0, 1], 12, sameInAllBands(1e-4)),
    name: 'party',
    stretches: [{ a: [4, 0], b: [4, 4], low: 0, high: 3 }] as const,
    elements,
  });
  const through = (...elements: readonly WallElement[]) =>
    hiddenBy({ rooms, players, partitions: [wall(...elements)] });

  test('hides', () => expect(through()).toEqual(['the wall party']));
  test('hides where no partition describes it', () =>
    expect(hiddenBy({ rooms, players })).toEqual(['the walls between live and control']));
  test('lets see through an open door but not a closed one', () => {
    expect(through(element({ state: 'open', free: true }))).toEqual([]);
    expect(through(element({}))).toEqual(['the door of party']);
  });
  test('lets see through a window at the height of the line, though closed', () => {
    const window = { name: 'window', kind: 'window' } as const;
    expect(through(element({ ...window, low: 1, high: 2 }))).toEqual([]);
    expect(through(element({ ...window, low: 1.4, high: 2 }))).toEqual(['the wall party']);
    expect(through(element({ ...window, low: 1, high: 2, a: [4, 2.1] }))).toEqual(['the wall party']);
  });
  test('lets see through the slit of an ajar door, and beside it not', () => {
    const leaf = element({ state: 'ajar' });
    const slit = element({ state: 'ajar', free: true, a: [4, 1.975], b: [4, 2.025] });
    expect(through(leaf, slit)).toEqual([]);
    expect(through(leaf, { ...slit, a: [4, 2.025], b: [4, 2.075] })).toEqual(['the door of party']);
  });
});

describe('a room', () => {
  // An L: from the end of one leg the other end is round the inner corner at (2, 2).
  const room = roomOf(
    [
      [0, 0],
      [6, 0],
      [6, 2],
      [2, 2],
      [2, 6],
      [0, 6],
    ],
    3,
    { name: 'hall' },
  );
  test('that is bent hides round its corner', () => {
    const players = [inRoom('a', [5, 1, 1.2], 0), inRoom('b', [1, 5, 1.2], 0)];
    expect(hiddenBy({ rooms: [room], players })).toEqual(['the corner of hall']);
  });
  test('lets see within a leg, and past the corner where the line is clear', () => {
    // From (3, 0.5) to (1, 2.5) the line passes the corner's x = 2 at y = 1.5.
    const players = [inRoom('a', [3, 0.5, 1.2], 0), inRoom('b', [1, 2.5, 1.2], 0)];
    expect(hiddenBy({ rooms: [room], players })).toEqual([]);
  });
});

describe('must see each other', () => {
  const players = [inRoom('a', [0, 0, 1.22]), inRoom('b', [0, 2, 1.22]), inRoom('c', [2, 0, 1.22])];
  const limits = {
    ...plainLimits,
    seeEachOther: [
      [0, 1],
      [0, 2],
    ] as const,
  };
  test('is clear or short, as a word', () => {
    const { limits: judged } = judgeSight(sceneWith({ players, limits, panels: [screen()] }));
    expect(judged.map(({ players: pair, verdict }) => [...pair, verdict])).toEqual([
      ['a', 'b', 'short'],
      ['a', 'c', 'clear'],
    ]);
  });
});

/*
 * A made-up house: a booth with a window to the hall toward the trombone and a closed door; behind a wall of 20 cm the control
 * room with a window opposite the singer. Eyes are 10 cm ahead of the ears.
 */
const house = (door: string) => `spillcheck: 1
rooms:
  hall: {size: [8, 6], height: 3, walls: plaster, floor: wood-on-joists, ceiling: plaster}
  booth: {size: [2, 2], origin: [1, 1], height: 2.4, booth: true, walls: plaster, floor: wood-on-joists, ceiling: plaster}
  control: {size: [3, 6], origin: [8.2, 0], height: 3, walls: plaster, floor: wood-on-joists, ceiling: plaster}
partitions:
  shell:
    between: [booth, hall]
    wall: stud-gypsum-insulated
    windows: [{at: [3, 2], width: 1, height: 1, sill: 1, glass: glass-6}]
    doors: [{at: [2, 3], width: 0.8, height: 2, leaf: solid-core-sealed, state: ${door}}]
  party:
    between: [hall, control]
    wall: stud-gypsum-insulated
    windows: [{at: [8.1, 2], width: 1, height: 1, sill: 1, glass: glass-6}]
players:
  singer: {at: [2, 2], facing: 90, plays: singing-voice}
  trombone: {at: [5, 2], facing: 270, plays: trombone}
  horn: {at: [2, 5], facing: 180, plays: horn}
  tuba: {at: [0.5, 2], facing: 90, plays: tuba}
listeners:
  producer: {at: [9, 2], facing: 270}
mics:
  voice: {for: singer, near: {distance: 20 cm}}
`;

describe('a house with a booth', () => {
  const seen = async (door: string) => {
    const { scene } = await computed(house(door));
    return new Map(judgeSight(scene).rows.map(({ players: pair, hiddenBy: by }) => [pair.join(' - '), by]));
  };
  test('shows through windows, one behind the other, and not through walls and closed doors', async () => {
    const rows = await seen('closed');
    expect(rows.get('singer - trombone')).toEqual([]);
    expect(rows.get('singer - producer')).toEqual([]);
    expect(rows.get('trombone - producer')).toEqual([]);
    expect(rows.get('singer - horn')).toEqual(['the door of shell']);
    expect(rows.get('singer - tuba')).toEqual(['the wall shell']);
    // straight through the booth: in by the wall, out by the window
    expect(rows.get('trombone - tuba')).toEqual(['the wall shell']);
    // eyes at (2, 4.9) and (8.9, 2): the line passes x = 8.1 at y = 4.9 − 2.9·6.1/6.9 = 2.34, in the window from 1.5 to 2.5
    expect(rows.get('horn - producer')).toEqual([]);
  });
  test('shows through the door once it stands open', async () => {
    expect((await seen('open')).get('singer - horn')).toEqual([]);
  });
});
