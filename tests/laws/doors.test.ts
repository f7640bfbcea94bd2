/** A door lets out more the further it stands open, whoever plays and wherever the mic stands. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { BAND_COUNT } from '../../src/acoustics/bands.ts';
import { energyAt, transfer } from '../../src/transfer/transfer.ts';
import { resolved } from '../scene/resolved.ts';

const STATES = ['closed', 'ajar', 'open'] as const;
type State = (typeof STATES)[number];
type Spot = { readonly x: number; readonly y: number };

const HALL = 'hall: {size: [8, 6], height: 3, floor: wood-on-joists, ceiling: plaster, walls: plaster}';
/** A booth that stands free in the hall, its door in its left wall, and a store behind the hall's right wall. */
const HOUSES = {
  booth: {
    room: 'booth: {size: [2, 2], origin: [5, 2], height: 2.2, floor: carpet-thin, ceiling: wool-50, walls: wool-50, booth: true}',
    partition: 'between: [hall, booth], wall: booth-panel',
    door: [5, 3],
    inside: { x: 5, y: 2, width: 2, depth: 2 },
  },
  store: {
    room: 'store: {size: [3, 4], origin: [8.1, 1], height: 2.6, floor: carpet-thin, ceiling: plaster, walls: plaster}',
    partition: 'between: [hall, store], wall: stud-gypsum-insulated',
    door: [8.1, 3],
    inside: { x: 8.1, y: 1, width: 3, depth: 4 },
  },
} as const;
type House = keyof typeof HOUSES;

/** Energy in all bands of a player in the hall at an omni in the other room. */
async function leakage(house: House, state: State, player: Spot, mic: Spot): Promise<number> {
  const { room, partition, door } = HOUSES[house];
  const { scene } = await resolved(`
rooms:
  ${HALL}
  ${room}
partitions:
  way:
    ${partition.replace(', wall', '\n    wall')}
    doors: [{at: [${door}], width: 0.8, height: 1.9, leaf: solid-core-sealed, state: ${state}}]
players:
  viola: {at: [${player.x}, ${player.y}], facing: 90, plays: viola}
mics:
  far: {for: viola, at: [${mic.x}, ${mic.y}, 1.2], aim: 0, pattern: omni}
`);
  if (!scene) throw new Error('the plan of this law is broken');
  const result = transfer(scene);
  return Array.from({ length: BAND_COUNT }, (_, band) => energyAt(result, 0, 0, band)).reduce(
    (a, b) => a + b,
    0,
  );
}

const within = (x: number, y: number, width: number, depth: number) =>
  fc.record({
    x: fc.double({ min: x + 0.4, max: x + width - 0.4, noNaN: true }),
    y: fc.double({ min: y + 0.4, max: y + depth - 0.4, noNaN: true }),
  });

describe.each(Object.keys(HOUSES) as House[])('the door of the %s', (house) => {
  const { inside } = HOUSES[house];

  test('lets out more ajar than closed, and more open than ajar', async () => {
    // the left part of the hall, clear of the booth
    const players = within(0, 0, 4.4, 6);
    const mics = within(inside.x, inside.y, inside.width, inside.depth);
    await fc.assert(
      fc.asyncProperty(players, mics, async (player, mic) => {
        const [closed, ajar, open] = await Promise.all(
          STATES.map((state) => leakage(house, state, player, mic)),
        );
        expect(ajar).toBeGreaterThan(closed ?? 0);
        expect(open).toBeGreaterThan(ajar ?? 0);
      }),
      { numRuns: 25, seed: 11 },
    );
  });
});
