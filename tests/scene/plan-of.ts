/** Plans made by hand for tests of what resolving makes of rooms and walls. */
import type { Catalogue, Materials } from '../../src/catalogue/catalogue.ts';
import type { PlanData } from '../../src/plan/plan.ts';
import type { LeafEntry, PartitionEntry, RoomEntry } from '../../src/plan/rooms.ts';
import type { Point } from '../../src/plan/values.ts';
import { type Context, Notes } from '../../src/scene/context.ts';
import { roomPlaces } from '../../src/scene/room-places.ts';

export const planOf = (parts: Partial<PlanData>): PlanData => ({
  units: 'm',
  air: {},
  rooms: new Map(),
  partitions: new Map(),
  baffles: new Map(),
  players: new Map(),
  sources: new Map(),
  listeners: new Map(),
  mics: new Map(),
  passages: new Map(),
  limits: {} as PlanData['limits'],
  onHand: {} as PlanData['onHand'],
  floor: {} as PlanData['floor'],
  tolerance: {} as PlanData['tolerance'],
  ...parts,
});

/** A room of anticlockwise corners, walls by number, no finishes. */
export const roomOf = (
  outline: readonly Point[],
  height: number,
  parts: Partial<RoomEntry> = {},
): RoomEntry => ({
  outline,
  wallNames: outline.map((_, i) => String(i)),
  height,
  floorLevel: 0,
  walls: outline.map(() => null),
  patches: new Map(),
  contents: new Map(),
  booth: false,
  control: false,
  ...parts,
});

/** A box from its lower left corner, walls bottom, right, top, left. */
export function boxOf(origin: Point, size: Point, height: number, parts: Partial<RoomEntry> = {}): RoomEntry {
  const [x, y] = origin;
  const [w, d] = size;
  const outline: Point[] = [
    [x, y],
    [x + w, y],
    [x + w, y + d],
    [x, y + d],
  ];
  return roomOf(outline, height, { wallNames: ['bottom', 'right', 'top', 'left'], ...parts });
}

export const wallBetween = (a: string, b: string, parts: Partial<PartitionEntry> = {}): PartitionEntry => ({
  between: [a, b],
  wall: { reduction: 40 },
  doors: [],
  windows: [],
  openings: [],
  ...parts,
});

export const doorAt = (at: Point, parts: Partial<LeafEntry> = {}): LeafEntry => ({
  at,
  width: 0.9,
  height: 2,
  made: { reduction: 20, absorption: 0.1 },
  state: 'closed',
  ...parts,
});

/** What resolving rooms and walls reads of a plan: the air does not matter. */
export function contextOf(plan: PlanData, materials: Materials): Context {
  const notes = new Notes();
  const catalogue = { materials } as Catalogue;
  return { plan, catalogue, air: {} as Context['air'], places: roomPlaces(plan, notes), notes };
}
