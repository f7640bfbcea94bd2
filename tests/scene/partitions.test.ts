import { expect, test } from 'vitest';
import type { PartitionEntry, RoomEntry } from '../../src/plan/rooms.ts';
import { resolvePartitions } from '../../src/scene/partitions.ts';
import { OUTSIDE } from '../../src/scene/scene.ts';
import { materials } from './materials-of.ts';
import { boxOf, contextOf, doorAt, planOf, roomOf, wallBetween } from './plan-of.ts';

function resolved(rooms: Record<string, RoomEntry>, partitions: Record<string, PartitionEntry> = {}) {
  const plan = planOf({
    rooms: new Map(Object.entries(rooms)),
    partitions: new Map(Object.entries(partitions)),
  });
  const context = contextOf(plan, materials);
  return { found: resolvePartitions(context), ...context.notes };
}

/** Ends of a stretch, lower or left one first, and its heights. */
const stretch = ({
  a,
  b,
  low,
  high,
}: {
  a: readonly number[];
  b: readonly number[];
  low: number;
  high: number;
}) => [...[a, b].sort((p, q) => (p[0] ?? 0) - (q[0] ?? 0) || (p[1] ?? 0) - (q[1] ?? 0)).flat(), low, high];

const faults = (findings: readonly { code: string; path: readonly (string | number)[] }[]) =>
  findings.map(({ code, path }) => `${code} ${path.join('.')}`);

const hall = boxOf([0, 0], [9, 7], 3.6);
/** Behind a wall of 20 cm, from y = 1 to y = 5. */
const store = boxOf([9.2, 1], [3, 4], 2.6, { floorLevel: 0.3 });

// Middle of the wall x = 9.1; y from 1 to 5; heights from the higher floor 0.3 to the lower ceiling 0.3 + 2.6 = 2.9.
// 4 m × 2.6 m = 10.4 m².
test('a wall of 20 cm is one stretch in its middle, as long and as high as both rooms overlap', () => {
  const { found, findings } = resolved({ hall, store }, { wall: wallBetween('store', 'hall') });
  expect(findings).toEqual([]);
  expect(found.map(({ rooms, stretches }) => ({ rooms, stretches: stretches.map(stretch) }))).toEqual([
    { rooms: [1, 0], stretches: [[9.1, 1, 9.1, 5, 0.3, 2.9].map((v) => expect.closeTo(v, 9))] },
  ]);
  expect(found[0]?.area).toBeCloseTo(10.4, 9);
  expect(found[0]?.roof).toBe(null);
});

test.each([
  [0.4, 1],
  [0.41, 0],
])('a wall of %d m between two outlines is a partition: %d', (thick, count) => {
  const { findings } = resolved({ hall, store: boxOf([9 + thick, 1], [3, 4], 3) });
  expect(findings).toHaveLength(count);
});

test('a corner in common is not a wall in common', () => {
  expect(resolved({ hall, store: boxOf([9, 7], [3, 4], 3) }).findings).toEqual([]);
});

// The L: 6 × 8 less its notch, x 3 to 6, y 4 to 8. The store fills the notch: it shares the notch's bottom (3 m) and left (4 m).
test('a store in the notch of an L-shaped hall shares two stretches of 3 m and 4 m', () => {
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
  const { found } = resolved(
    { hall: ell, store: boxOf([3, 4], [3, 4], 3) },
    { wall: wallBetween('hall', 'store') },
  );
  expect(found[0]?.stretches.map(stretch)).toEqual([
    [3, 4, 6, 4, 0, 3],
    [3, 4, 3, 8, 0, 3],
  ]);
  expect(found[0]?.area).toBeCloseTo(3 * 3 + 4 * 3, 9);
});

// Wall 40 dB, door 0.9 × 2 = 1.8 m² at 20 dB, in 10.4 m²: (8.6·1e-4 + 1.8·1e-2)/10.4 = 0.01886/10.4.
test('a closed door joins the composite by its area', () => {
  const { found } = resolved(
    { hall, store },
    { wall: wallBetween('hall', 'store', { doors: [doorAt([9.2, 2])] }) },
  );
  const [door] = found[0]?.elements ?? [];
  expect(door && stretch(door)).toEqual([9.1, 1.55, 9.1, 2.45, 0.3, 2.3].map((v) => expect.closeTo(v, 9)));
  expect(door?.free).toBe(false);
  expect(found[0]?.tau[3]).toBeCloseTo(0.01886 / 10.4, 9);
});

