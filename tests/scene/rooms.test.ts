import { expect, test } from 'vitest';
import type { PlanData } from '../../src/plan/plan.ts';
import type { RoomEntry } from '../../src/plan/rooms.ts';
import { resolvePanels } from '../../src/scene/baffles.ts';
import { resolvePartitions } from '../../src/scene/partitions.ts';
import { resolveRooms } from '../../src/scene/rooms.ts';
import type { Room } from '../../src/scene/scene.ts';
import { materials } from './materials-of.ts';
import { boxOf, contextOf, doorAt, planOf, roomOf, wallBetween } from './plan-of.ts';

type Head = { readonly room: number; readonly standing: boolean };

function resolved(
  rooms: Record<string, RoomEntry>,
  parts: Partial<PlanData> = {},
  people: readonly Head[] = [],
) {
  const plan = planOf({ rooms: new Map(Object.entries(rooms)), ...parts });
  const context = contextOf(plan, materials);
  const partitions = resolvePartitions(context);
  const panels = resolvePanels(context);
  return { rooms: resolveRooms(context, { people, panels, partitions }), ...context.notes };
}

const surface = (room: Room | undefined, name: string) => room?.surfaces.find((one) => one.name === name);
const faults = (findings: readonly { code: string; path: readonly (string | number)[] }[]) =>
  findings.map(({ code, path }) => `${code} ${path.join('.')}`);
const close = (value: number) => expect.closeTo(value, 9);

const plaster = { name: 'plaster' };
const finished = { floor: { name: 'wood-on-joists' }, ceiling: plaster, walls: Array(4).fill(plaster) };
const hall = boxOf([0, 0], [9, 7], 3.6, finished);

// L: 6 × 8 = 48 less 3 × 4 = 12, so 36 m² of floor; walls 6, 4, 3, 4, 3, 8 m times 3 m; 36 × 3 = 108 m³.
test('an L-shaped hall has the floor, walls and volume of an L', () => {
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
  const [room] = resolved({ hall: ell }).rooms;
  expect(room?.surfaces.map(({ name, area }) => [name, area])).toEqual([
    ['floor', 36],
    ['ceiling', 36],
    ...[18, 12, 9, 12, 9, 24].map((area, i) => [`wall ${i}`, area]),
  ]);
  expect(room?.volume).toBe(108);
});

test('what has no finish is guessed and said: wooden floor, plastered ceiling and walls', () => {
  const { rooms, assumptions } = resolved({
    hall: boxOf([0, 0], [4, 3], 3, { walls: [null, { absorption: 0.7 }, null, null] }),
  });
  expect(rooms[0]?.surfaces.map(({ name, alpha }) => [name, alpha[4]])).toEqual([
    ['floor', close(0.1)],
    ['ceiling', 0.02],
    ['bottom wall', 0.02],
    ['right wall', 0.7],
    ['top wall', 0.02],
    ['left wall', 0.02],
  ]);
  expect(assumptions.map(({ kind, text }) => `${kind}: ${text}`)).toEqual([
    'assumed: floor of wood-on-joists',
    'assumed: ceiling of plaster',
    'assumed: walls bottom, top, left of plaster',
  ]);
});

// 0.1 at 125 Hz and 0.3 at 500 Hz: 0.2 at 250 Hz between them; 63 Hz as 125, 1 kHz and up as 500.
test('a finish of the catalogue with few bands is filled in, and said once', () => {
  const rug = { floor: { name: 'rug' } };
  const { rooms, assumptions } = resolved({
    hall: boxOf([0, 0], [4, 3], 3, { ...finished, ...rug }),
    far: boxOf([9, 0], [4, 3], 3, { ...finished, ...rug }),
  });
  expect([...(rooms[1]?.surfaces[0]?.alpha ?? [])]).toEqual(
    [0.1, 0.1, 0.2, 0.3, 0.3, 0.3, 0.3, 0.3].map(close),
  );
  expect(assumptions.map(({ text }) => text)).toEqual([
    'finish rug: interpolated at 250 Hz',
    'finish rug: nearest published value used at 63, 1000, 2000, 4000 and 8000 Hz',
  ]);
});

test('a typed absorption is kept to 0.99, and that is said', () => {
  const { rooms, assumptions } = resolved({
    hall: boxOf([0, 0], [4, 3], 3, { ...finished, floor: { absorption: 1 } }),
  });
  expect(rooms[0]?.surfaces[0]?.alpha[0]).toBeCloseTo(0.99, 12);
  expect(assumptions.map(({ kind, path }) => [kind, path])).toEqual([
    ['clamped', ['rooms', 'hall', 'floor']],
  ]);
});

