/** Keys of rooms, partitions, baffles; types inferred from the schema. */
import { orientation, signedArea, span } from '../geometry.ts';
import {
  type About,
  type ByBand,
  below,
  by,
  byBand,
  type Complain,
  type Construction,
  choice,
  construction,
  dBA,
  described,
  type Finish,
  finish,
  flag,
  forms,
  height,
  into,
  keyed,
  listOf,
  may,
  must,
  type Named,
  named,
  nameOrWord,
  or,
  type Point,
  pairOf,
  point,
  quantity,
  type Reader,
  type Rule,
  reader,
  size,
  text,
  whole,
  wrongShape,
} from './schema.ts';
import { numberAndUnit } from './units.ts';

// What stands between rooms, and baffles.
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
  const short = span(from, to) < SHORTEST;
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

// Rooms: outlines, finishes, and what is in them.

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

// Outlines of rooms: what makes a polygon one, and which wall is which.

const SIDE_NAMES = ['bottom', 'right', 'top', 'left'] as const;

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

/** A wall shorter than this is a slip of the pen, metres. */
const SHORTEST_WALL = 0.01;

const within = (a: Point, b: Point, p: Point): boolean =>
  Math.min(a[0], b[0]) <= p[0] &&
  p[0] <= Math.max(a[0], b[0]) &&
  Math.min(a[1], b[1]) <= p[1] &&
  p[1] <= Math.max(a[1], b[1]);

const SMALLEST_AREA = 0.01;

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

// From the ways a room may be written to one: corners anticlockwise, a finish or none for each wall.

type WrittenWalls =
  | { readonly by: 'all'; readonly finish: Finish }
  | { readonly by: 'number'; readonly finishes: readonly Finish[] }
  | { readonly by: 'name'; readonly finishes: ReadonlyMap<SideName, Finish> };

type WrittenPatch = Omit<PatchEntry, 'on'> & { readonly on: string };

type WrittenRoom = Omit<RoomEntry, 'outline' | 'wallNames' | 'walls' | 'patches'> & {
  readonly size?: Point;
  readonly origin?: Point;
  readonly outline?: readonly Point[];
  readonly walls?: WrittenWalls;
  readonly patches: Named<WrittenPatch>;
};

type Shape = {
  readonly outline: readonly Point[];
  /** Number as written, and side of the page where it is an upright rectangle, of each wall. */
  readonly sides: readonly number[];
  readonly page: readonly SideName[] | null;
};

/** Refuses what is no polygon. */
export function outlineOf(corners: readonly Point[], complain: Complain): readonly Point[] | undefined {
  const fault = outlineFault(corners);
  if (!fault) return corners;
  complain({ code: 'BAD_PLACE', message: fault, mend: 'list the corners in order, once around the room' });
}

function roomOf(written: WrittenRoom, complain: Complain): RoomEntry | undefined {
  const { size, origin = [0, 0], outline: corners, walls, patches, ...rest } = written;
  const shape = shapeOf(corners ?? rectangle(origin, size ?? [0, 0]));
  const finishes = wallFinishes(walls, shape, complain);
  const placed = new Map<string, PatchEntry>();
  for (const [name, { on, ...patch }] of patches) {
    const surface = surfaceOf(on, shape);
    if (surface !== null) placed.set(name, { ...patch, on: surface });
    else complain({ ...noSurface(on, shape), path: ['patches', name, 'on'] });
  }
  const wallNames = shape.sides.map((side, i) => (size && shape.page?.[i]) || String(side));
  return finishes && { ...rest, outline: shape.outline, wallNames, walls: finishes, patches: placed };
}

function rectangle([x, y]: Point, [width, depth]: Point): readonly Point[] {
  return [
    [x, y],
    [x + width, y],
    [x + width, y + depth],
    [x, y + depth],
  ];
}

function shapeOf(corners: readonly Point[]): Shape {
  const { outline, sides } = anticlockwise(corners);
  return { outline, sides, page: pageSides(outline) };
}

function wallFinishes(
  walls: WrittenWalls | undefined,
  shape: Shape,
  complain: Complain,
): (Finish | null)[] | undefined {
  const { sides, page } = shape;
  if (!walls) return sides.map(() => null);
  if (walls.by === 'all') return sides.map(() => walls.finish);
  if (walls.by === 'number') {
    if (walls.finishes.length === sides.length) return sides.map((side) => walls.finishes[side] ?? null);
    const message = `lists ${walls.finishes.length} finishes for ${sides.length} walls`;
    return void complain({
      code: 'WRONG_SHAPE',
      message,
      mend: 'list one for each side of the outline, in its order',
      path: ['walls'],
    });
  }
  if (page) return page.map((side) => walls.finishes.get(side) ?? null);
  const message = 'names sides, which only an upright rectangle has';
  return void complain({
    code: 'WRONG_SHAPE',
    message,
    mend: `list ${sides.length} finishes along the outline`,
    path: ['walls'],
  });
}

function surfaceOf(on: string, { sides, page }: Shape): PatchEntry['on'] | null {
  if (on === 'floor' || on === 'ceiling') return on;
  const wall = /^\d+$/.test(on) ? sides.indexOf(Number(on)) : ((page ?? []) as readonly string[]).indexOf(on);
  return wall < 0 ? null : wall;
}

function noSurface(on: string, { sides, page }: Shape) {
  const words = ['floor', 'ceiling', ...(page ? SIDE_NAMES : []), `0 to ${sides.length - 1}`];
  const message = `must be a surface of the room, got ${on}`;
  return { code: 'UNKNOWN_NAME', message, mend: `write one of ${words.join(', ')}` } as const;
}