// Slit 0.05 × 2 = 0.1 m² in the middle, y = 1.975 to 2.025; leaf 1.8 − 0.1 = 1.7 m².
// (8.6·1e-4 + 1.7·1e-2 + 0.1·1)/10.4 = 0.11786/10.4.
test('a door ajar is its leaf and a slit of 5 cm in its middle', () => {
  const doors = [doorAt([9.1, 2], { state: 'ajar' })];
  const { found } = resolved({ hall, store }, { wall: wallBetween('hall', 'store', { doors }) });
  const [leaf, slit] = found[0]?.elements ?? [];
  expect([leaf?.state, leaf?.free, slit?.state, slit?.free]).toEqual(['ajar', false, 'ajar', true]);
  expect(slit && stretch(slit)).toEqual([9.1, 1.975, 9.1, 2.025, 0.3, 2.3].map((v) => expect.closeTo(v, 9)));
  expect([leaf?.area, slit?.area]).toEqual([expect.closeTo(1.7, 9), expect.closeTo(0.1, 9)]);
  expect(found[0]?.tau[0]).toBeCloseTo(0.11786 / 10.4, 9);
});

// An open door 1.8 m² lets all through: (8.6·1e-4 + 1.8)/10.4. A window 1 × 0.5 stands 0.9 m above the higher floor, 0.3.
test('an open door passes everything, a window without a sill stands at 0.9 m', () => {
  const open = resolved(
    { hall, store },
    { wall: wallBetween('hall', 'store', { doors: [doorAt([9.1, 2], { state: 'open' })] }) },
  );
  expect(open.found[0]?.elements.map(({ free }) => free)).toEqual([true]);
  expect(open.found[0]?.tau[0]).toBeCloseTo(1.80086 / 10.4, 9);
  const windows = [doorAt([9.1, 3], { width: 1, height: 0.5, made: { name: 'single' } })];
  const { found, assumptions } = resolved(
    { hall, store },
    { wall: wallBetween('hall', 'store', { windows }) },
  );
  expect(found[0]?.elements.map(({ kind, low, high }) => [kind, low, high])).toEqual([
    ['window', expect.closeTo(1.2, 9), expect.closeTo(1.7, 9)],
  ]);
  expect(found[0]?.elements[0]?.tau[0]).toBeCloseTo(0.01, 9);
  expect(assumptions).toEqual([
    {
      kind: 'default',
      path: ['partitions', 'wall', 'windows', 0],
      text: 'sill 0.9 m above the floor',
    },
  ]);
});

test('a given area replaces that of the boundary: (18.2·1e-4 + 1.8·1e-2)/20', () => {
  const { found } = resolved(
    { hall, store },
    { wall: wallBetween('hall', 'store', { area: 20, doors: [doorAt([9.1, 2])] }) },
  );
  expect(found[0]?.area).toBe(20);
  expect(found[0]?.tau[0]).toBeCloseTo(0.01982 / 20, 9);
});

test('rooms that share no wall may have a partition of a given area', () => {
  const { found, findings } = resolved(
    { hall, loft: boxOf([20, 0], [3, 3], 3) },
    { slab: wallBetween('hall', 'loft', { area: 9, wall: { name: 'brick' } }) },
  );
  expect(findings).toEqual([]);
  expect([found[0]?.area, found[0]?.stretches, found[0]?.tau[0]]).toEqual([9, [], expect.closeTo(1e-5, 12)]);
});

const booth = boxOf([4, 3], [2, 1.5], 2.2);

// Perimeter 2·(2 + 1.5) = 7 m × 2.2 m = 15.4 m², roof 3 m²: 18.4 m².
test('a booth in a hall has all its walls and its roof to the hall', () => {
  const { found, findings } = resolved({ hall, booth }, { shell: wallBetween('hall', 'booth') });
  expect(findings).toEqual([]);
  expect(found[0]?.stretches).toHaveLength(4);
  expect(found[0]?.area).toBeCloseTo(18.4, 9);
  expect(found[0]?.roof?.height).toBe(2.2);
});