// Floor 63 m² at 0.1 with two patches, 6 m² at 0.5 and 10 m² at 0.3: (47·0.1 + 6·0.5 + 10·0.3)/63 = 10.7/63.
// Left wall 7 × 3.6 = 25.2 m² at 0.02 with 5.2 m² at 0.5: (20·0.02 + 2.6)/25.2 = 3/25.2.
test('patches leave the finish of their surface', () => {
  const patches = new Map([
    ['drape', { on: 'floor' as const, finish: { name: 'curtain' }, area: 6 }],
    ['mat', { on: 'floor' as const, finish: { absorption: 0.3 }, area: 10 }],
    ['hanging', { on: 3, finish: { name: 'curtain' }, area: 5.2 }],
  ]);
  const [room] = resolved({ hall: { ...hall, patches } }).rooms;
  expect(surface(room, 'floor')).toMatchObject({ area: 63, open: 0 });
  expect(surface(room, 'floor')?.alpha[2]).toBeCloseTo(10.7 / 63, 9);
  expect(surface(room, 'left wall')?.alpha[2]).toBeCloseTo(3 / 25.2, 9);
});

test.each([
  ['the whole wall', [25.2], []],
  ['more than the wall', [25.3], ['OUT_OF_RANGE rooms.hall.patches.p0.area']],
  ['more than the first left', [20, 5.3], ['OUT_OF_RANGE rooms.hall.patches.p1.area']],
])('patches of %s', (_, areas, expected) => {
  const patches = new Map(areas.map((area, i) => [`p${i}`, { on: 3, finish: plaster, area }]));
  expect(faults(resolved({ hall: { ...hall, patches } }).findings)).toEqual(expected);
});

// Right wall of the hall 7 × 3.6 = 25.2 m² of plaster 0.02; door leaf 1.8 m² at 0.1; window 1 × 1 at 0.05; opening 0.5 × 2 = 1 m²:
// (21.4·0.02 + 0.18 + 0.05 + 1)/25.2 = 1.658/25.2, of which 1 m² is open. The left wall of the store 4 × 2.6 = 10.4 m²:
// (6.6·0.02 + 1.23)/10.4 = 1.362/10.4.
test('doors, windows and openings leave the finish of the wall on both sides', () => {
  const partition = wallBetween('hall', 'store', {
    doors: [doorAt([9.1, 2])],
    windows: [doorAt([9.1, 3.5], { width: 1, height: 1, made: { name: 'single' } })],
    openings: [{ at: [9.1, 4.5], width: 0.5, height: 2 }],
  });
  const store = boxOf([9.2, 1], [3, 4], 2.6, finished);
  const { rooms, findings } = resolved({ hall, store }, { partitions: new Map([['wall', partition]]) });
  expect(findings).toEqual([]);
  expect(surface(rooms[0], 'right wall')).toMatchObject({ area: close(25.2), open: 1 });
  expect(surface(rooms[0], 'right wall')?.alpha[5]).toBeCloseTo(1.658 / 25.2, 9);
  expect(surface(rooms[1], 'left wall')).toMatchObject({ area: close(10.4), open: 1 });
  expect(surface(rooms[1], 'left wall')?.alpha[5]).toBeCloseTo(1.362 / 10.4, 9);
  expect(surface(rooms[0], 'left wall')?.alpha[5]).toBe(0.02);
});

// Ajar: leaf 1.7 m² at 0.1, slit 0.1 m² open: (23.4·0.02 + 0.17 + 0.1)/25.2 = 0.738/25.2.
test('a door ajar opens its slit to both rooms', () => {
  const partition = wallBetween('hall', 'store', { doors: [doorAt([9.1, 2], { state: 'ajar' })] });
  const store = boxOf([9.2, 1], [3, 4], 2.6, finished);
  const { rooms } = resolved({ hall, store }, { partitions: new Map([['wall', partition]]) });
  expect(surface(rooms[0], 'right wall')?.open).toBeCloseTo(0.1, 9);
  expect(surface(rooms[0], 'right wall')?.alpha[0]).toBeCloseTo(0.738 / 25.2, 9);
});

test('a patch does not fit where the door is', () => {
  const partition = wallBetween('hall', 'store', { doors: [doorAt([9.1, 2])] });
  const patches = new Map([['cloth', { on: 3, finish: plaster, area: 10 }]]);
  const store = boxOf([9.2, 1], [3, 4], 2.6, { ...finished, patches });
  const { findings } = resolved({ hall, store }, { partitions: new Map([['wall', partition]]) });
  expect(findings[0]?.message).toBe('cloth is larger than the free area of the left wall, 8.60 m²');
});