/** What is wrong with a polygon, in words that go on from its name, or null. */
export function outlineFault(corners: readonly Point[]): string | null {
  for (const [i, a, b] of sidesOf(corners)) {
    if (span(a, b) < SHORTEST_WALL) {
      return `has two corners at one point (${i} and ${(i + 1) % corners.length})`;
    }
  }
  for (const [i, a, b] of sidesOf(corners)) {
    for (const [j, c, d] of sidesOf(corners)) {
      if (j <= i) continue;
      const neighbours = j === i + 1 || (i === 0 && j === corners.length - 1);
      if (neighbours ? turnsBack(a, b, c, d) : meet(a, b, c, d))
        return `crosses itself: side ${i} meets side ${j}`;
    }
  }
  return Math.abs(signedArea(corners)) < SMALLEST_AREA ? 'has no area' : null;
}

function* sidesOf(corners: readonly Point[]): Generator<readonly [number, Point, Point]> {
  for (const [i, a] of corners.entries()) yield [i, a, corners[(i + 1) % corners.length] ?? a];
}

/** True where two closed segments have a point in common. */
function meet(a: Point, b: Point, c: Point, d: Point): boolean {
  const [p, q, r, s] = [
    orientation(a, b, c),
    orientation(a, b, d),
    orientation(c, d, a),
    orientation(c, d, b),
  ];
  if (p * q < 0 && r * s < 0) return true;
  return (
    (p === 0 && within(a, b, c)) ||
    (q === 0 && within(a, b, d)) ||
    (r === 0 && within(c, d, a)) ||
    (s === 0 && within(c, d, b))
  );
}

/** Sides that share a corner lie on one another where the second runs straight back. */
function turnsBack(a: Point, b: Point, c: Point, d: Point): boolean {
  const [before, corner, after] = b === c ? [a, b, d] : [b, a, c];
  const dot =
    (before[0] - corner[0]) * (after[0] - corner[0]) + (before[1] - corner[1]) * (after[1] - corner[1]);
  return orientation(before, corner, after) === 0 && dot > 0;
}

/** The corners anticlockwise, and for each wall the number its side had as written. */
export function anticlockwise(corners: readonly Point[]): {
  outline: readonly Point[];
  sides: readonly number[];
} {
  const count = corners.length;
  if (signedArea(corners) > 0) return { outline: corners, sides: corners.map((_, i) => i) };
  return { outline: corners.toReversed(), sides: corners.map((_, i) => (2 * count - 2 - i) % count) };
}

type SideName = (typeof SIDE_NAMES)[number];

/** Where each wall of an upright rectangle lies on the page; null for any other outline. */
function pageSides(outline: readonly Point[]): readonly SideName[] | null {
  if (outline.length !== 4) return null;
  const names = [...sidesOf(outline)].map(([, a, b]): SideName | null => {
    // anticlockwise, so that the inside is on the left of each wall
    if (a[1] === b[1]) return b[0] > a[0] ? 'bottom' : 'top';
    if (a[0] === b[0]) return b[1] > a[1] ? 'right' : 'left';
    return null;
  });
  return names.every((name) => name !== null) && new Set(names).size === 4 ? (names as SideName[]) : null;
}

// Rooms, what stands between them, and what stands in them, as the plan says it.

export type RoomEntry = {
  /** Corners, anticlockwise; wall i runs from corner i to corner i + 1. */
  readonly outline: readonly Point[];
  /** What the plan calls wall i: its number along the outline as written ("0"), or "bottom", "right", "top", "left". */
  readonly wallNames: readonly string[];
  readonly height: number;
  readonly floorLevel: number;
  readonly floor?: Finish;
  readonly ceiling?: Finish;
  /** Finish of wall i, null where the plan gives none. */
  readonly walls: readonly (Finish | null)[];
  readonly patches: Named<PatchEntry>;
  readonly reverberation?: ReverberationEntry;
  readonly contents: Named<ContentsEntry>;
  /** dBA. */
  readonly noise?: number;
  readonly booth: boolean;
  /** Outer finish of a booth. */
  readonly outside?: Finish;
};

/** `on` a wall is its index in `outline`. */
export type PatchEntry = {
  readonly on: 'floor' | 'ceiling' | number;
  readonly finish: Finish;
  readonly area: number;
};

type ReverberationEntry = { readonly seconds: ByBand; readonly measured: 'empty' | 'set-up' };

export type ContentsEntry = { readonly count: number } | { readonly area: number };

export type PartitionEntry = {
  /** Names of two rooms, or of a room and `outside`. */
  readonly between: readonly [string, string];
  readonly wall: Construction;
  readonly doors: readonly LeafEntry[];
  readonly windows: readonly LeafEntry[];
  readonly openings: readonly OpeningEntry[];
  readonly area?: number;
};

export type OpeningEntry = {
  /** Middle of its width, on the plan. */
  readonly at: Point;
  readonly width: number;
  readonly height: number;
  readonly sill?: number;
};

/** A door (`made` is its leaf) or a window (its glass); only what stands open may go without. */
export type LeafEntry = OpeningEntry & {
  readonly made?: Construction;
  readonly state: 'closed' | 'ajar' | 'open';
};

export type BaffleEntry = {
  readonly from: Point;
  readonly to: Point;
  /** Height of its upper edge above the floor. */
  readonly height: number;
  readonly gap: number;
  readonly madeOf: Construction;
  readonly windowFrom?: number;
  readonly fixed: boolean;
};