test('a booth that reaches within 5 cm of the ceiling has no roof: 7 m × 3.56 m', () => {
  const { found } = resolved(
    { hall, booth: boxOf([4, 3], [2, 1.5], 3.56) },
    { shell: wallBetween('booth', 'hall') },
  );
  expect(found[0]?.roof).toBe(null);
  expect(found[0]?.area).toBeCloseTo(7 * 3.56, 9);
});

// In the corner two walls back onto the hall's own: 2 m + 1.5 m are left, 3.5 × 2.2 + 3 = 10.7 m².
test('a booth in the corner of a hall has only its free walls to the hall', () => {
  const { found } = resolved(
    { hall, booth: boxOf([0, 0], [2, 1.5], 2.2) },
    { shell: wallBetween('booth', 'hall') },
  );
  expect(found[0]?.stretches.map(stretch)).toEqual([
    [2, 0, 2, 1.5, 0, 2.2],
    [0, 1.5, 2, 1.5, 0, 2.2],
  ]);
  expect(found[0]?.area).toBeCloseTo(10.7, 9);
});

// Booth x 4 to 6 and its twin x 6 to 8, both y 3 to 4.5, 2.2 m high: they share 1.5 × 2.2 = 3.3 m²; the first's shell has
// 15.4 − 3.3 + 3 = 15.1 m² left.
test('two booths wall to wall part each other, and less of each meets the hall', () => {
  const { found, findings } = resolved(
    { hall, booth, twin: boxOf([6, 3], [2, 1.5], 2.2) },
    {
      one: wallBetween('hall', 'booth'),
      two: wallBetween('hall', 'twin'),
      middle: wallBetween('booth', 'twin'),
    },
  );
  expect(findings).toEqual([]);
  expect(found.map(({ area }) => area)).toEqual([15.1, 15.1, 3.3].map((v) => expect.closeTo(v, 9)));
});

// Outer walls of the hall: 2·(9 + 7) = 32 m × 3.6 = 115.2 m², less the 4 m × 2.6 m = 10.4 m² that the store covers.
test('the outside is all that no other room covers, above and below the neighbour too', () => {
  const { found, findings } = resolved(
    { hall, store },
    {
      wall: wallBetween('hall', 'store'),
      facade: wallBetween('outside', 'hall', { wall: { name: 'brick' } }),
    },
  );
  expect(findings).toEqual([]);
  expect(found[1]?.rooms).toEqual([0, OUTSIDE]);
  expect(found[1]?.area).toBeCloseTo(115.2 - 10.4, 9);
  const right = found[1]?.stretches.map(stretch).filter(([x]) => x === 9);
  expect(right).toEqual([
    [9, 0, 9, 1, 0, 3.6],
    [9, 1, 9, 5, 0, 0.3],
    [9, 1, 9, 5, expect.closeTo(2.9, 9), 3.6],
    [9, 5, 9, 7, 0, 3.6],
  ]);
});

test('two booths 10 cm apart have the air of the hall between them', () => {
  const { found, findings } = resolved(
    { hall, booth, twin: boxOf([6.1, 3], [2, 1.5], 2.2) },
    { one: wallBetween('hall', 'booth'), two: wallBetween('hall', 'twin') },
  );
  expect(findings).toEqual([]);
  expect(found.map(({ area }) => area)).toEqual([18.4, 18.4].map((v) => expect.closeTo(v, 9)));
});

// The hall and the store as above, turned by 30° about the origin: lengths, heights and so areas stay.
test('rooms askew on the page share what they share upright', () => {
  const [cos, sin] = [Math.sqrt(3) / 2, 0.5];
  const turned = ([x, y]: readonly [number, number]) => [x * cos - y * sin, x * sin + y * cos] as const;
  const askew = (room: RoomEntry) => ({ ...room, outline: room.outline.map(turned) });
  const doors = [doorAt(turned([9.2, 2]))];
  const { found, findings } = resolved(
    { hall: askew(hall), store: askew(store) },
    { wall: wallBetween('hall', 'store', { doors }), facade: wallBetween('hall', 'outside') },
  );
  expect(findings).toEqual([]);
  expect(found.map(({ area }) => area)).toEqual([10.4, 104.8].map((v) => expect.closeTo(v, 9)));
  expect(found[0]?.elements[0]?.a).toEqual(turned([9.1, 1.55]).map((v) => expect.closeTo(v, 9)));
});

