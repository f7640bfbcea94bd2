import { expect, test } from 'vitest';
import type { PlanData } from '../../src/plan/plan.ts';
import type { PlayerEntry, SourceEntry } from '../../src/plan/players.ts';
import type { BaffleEntry, RoomEntry } from '../../src/plan/rooms.ts';
import { resolvePanels } from '../../src/scene/baffles.ts';
import { OUTSIDE } from '../../src/scene/scene.ts';
import { materials } from './materials-of.ts';
import { boxOf, contextOf, planOf, roomOf, wallBetween } from './plan-of.ts';

function resolved(rooms: Record<string, RoomEntry>, parts: Partial<PlanData>) {
  const plan = planOf({ rooms: new Map(Object.entries(rooms)), ...parts });
  const context = contextOf(plan, materials);
  return { panels: resolvePanels(context), ...context.notes };
}

const baffle = (parts: Partial<BaffleEntry> = {}): BaffleEntry => ({
  from: [3, 2],
  to: [4.5, 2],
  height: 1.5,
  gap: 0,
  madeOf: { name: 'screen' },
  fixed: false,
  ...parts,
});
const one = (parts: Partial<BaffleEntry> = {}) => ({ baffles: new Map([['screen-1', baffle(parts)]]) });
const hall = boxOf([0, 0], [9, 7], 3.6, { floorLevel: 0.4 });
const faults = (findings: readonly { code: string; path: readonly (string | number)[] }[]) =>
  findings.map(({ code, path }) => `${code} ${path.join('.')}`);

// Floor 0.4 m above the ground: 0.4 + 0.1, 0.4 + 1.5, 0.4 + 1.1 of the catalogue's window; 10 dB is a tenth.
test('a baffle stands on the floor of its room, made as the catalogue says', () => {
  const { panels, findings } = resolved({ hall }, one({ gap: 0.1 }));
  expect(findings).toEqual([]);
  expect(panels).toMatchObject([
    { name: 'screen-1', room: 0, a: [3, 2], b: [4.5, 2], low: 0.5, high: 1.9, windowFrom: 1.5, booth: null },
  ]);
  expect(panels[0]?.tau[4]).toBeCloseTo(0.1, 12);
  expect(panels[0]?.alpha[4]).toBe(0.8);
});

test('a typed baffle without absorption is taken for a wooden door, and that is said', () => {
  const { panels, assumptions } = resolved({ hall }, one({ madeOf: { reduction: 20 }, windowFrom: 1.2 }));
  expect([panels[0]?.tau[0], panels[0]?.alpha[0], panels[0]?.windowFrom]).toEqual([
    0.01,
    0.08,
    expect.closeTo(1.6, 9),
  ]);
  expect(assumptions.map(({ kind, path }) => [kind, path])).toEqual([
    ['assumed', ['baffles', 'screen-1', 'made-of']],
  ]);
});

test('one sees through a typed baffle nowhere', () => {
  const madeOf = { reduction: 20, absorption: 0.3 };
  const { panels, assumptions } = resolved({ hall }, one({ madeOf }));
  expect([panels[0]?.windowFrom, panels[0]?.alpha[7], assumptions]).toEqual([
    Number.POSITIVE_INFINITY,
    0.3,
    [],
  ]);
});

test('without rooms a baffle stands on the ground in the open, as high as it likes', () => {
  const { panels, findings } = resolved({}, one({ height: 9 }));
  expect(findings).toEqual([]);
  expect(panels).toMatchObject([{ room: OUTSIDE, low: 0, high: 9 }]);
});

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
const booth = boxOf([4, 3], [2, 1.5], 2.2, { floorLevel: 0.4 });
const shell = new Map([['shell', wallBetween('hall', 'booth')]]);

