/** Rooms: outlines, finishes, and what is in them. */
import { SIDE_NAMES } from './outline.ts';
import type { ContentsEntry, ReverberationEntry, RoomEntry } from './plan-rooms.ts';
import type { Finish } from './plan-values.ts';
import { numberAndUnit } from './quantity.ts';
import { outlineOf, roomOf, type WrittenWalls } from './room-shape.ts';
import { byBand, finish } from './schema-bands.ts';
import {
  type About,
  below,
  by,
  described,
  forms,
  into,
  type Reader,
  reader,
  wrongShape,
} from './schema-frame.ts';
import { dBA } from './schema-levels.ts';
import { keyed, may, must, named, or, type Rule } from './schema-maps.ts';
import { pairOf, point } from './schema-places.ts';
import { choice, flag, height, listOf, quantity, size, text, whole } from './schema-values.ts';

const seconds = quantity('time', [0.02, 30]);
const measured = choice('empty', 'set-up');

/** One time or times by band, and among these what stood in the room as it was measured. */
const reverberation: Reader<ReverberationEntry> = reader(
  { takes: 'bands', item: seconds, beside: { measured } },
  (node, complain) => {
    const said = node.kind === 'map' ? node.entries.get('measured')?.node : undefined;
    const state = said ? below(measured, said, 'measured', complain) : 'empty';
    const times = by(byBand(seconds, ['measured']), node, complain);
    return times === undefined || state === undefined ? undefined : { seconds: times, measured: state };
  },
);

const area = quantity('area', [0.01, 10_000]);

const pieces = whole([0, 100_000]);
const areaWithUnit = { about: { ...area.about, bareFactor: null } as About };

/** A bare number counts pieces, whatever the units; square metres carry theirs. */
const contents: Reader<ContentsEntry> = reader(
  { takes: 'forms', forms: [pieces, areaWithUnit] },
  (node, complain) => {
    if (node.kind !== 'scalar')
      return void complain(wrongShape(node, 'a count or an area such as 12 or 6 m2'));
    const isArea = typeof node.value === 'string' && numberAndUnit(node.text)?.unit !== '';
    const value = by(isArea ? area : pieces, node, complain);
    if (value === undefined) return undefined;
    return isArea ? { area: value } : { count: value };
  },
);

const surface = described(text, { takes: 'text', words: ['floor', 'ceiling', ...SIDE_NAMES] });

const patch = keyed('a patch', {
  on: must(surface, 'floor, ceiling, or a wall by name or number', 'floor'),
  finish: must(finish, 'name of the catalogue, or absorption by band'),
  area: must(area, 'bare numbers are m²'),
});

const sides = keyed('the walls of a rectangle', {
  bottom: may(finish, 'finish of the wall at the bottom of the page'),
  right: may(finish, 'finish of the wall at the right of the page'),
  top: may(finish, 'finish of the wall at the top of the page'),
  left: may(finish, 'finish of the wall at the left of the page'),
});

const wallsBySide = into(
  sides,
  (named): WrittenWalls => ({
    by: 'name',
    finishes: new Map(SIDE_NAMES.flatMap((side) => (named[side] ? [[side, named[side]] as const] : []))),
  }),
);
const wallsAlike = into(finish, (each): WrittenWalls => ({ by: 'all', finish: each }));

/** Bands are written with figures, sides with words. */
const wallsInMap: Reader<WrittenWalls> = reader(
  { takes: 'forms', forms: [sides, finish] },
  (node, complain) => {
    const bands = node.kind === 'map' && [...node.entries.keys()].every((key) => /^\d/.test(key));
    return by(bands ? wallsAlike : wallsBySide, node, complain);
  },
);

const walls = forms({
  scalar: wallsAlike,
  list: into(
    listOf(finish, 3),
    (each: readonly Finish[]): WrittenWalls => ({ by: 'number', finishes: each }),
  ),
  map: wallsInMap,
});

const check: Rule['check'] = (has, complain) => {
  const missing = {
    code: 'MISSING',
    message: 'has neither `size` nor `outline`',
    mend: 'add `size: [6, 5]`',
  } as const;
  if (!has('size') && !has('outline')) complain(missing);
  const both = {
    code: 'WRONG_SHAPE',
    message: 'stands beside `size`',
    mend: 'take one of the two out',
  } as const;
  if (has('size') && has('outline')) complain({ ...both, path: ['outline'] });
  const idle = { code: 'WRONG_SHAPE', message: 'goes with `size` alone', mend: 'take it out' } as const;
  if (has('origin') && has('outline') && !has('size')) complain({ ...idle, path: ['origin'] });
};

export const room: Reader<RoomEntry> = into(
  keyed(
    'a room',
    {
      size: may(pairOf(size, '[width, depth]'), 'width and depth of a rectangle', [9, 7]),
      origin: may(point, 'lower left corner of the rectangle, [0, 0] if unsaid', [9, 0]),
      outline: may(into(listOf(point, 3, 1000), outlineOf), 'corners of a polygon, either way round', [
        [0, 0],
        [6, 0],
        [6, 3],
        [3, 5],
        [0, 5],
      ]),
      height: must(height, 'from floor to ceiling', 3.6),
      'floor-level': or(quantity('length', [-100, 100]), 0, 'of its floor above the ground', -0.5),
      floor: may(
        finish,
        'finish of the floor: a name of the catalogue, or absorption by band',
        'wood-on-joists',
      ),
      ceiling: may(finish, 'finish of the ceiling', 'acoustic-tile'),
      walls: may(walls, 'one finish, or {top, right, bottom, left}, or a list along the outline', {
        bottom: 'plaster',
        right: 'window-glass',
        top: 'curtain-heavy',
        left: 'plaster',
      }),
      patches: or(named('a patch', patch), new Map(), 'places of another finish, by name', {
        rug: { on: 'floor', finish: 'rug-on-underlay', area: '6 m2' },
      }),
      reverberation: may(reverberation, 'measured reverberation time in seconds, by band', {
        125: 0.5,
        500: 0.4,
        2000: 0.3,
        measured: 'empty',
      }),
      contents: or(
        named('a count or an area', contents, 'contents'),
        new Map(),
        'what stands in it: pieces, or m²',
        { 'chair-wooden': 20 },
      ),
      noise: may(dBA, 'noise level, dBA'),
      booth: or(flag, false, 'true for a booth'),
      outside: may(finish, 'outer finish of a booth'),
    },
    {
      bonds: [
        { among: ['size', 'outline'], least: 1, most: 1 },
        { among: ['origin', 'outline'], most: 1 },
      ],
      check,
    },
  ),
  roomOf,
);