test('rooms that touch, and a booth in a hall, need a partition', () => {
  const { findings } = resolved({ hall, store, booth });
  expect(findings.map(({ code, path, message }) => ({ code, path, message }))).toEqual([
    {
      code: 'MISSING_KEY',
      path: ['partitions'],
      message: 'hall and store share a wall, 4 m from (9.1, 1) to (9.1, 5), and no partition describes it',
    },
    {
      code: 'MISSING_KEY',
      path: ['partitions'],
      message: 'booth is inside hall, and no partition says what its walls are made of',
    },
  ]);
});

const inWall = (parts: Partial<PartitionEntry>) =>
  resolved({ hall, store }, { wall: wallBetween('hall', 'store', parts) }).findings;

test.each([
  ['an unknown wall', { wall: { name: 'brik' } }, 'UNKNOWN_NAME partitions.wall.wall'],
  [
    'an unknown leaf',
    { doors: [doorAt([9.1, 2], { made: { name: 'sold' } })] },
    'UNKNOWN_NAME partitions.wall.doors.0.leaf',
  ],
  [
    'an unknown pane',
    { windows: [doorAt([9.1, 2], { sill: 0, made: { name: 'singel' } })] },
    'UNKNOWN_NAME partitions.wall.windows.0.glass',
  ],
  ['a door 31 cm off the wall', { doors: [doorAt([8.79, 2])] }, 'BAD_POSITION partitions.wall.doors.0.at'],
  [
    'a door past the end of the wall',
    { doors: [doorAt([9.1, 1.4])] },
    'BAD_POSITION partitions.wall.doors.0.at',
  ],
  [
    'a door higher than the wall',
    { doors: [doorAt([9.1, 2], { height: 2.7 })] },
    'BAD_POSITION partitions.wall.doors.0.height',
  ],
  [
    'a sill that lifts it past the top',
    { doors: [doorAt([9.1, 2], { sill: 0.7 })] },
    'BAD_POSITION partitions.wall.doors.0.height',
  ],
  [
    'two doors on one another',
    { doors: [doorAt([9.1, 2]), doorAt([9.1, 2.8])] },
    'BAD_POSITION partitions.wall.doors.1',
  ],
  ['more door than wall', { doors: [doorAt([9.1, 2])], area: 1 }, 'OUT_OF_RANGE partitions.wall.area'],
])('%s is a fault', (_, parts, expected) => {
  expect(faults(inWall(parts))).toEqual([expected]);
});

test.each([
  ['a door 30 cm off the wall', { doors: [doorAt([8.8, 2])] }],
  ['doors side by side', { doors: [doorAt([9.1, 2]), doorAt([9.1, 2.9])] }],
  [
    'a window over a door',
    { doors: [doorAt([9.1, 2])], windows: [doorAt([9.1, 2], { sill: 2, height: 0.5 })] },
  ],
  ['a door flush with the end', { doors: [doorAt([9.1, 1.45])] }],
])('%s is none', (_, parts) => {
  expect(inWall(parts)).toEqual([]);
});

test('partitions between what does not touch, twice between the same, or of unknown rooms are faults', () => {
  const far = boxOf([20, 0], [3, 3], 3);
  const { findings } = resolved(
    { hall, store, far },
    {
      one: wallBetween('hall', 'store'),
      two: wallBetween('store', 'hall'),
      apart: wallBetween('hall', 'far'),
      typo: wallBetween('hal', 'store'),
    },
  );
  expect(faults(findings)).toEqual([
    'BAD_NAME partitions.two.between',
    'BAD_POSITION partitions.apart.between',
    'UNKNOWN_NAME partitions.typo.between.0',
  ]);
  expect(findings[2]?.fix).toBe('did you mean "hall"?');
});

test('a booth within a hall has no wall to the outside', () => {
  const { findings } = resolved(
    { hall, booth },
    { shell: wallBetween('hall', 'booth'), out: wallBetween('booth', 'outside') },
  );
  expect(faults(findings)).toEqual(['BAD_POSITION partitions.out.between']);
});