test.each<[string, Record<string, RoomEntry>, Partial<PlanData>, string]>([
  ['through the wall of its room', { hall }, one({ to: [9.5, 2] }), 'BAD_POSITION baffles.screen-1'],
  [
    'across the notch of an L',
    { hall: ell },
    one({ from: [2, 6], to: [5, 3] }),
    'BAD_POSITION baffles.screen-1',
  ],
  [
    'through a booth',
    { hall, booth },
    { ...one({ from: [3, 4], to: [7, 4] }), partitions: shell },
    'BAD_POSITION baffles.screen-1',
  ],
  ['outside every room', { hall }, one({ from: [10, 2], to: [11, 2] }), 'BAD_POSITION baffles.screen-1'],
  ['higher than its room', { hall }, one({ height: 3.62 }), 'OUT_OF_RANGE baffles.screen-1.height'],
  ['of unknown make', { hall }, one({ madeOf: { name: 'scren' } }), 'UNKNOWN_NAME baffles.screen-1.made-of'],
])('a baffle %s is refused', (_, rooms, parts, expected) => {
  const { panels, findings } = resolved(rooms, parts);
  expect(faults(findings)).toEqual([expected]);
  expect(panels.filter((panel) => panel.booth === null)).toEqual([]);
});

test('a baffle may touch the wall, 5 mm beyond it, and the ceiling, 5 mm beyond it', () => {
  const { panels, findings, assumptions } = resolved({ hall }, one({ to: [9.005, 2], height: 3.605 }));
  expect(findings).toEqual([]);
  expect(panels[0]?.high).toBeCloseTo(4, 12);
  expect(assumptions.map(({ kind }) => kind)).toEqual(['clamped']);
});

const stands = (x: number, y: number) => ({ at: [x, y], fixed: false }) as const;

test.each([
  ['14 cm from it is warned of', 2.14, ['WARNING baffles.screen-1']],
  ['16 cm from it is left alone', 2.16, []],
])('whoever stands %s', (_, y, expected) => {
  const player: PlayerEntry = { ...stands(4, y), hands: 'right', plays: [] };
  const amp: SourceEntry = { at: { x: 1, y: 1 }, fixed: false, player: { person: stands(4, y) } };
  const none = expected.map(() => 'WARNING baffles.screen-1');
  for (const parts of [
    { players: new Map([['tuba', player]]) },
    { listeners: new Map([['guest', stands(4, y)]]) },
    { sources: new Map([['amp', amp]]) },
  ]) {
    expect(faults(resolved({ hall }, { ...one(), ...parts }).findings)).toEqual(none);
  }
});

// The booth's wall 40 dB; plaster outside 0.02; from the hall's floor 0.4 to 0.4 + 2.2.
test('the walls of a booth are panels of its host, with the outer finish', () => {
  const { panels } = resolved({ hall, booth }, { partitions: shell });
  expect(panels.map(({ name, room, low, high, booth: ring }) => [name, room, low, high, ring])).toEqual(
    ['bottom', 'right', 'top', 'left'].map((side) => [`booth, ${side}`, 0, 0.4, expect.closeTo(2.6, 9), 1]),
  );
  expect(panels[0]).toMatchObject({ a: [4, 3], b: [6, 3] });
  expect([panels[0]?.tau[0], panels[0]?.alpha[0]]).toEqual([expect.closeTo(1e-4, 12), 0.02]);
});

test('a raised booth leaves no gap under its walls', () => {
  const { panels } = resolved({ hall, booth: { ...booth, floorLevel: 0.6 } }, { partitions: shell });
  expect(panels.every(({ low }) => low === 0.4)).toBe(true);
});

// Mass law for sound from all sides, Norton & Karczub 2003, section 3.9, at the exact mid-band of 1 kHz and 12 kg/m²:
// π·1000·12/415 = 90.842; 10·lg(1 + 90.842²) − 5 = 39.167 − 5 = 34.17 dB, and 10^(−3.417) = 3.83e-4.
test('a baffle of which only the mass is known lets through what the mass law says, and that is a guess', () => {
  const { panels, assumptions, findings } = resolved(
    { hall },
    one({ madeOf: { mass: 12, absorption: 0.1 } }),
  );
  expect(findings).toEqual([]);
  expect(-10 * Math.log10(panels[0]?.tau[4] ?? 0)).toBeCloseTo(34.17, 2);
  expect(assumptions.filter(({ text }) => text.includes('mass law'))).toMatchObject([
    { kind: 'assumed', path: ['baffles', 'screen-1', 'made-of'] },
  ]);
});