// 500 Hz and 2 kHz given: 1 kHz lies in the middle, 0.5 s; the ends hold.
test('measured times are linear on log frequency, and no finish at all is no absorption', () => {
  const seconds = {
    kind: 'bands' as const,
    points: [
      [500, 0.6],
      [2000, 0.4],
    ] as const,
  };
  const { rooms, assumptions } = resolved({
    store: boxOf([0, 0], [3, 4], 2.6, { reverberation: { seconds, measured: 'set-up', decay: 'late' } }),
  });
  expect([...(rooms[0]?.measured?.times ?? [])]).toEqual([0.6, 0.6, 0.6, 0.6, 0.5, 0.4, 0.4, 0.4].map(close));
  expect(rooms[0]?.measured?.setUp).toBe(true);
  expect(rooms[0]?.surfaces.every(({ alpha }) => alpha.every((value) => value === 0))).toBe(true);
  expect(assumptions.map(({ text }) => text)).toEqual([
    'interpolated at 1000 Hz',
    'nearest given value used at 63, 125, 250, 4000 and 8000 Hz',
  ]);
});

test('of a measured room without finishes the door absorbs nothing, and what is open everything', () => {
  const partition = wallBetween('hall', 'store', { doors: [doorAt([9.1, 2], { state: 'ajar' })] });
  const store = boxOf([9.2, 1], [3, 4], 2.6, {
    reverberation: { seconds: 0.5, measured: 'empty', decay: 'late' },
  });
  const { rooms } = resolved({ hall, store }, { partitions: new Map([['wall', partition]]) });
  expect(surface(rooms[1], 'left wall')?.alpha[0]).toBeCloseTo(0.1 / 10.4, 9);
});

test('one finish is enough for the others of a measured room to be guessed', () => {
  const { rooms } = resolved({
    store: boxOf([0, 0], [3, 4], 2.6, {
      floor: { name: 'curtain' },
      reverberation: { seconds: 0.5, measured: 'empty', decay: 'late' },
    }),
  });
  expect(rooms[0]?.surfaces.map(({ alpha }) => alpha[0])).toEqual([0.5, 0.02, 0.02, 0.02, 0.02, 0.02]);
  expect(rooms[0]?.measured?.setUp).toBe(false);
});

// Two sofas 2 × 1.5 m² and 5 m² of seats at 0.6: 6 m². Two seated 0.4 and one standing 0.5: 1.3 m².
test('contents go by the piece or by area, people by posture', () => {
  const contents = new Map([
    ['sofa', { count: 2 }],
    ['seats', { area: 5 }],
  ]);
  const people = [
    { room: 0, standing: false },
    { room: 0, standing: true },
    { room: 0, standing: false },
    { room: 1, standing: true },
  ];
  const [room] = resolved({ hall: { ...hall, contents } }, {}, people).rooms;
  expect([...(room?.contents ?? [])]).toEqual(Array(8).fill(close(6)));
  expect([...(room?.people ?? [])]).toEqual(Array(8).fill(close(1.3)));
});

// 2 · 1.5 m · (1.4 − 0.1) m · 0.8 = 3.12 m².
test('a baffle adds both its faces, without the gap under it', () => {
  const baffle = {
    from: [3, 2],
    to: [4.5, 2],
    height: 1.4,
    gap: 0.1,
    madeOf: { name: 'screen' },
    fixed: false,
  } as const;
  const [room] = resolved({ hall }, { baffles: new Map([['screen', baffle]]) }).rooms;
  expect([...(room?.added ?? [])]).toEqual(Array(8).fill(close(3.12)));
});

// Hall 63 m² × 3.6 = 226.8 m³; booth 2 × 1.5 = 3 m², 2.2 m high: 6.6 m³. Shell 18.4 m²: door 1.8 m² at 0.1, the rest curtain 0.5:
// 16.6·0.5 + 0.18 = 8.48 m².
test('a booth takes its floor and volume from the hall and brings its outside', () => {
  const booth = boxOf([4, 3], [2, 1.5], 2.2, { ...finished, booth: true, outside: { name: 'curtain' } });
  const shell = wallBetween('hall', 'booth', { doors: [doorAt([5, 3])] });
  const { rooms, findings } = resolved({ hall, booth }, { partitions: new Map([['shell', shell]]) });
  expect(findings).toEqual([]);
  expect(rooms.map(({ host }) => host)).toEqual([null, 0]);
  expect([rooms[0]?.volume, rooms[1]?.volume]).toEqual([close(220.2), close(6.6)]);
  expect(rooms[0]?.surfaces.slice(0, 2).map(({ area }) => area)).toEqual([60, 63]);
  expect(rooms[0]?.contents[3]).toBeCloseTo(8.48, 9);
  expect(rooms[0]?.surfaces.every(({ open }) => open === 0)).toBe(true);
  // inside: bottom wall 2 × 2.2 = 4.4 m² of plaster 0.02 with the leaf: (2.6·0.02 + 0.18)/4.4
  expect(surface(rooms[1], 'bottom wall')?.alpha[3]).toBeCloseTo(0.232 / 4.4, 9);
});

