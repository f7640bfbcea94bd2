/** What stands between rooms, and baffles. */
import type { BaffleEntry, LeafEntry, OpeningEntry, PartitionEntry } from './plan-rooms.ts';
import { construction } from './schema-bands.ts';
import { type Complain, into, type Reader } from './schema-frame.ts';
import { keyed, may, must, or, type Rule } from './schema-maps.ts';
import { pairOf, point } from './schema-places.ts';
import { choice, flag, height, listOf, nameOrWord, quantity, size } from './schema-values.ts';

const hole = {
  at: must(point, 'its middle on the plan, [x, y]', [9, 2]),
  width: must(size, 'across', 0.9),
  height: must(height, 'from its lower edge', 2),
  sill: may(quantity('length', [0, 100]), 'height of its lower edge above the floor', 0.9),
};
const state = or(choice('closed', 'ajar', 'open'), 'closed', 'closed, ajar or open');

const needs = (key: string): Rule => ({
  bonds: [{ among: [key, 'state'], least: 1 }],
  check: (has, complain, map) => {
    const standing = map.entries.get('state')?.node;
    const isOpen = standing?.kind === 'scalar' && standing.text === 'open';
    if (has(key) || isOpen) return;
    complain({
      code: 'MISSING',
      message: 'is missing',
      mend: `add \`${key}\`: what it is made of`,
      path: [key],
    });
  },
});

const door: Reader<LeafEntry> = into(
  keyed(
    'a door',
    { ...hole, leaf: may(construction('doors'), 'what its leaf is made of'), state },
    needs('leaf'),
  ),
  ({ leaf, ...rest }) => (leaf ? { ...rest, made: leaf } : rest),
);
const window: Reader<LeafEntry> = into(
  keyed(
    'a window',
    { ...hole, glass: may(construction('glazings'), 'what its pane is made of'), state },
    needs('glass'),
  ),
  ({ glass, ...rest }) => (glass ? { ...rest, made: glass } : rest),
);
const opening: Reader<OpeningEntry> = keyed('an opening', hole);

const twoRooms = into(pairOf(nameOrWord('outside'), '[one room, another]'), (rooms, complain) => {
  if (rooms[0] !== rooms[1]) return rooms;
  const mend = 'name two rooms, or a room and `outside`';
  return void complain({ code: 'BAD_PLACE', message: 'names one room twice', mend });
});

export const partition: Reader<PartitionEntry> = keyed('a partition', {
  between: must(twoRooms, 'the two rooms it parts; `outside` may be one', ['hall', 'outside']),
  wall: must(
    construction('constructions'),
    'what the wall is made of: a name of the catalogue, or {reduction} by band',
  ),
  doors: or(listOf(door), [], 'doors in it', [
    { at: [9, 2], width: 0.9, height: 2, leaf: 'solid-core-sealed', state: 'closed' },
  ]),
  windows: or(listOf(window), [], 'windows in it', [
    { at: [9, 4], width: 1.2, height: 1, sill: 0.9, glass: 'glass-6' },
  ]),
  openings: or(listOf(opening), [], 'holes in it', [{ at: [9, 2], width: 0.9, height: 2 }]),
  area: may(
    quantity('area', [0.01, 10_000]),
    'of the whole wall; else the boundary the rooms share',
    '12 m2',
  ),
});

/** Ends nearer than this are one point, metres. */
const SHORTEST = 0.05;

export const baffle: Reader<BaffleEntry> = into(
  keyed('a baffle', {
    from: must(point, 'one end of it, [x, y]', [3, 2]),
    to: must(point, 'its other end, [x, y]', [4.5, 2]),
    height: must(height, 'of its upper edge above the floor', 1.5),
    gap: or(quantity('length', [0, 100]), 0, 'between the floor and its lower edge', '5 cm'),
    'made-of': must(construction('panels'), 'a name of the catalogue, or {reduction, absorption} by band'),
    'window-from': may(quantity('length', [0, 100]), 'height above which one sees through it', 1.2),
    fixed: or(flag, false, 'true where it cannot be moved'),
  }),
  (entry, complain) => (baffleFaults(entry, complain) ? undefined : entry),
);

function baffleFaults({ from, to, height: top, gap, windowFrom }: BaffleEntry, complain: Complain): boolean {
  const short = Math.hypot(to[0] - from[0], to[1] - from[1]) < SHORTEST;
  if (short)
    complain({
      code: 'BAD_PLACE',
      message: 'begins and ends at one point',
      mend: 'give `to` another place',
      path: ['to'],
    });
  const high = gap >= top;
  if (high)
    complain({
      code: 'BAD_RANGE',
      message: 'must be less than its height',
      mend: 'make it smaller',
      path: ['gap'],
    });
  const blind = windowFrom !== undefined && windowFrom >= top;
  if (blind) {
    const mend = 'make it smaller, or take it out where nobody sees through';
    complain({ code: 'BAD_RANGE', message: 'must be less than its height', mend, path: ['window-from'] });
  }
  return short || high || blind;
}