// Under a ceiling 4 cm higher: the ceiling over it goes too, and there is no roof to bring: 7 m × 3.56 m × 0.5 = 12.46 m².
test('a booth up to the ceiling takes the ceiling over it', () => {
  const booth = boxOf([4, 3], [2, 1.5], 3.56, { ...finished, outside: { name: 'curtain' } });
  const { rooms } = resolved(
    { hall, booth },
    { partitions: new Map([['shell', wallBetween('hall', 'booth')]]) },
  );
  expect(rooms[0]?.surfaces.slice(0, 2).map(({ area }) => area)).toEqual([60, 60]);
  expect(rooms[0]?.contents[3]).toBeCloseTo(12.46, 9);
});

// In the corner it covers 2 m × 2.2 m of the bottom wall (9 × 3.6 = 32.4) and 1.5 m × 2.2 m of the left (25.2).
test('a booth in the corner covers the walls it stands against', () => {
  const booth = boxOf([0, 0], [2, 1.5], 2.2, { ...finished, outside: { name: 'curtain' } });
  const { rooms } = resolved(
    { hall, booth },
    { partitions: new Map([['shell', wallBetween('hall', 'booth')]]) },
  );
  expect(surface(rooms[0], 'bottom wall')?.area).toBeCloseTo(32.4 - 4.4, 9);
  expect(surface(rooms[0], 'left wall')?.area).toBeCloseTo(25.2 - 3.3, 9);
});

test('a booth without an outer finish is taken as plastered, and that is said once', () => {
  const booth = boxOf([4, 3], [2, 1.5], 2.2, finished);
  const { rooms, assumptions } = resolved(
    { hall, booth },
    { partitions: new Map([['shell', wallBetween('hall', 'booth')]]) },
  );
  expect(rooms[0]?.contents[3]).toBeCloseTo(18.4 * 0.02, 9);
  expect(assumptions.map(({ text }) => text)).toEqual(['plaster on the outside of booth']);
});

test.each<[string, Partial<RoomEntry>, string[]]>([
  ['floor', { floor: { name: 'plastr' } }, ['UNKNOWN_NAME rooms.hall.floor']],
  ['ceiling', { ceiling: { name: 'plastr' } }, ['UNKNOWN_NAME rooms.hall.ceiling']],
  [
    'wall',
    { walls: [plaster, { name: 'plastr' }, plaster, plaster] },
    ['UNKNOWN_NAME rooms.hall.walls.right'],
  ],
  [
    'finish of all walls',
    { walls: Array(4).fill({ name: 'plastr' }) },
    ['UNKNOWN_NAME rooms.hall.walls.bottom'],
  ],
  [
    'patch',
    { patches: new Map([['p', { on: 'floor', finish: { name: 'plastr' }, area: 1 }]]) },
    ['UNKNOWN_NAME rooms.hall.patches.p.finish'],
  ],
  ['content', { contents: new Map([['sofas', { count: 1 }]]) }, ['UNKNOWN_NAME rooms.hall.contents.sofas']],
  ['outside of a room in no other', { outside: plaster }, ['WARNING rooms.hall.outside']],
  ['sofa by area', { contents: new Map([['sofa', { area: 1 }]]) }, ['WRONG_TYPE rooms.hall.contents.sofa']],
  [
    'seats by the piece',
    { contents: new Map([['seats', { count: 9 }]]) },
    ['WRONG_TYPE rooms.hall.contents.seats'],
  ],
  [
    'seats on more than the floor',
    { contents: new Map([['seats', { area: 64 }]]) },
    ['OUT_OF_RANGE rooms.hall.contents.seats'],
  ],
])('a wrong %s is found', (_, parts, expected) => {
  const { findings } = resolved({ hall: { ...hall, ...parts } });
  expect(faults(findings)).toEqual(expected);
  for (const { code, fix } of findings)
    if (code === 'UNKNOWN_NAME') expect(fix).toMatch(/did you mean "(plaster|sofa)"/);
});

test('a hall filled by booths to the brim is refused', () => {
  const booth = boxOf([0, 0], [4, 3], 3, finished);
  const inside = boxOf([0, 0], [4.005, 3], 3, finished);
  const { findings } = resolved(
    { hall: inside, booth },
    { partitions: new Map([['shell', wallBetween('hall', 'booth')]]) },
  );
  expect(findings.some(({ code, message }) => code === 'BAD_POSITION' && message.includes('fill it'))).toBe(
    true,
  );
});
