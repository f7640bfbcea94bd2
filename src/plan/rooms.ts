/** Keys of rooms, of what is between them, and of baffles. */
import { type Outline, orientation, signedArea, span } from '../geometry.ts';
import * as s from './schema.ts';
import { numberAndUnit } from './units.ts';
import type { Finish, Point } from './values.ts';
import { construction, dBA, finish, height, point, points, size } from './values.ts';

const holeKeys = {
  at: s.required(point, 'Places its middle at [x, y], on the wall between the rooms.', [9, 2]),
  width: s.required(size, 'Gives the width of the opening.', 0.9),
  height: s.required(height, 'Gives the height from its lower to its upper edge.', 2),
  sill: s.optional(
    s.quantity('length', [0, 100]),
    'Gives the height of its lower edge above the floor. Default: 0; 0.9 m for a window.',
    0.9,
  ),
};

const opening = s.object('an opening', holeKeys);
export type OpeningEntry = s.Out<typeof opening>;
const state = s.withDefault(
  s.choice('closed', 'ajar', 'open'),
  'closed',
  'Says whether it is closed, ajar or open.',
);

/** What is closed or ajar needs to be made of something. */
const needs = (key: string): s.KeyRules => ({
  constraints: [{ among: [key], least: 1, unless: ['state', 'open'] }],
  check: (has, fail, map) => {
    const written = map.entries.get('state')?.node;
    const isOpen = written?.kind === 'scalar' && written.text === 'open';
    if (!has(key) && !isOpen) fail('MISSING_KEY', 'is missing', `add \`${key}\`, or \`state: open\``, [key]);
  },
});

const leaf = s.optional(
  construction('doors'),
  'Names a door of the catalogue, or gives {reduction, absorption} or {mass}.',
);
const glass = s.optional(
  construction('glazings'),
  'Names a glazing of the catalogue, or gives {reduction, absorption} or {mass}.',
);

const door = s.transform(
  s.object('a door', { ...holeKeys, leaf, state }, needs('leaf')),
  ({ leaf, ...rest }) => ({ ...rest, ...(leaf && { made: leaf }) }),
);

const window = s.transform(
  s.object('a window', { ...holeKeys, glass, state }, needs('glass')),
  ({ glass, ...rest }) => ({ ...rest, ...(glass && { made: glass }) }),
);

/** A door (`made` is its leaf) or a window (its glass). */
export type LeafEntry = s.Out<typeof door>;

const twoRooms = s.refine(s.pairOf(s.nameOrWord('outside'), '[one room, another]'), ([one, other], fail) => {
  if (one === other)
    fail('BAD_POSITION', 'names the same room twice', 'name two rooms, or a room and `outside`');
});

const area = s.quantity('area', [0.01, 10_000]);
const wall = construction('constructions');

export const partition = s.object('a partition', {
  between: s.required(twoRooms, 'Names the two rooms on either side; `outside` may be one.', [
    'hall',
    'outside',
  ]),
  wall: s.required(
    wall,
    'Names a construction of the catalogue, or gives {reduction, absorption} or {mass}.',
  ),
  doors: s.optionalList(door, 'Lists the doors in the wall.', [
    { at: [9, 2], width: 0.9, height: 2, leaf: 'solid-core-sealed', state: 'closed' },
  ]),
  windows: s.optionalList(window, 'Lists the windows in the wall.', [
    { at: [9, 4], width: 1.2, height: 1, sill: 0.9, glass: 'glass-6' },
  ]),
  openings: s.optionalList(opening, 'Lists the openings in the wall that nothing closes.', [
    { at: [9, 2], width: 0.9, height: 2 },
  ]),
  area: s.optional(
    area,
    'Gives the area of the whole wall. Default: the boundary that both rooms share.',
    '12 m2',
  ),
});

export type PartitionEntry = s.Out<typeof partition>;
/** Ends nearer than this are one point, metres. */
const SHORTEST_BAFFLE = 0.05;
const panel = construction('panels');

export const baffle = s.refine(
  s.object('a baffle', {
    from: s.required(point, 'Places one end of the baffle at [x, y].', [3, 2]),
    to: s.required(point, 'Places the other end of the baffle at [x, y].', [4.5, 2]),
    height: s.required(height, 'Gives the height of the upper edge above the floor.', 1.5),
    gap: s.withDefault(
      s.quantity('length', [0, 100]),
      0,
      'Gives the gap between the floor and the lower edge.',
      '5 cm',
    ),
    'made-of': s.required(
      panel,
      'Names a panel of the catalogue, or gives {reduction, absorption} or {mass}.',
    ),
    'window-from': s.optional(
      s.quantity('length', [0, 100]),
      'Gives the height above which people see through. Default: nobody sees through.',
      1.2,
    ),
    fixed: s.optionalFlag('Says that the baffle cannot be moved.'),
  }),
  ({ from, to, height: top, gap, windowFrom }, fail) => {
    if (span(from, to) < SHORTEST_BAFFLE)
      fail('BAD_POSITION', 'starts and ends at the same point', 'move `to`', ['to']);
    const tooHigh = (key: string, fix: string) =>
      fail('OUT_OF_RANGE', 'must be less than its height', fix, [key]);
    if (gap >= top) tooHigh('gap', 'make it smaller');
    if (windowFrom !== undefined && windowFrom >= top)
      tooHigh('window-from', 'make it smaller, or remove it if nobody sees through');
  },
);

export type BaffleEntry = s.Out<typeof baffle>;
const seconds = s.quantity('time', [0.02, 30]);
const measured = s.choice('empty', 'set-up');
const part = s.choice('late', 'early');
type Part = s.Out<typeof part>;

/** Which part of a decay was read, of all octaves or by octave; late where it is not written. */
const decay: s.Reader<Part | readonly (readonly [hertz: number, part: Part])[]> = s.reader(
  { kind: 'bands', item: part, beside: {} },
  (node, fail) => (node.kind === 'map' ? s.bandsOf(node, [], part, fail) : part.read(node, fail)),
);

/** Files name times that stand in their place once they are read: what is left was not. */
const recording = s.reader<null>({ kind: 'text' }, (node, fail) =>
  node.kind === 'scalar' && typeof node.value === 'string'
    ? fail('FILE_UNREADABLE', 'cannot be read here', 'give the times by octave instead')
    : s.wrongShape(fail, node, 'a path', 'write a path such as clap.wav'),
);

/**
 * One time or times by band, and among these a recording of which they are read, what was in the room as it was measured, and
 * which part of the decay was read: the late one (T20, T30) or the early decay time.
 */
const reverberation = s.reader(
  { kind: 'bands', item: seconds, beside: { recording, measured, decay } },
  (node, fail) => {
    const beside = <T>(reader: s.Reader<T>, key: string, usual: T) => {
      const written = node.kind === 'map' ? node.entries.get(key)?.node : undefined;
      return written ? s.readBelow(reader, written, key, fail) : usual;
    };
    const state = beside(measured, 'measured', 'empty');
    const read = beside(decay, 'decay', 'late');
    const left = beside<null>(recording, 'recording', null);
    if (left === undefined) return undefined;
    const times = s.byBand(seconds, ['recording', 'measured', 'decay']).read(node, fail);
    if (times === undefined || state === undefined || read === undefined) return undefined;
    return { seconds: times, measured: state, decay: read };
  },
);

const pieces = s.whole([0, 100_000]);

const areaWithUnit: s.Reader<number> = {
  ...area,
  shape: { kind: 'quantity', dimension: 'area', min: 0.01, max: 10_000, bareFactor: null },
};

export type ContentsEntry = { readonly count: number } | { readonly area: number };

/** A bare number counts pieces, whatever the units; square metres carry theirs. */
const contents: s.Reader<ContentsEntry> = s.reader(
  { kind: 'union', forms: [pieces, areaWithUnit] },
  (node, fail) => {
    if (node.kind !== 'scalar') return s.wrongShape(fail, node, 'a count or an area such as 12 or 6 m2');
    const isArea = typeof node.value === 'string' && numberAndUnit(node.text)?.unit !== '';
    const value = (isArea ? area : pieces).read(node, fail);
    return value === undefined ? undefined : isArea ? { area: value } : { count: value };
  },
);

const SIDES = ['bottom', 'right', 'top', 'left'] as const;
type Side = (typeof SIDES)[number];

type WrittenWalls =
  | { readonly by: 'all'; readonly finish: Finish }
  | { readonly by: 'number'; readonly finishes: readonly Finish[] }
  | { readonly by: 'side'; readonly finishes: { readonly [side in Side]?: Finish } };

const side = (name: Side) => s.optional(finish, `Gives the finish of the wall at the ${name} of the page.`);
const sides = s.object('the walls of a rectangle', {
  bottom: side('bottom'),
  right: side('right'),
  top: side('top'),
  left: side('left'),
});

const wallsAlike = s.transform(finish, (all): WrittenWalls => ({ by: 'all', finish: all }));
const wallsBySide = s.transform(sides, (finishes): WrittenWalls => ({ by: 'side', finishes }));

const walls = s.union({
  scalar: wallsAlike,
  list: s.transform(s.listOf(finish, 3), (finishes): WrittenWalls => ({ by: 'number', finishes })),
  // bands are written with values, sides with words
  map: s.reader({ kind: 'union', forms: [sides, finish] }, (node, fail) => {
    const byBands = node.kind === 'map' && [...node.entries.keys()].every((key) => /^\d/.test(key));
    return (byBands ? wallsAlike : wallsBySide).read(node, fail);
  }),
});

const A_FINISH = 'a name of the catalogue, or absorption from 0 to 1, one number or by octave';

const surface: s.Reader<string> = {
  ...s.text,
  shape: { kind: 'text', words: ['floor', 'ceiling', ...SIDES] },
};

const patch = s.object('a patch', {
  on: s.required(surface, 'Says where the patch is: floor, ceiling, or a wall by side or number.', 'floor'),
  finish: s.required(finish, `Gives the finish of the patch: ${A_FINISH}.`),
  area: s.required(area, 'Gives the area of the patch.'),
});

/** Less is a slip of the pen: metres, square metres. */
const [SHORTEST_WALL, SMALLEST_ROOM] = [0.01, 0.01];

/** Corners of a polygon that does not cross itself, either way round. */
export const outline = s.refine(s.listOf(point, 3, 1000), (corners, fail) => {
  const fault = outlineFault(corners);
  if (fault) fail('BAD_POSITION', fault, 'list the corners in order, once around the room');
});

/** What is wrong with a polygon, in words that go on from its name, or null. */
export function outlineFault(corners: Outline): string | null {
  const sides = sidesOf(corners);
  const doubled = sides.findIndex(([a, b]) => span(a, b) < SHORTEST_WALL);
  if (doubled >= 0)
    return `has two corners at the same point (${doubled} and ${(doubled + 1) % corners.length})`;
  for (const [i, [a, b]] of sides.entries()) {
    for (const [j, [c, d]] of sides.entries()) {
      if (j <= i) continue;
      const neighbours = j === i + 1 || (i === 0 && j === corners.length - 1);
      if (neighbours ? turnsBack(a, b, c, d) : meet(a, b, c, d))
        return `crosses itself: side ${i} meets side ${j}`;
    }
  }
  return Math.abs(signedArea(corners)) < SMALLEST_ROOM ? 'has no area' : null;
}

const sidesOf = (corners: Outline) =>
  corners.map((a, i): readonly [Point, Point] => [a, corners[(i + 1) % corners.length] ?? a]);

/** True where two closed segments have a point in common. */
function meet(a: Point, b: Point, c: Point, d: Point): boolean {
  const parts = (from: Point, to: Point, one: Point, other: Point) =>
    orientation(from, to, one) * orientation(from, to, other) < 0;
  if (parts(a, b, c, d) && parts(c, d, a, b)) return true;
  return liesOn(a, b, c) || liesOn(a, b, d) || liesOn(c, d, a) || liesOn(c, d, b);
}

/** True where a point is on the closed segment from `a` to `b`. */
const liesOn = (a: Point, b: Point, p: Point): boolean =>
  orientation(a, b, p) === 0 &&
  ([0, 1] as const).every((i) => Math.min(a[i], b[i]) <= p[i] && p[i] <= Math.max(a[i], b[i]));

/** Sides that share a corner lie on one another where the second runs straight back. */
function turnsBack(a: Point, b: Point, c: Point, d: Point): boolean {
  const [before, corner, after] = b === c ? [a, b, d] : [b, a, c];
  const dot =
    (before[0] - corner[0]) * (after[0] - corner[0]) + (before[1] - corner[1]) * (after[1] - corner[1]);
  return orientation(before, corner, after) === 0 && dot > 0;
}

/** The corners anticlockwise, and for each wall the number its side had as written. */
export function anticlockwise(corners: Outline): { outline: Outline; sides: readonly number[] } {
  const count = corners.length;
  if (signedArea(corners) > 0) return { outline: corners, sides: corners.map((_, i) => i) };
  return { outline: corners.toReversed(), sides: corners.map((_, i) => (2 * count - 2 - i) % count) };
}

/** Where each wall of an upright rectangle, anticlockwise, lies on the page; null for any other outline. */
function pageSides(corners: Outline): readonly Side[] | null {
  const names = sidesOf(corners).flatMap(([a, b]): Side[] => {
    if (a[1] === b[1]) return [b[0] > a[0] ? 'bottom' : 'top'];
    return a[0] === b[0] ? [b[1] > a[1] ? 'right' : 'left'] : [];
  });
  return corners.length === 4 && new Set(names).size === 4 ? names : null;
}

const roomRules: s.KeyRules = {
  constraints: [
    { among: ['size', 'outline'], least: 1, most: 1 },
    { among: ['origin', 'outline'], most: 1 },
  ],
  check: (has, fail) => {
    if (!has('size') && !has('outline'))
      fail('MISSING_KEY', 'has neither `size` nor `outline`', 'add `size: [6, 5]`');
    s.notBoth('outline', 'size', has, fail);
    if (has('origin') && has('outline') && !has('size'))
      fail('WRONG_TYPE', 'needs `size`', 'remove it', ['origin']);
  },
};

const WALLS = { bottom: 'plaster', right: 'window-glass', top: 'curtain-heavy', left: 'plaster' };
const CORNERS = points([0, 0], [6, 0], [6, 3], [3, 5], [0, 5]);
const TIMES = { 125: 0.5, 500: 0.4, 2000: 0.3, measured: 'empty', decay: 'late' };

const writtenRoom = s.object(
  'a room',
  {
    size: s.optional(
      s.pairOf(size, '[width, depth]'),
      'Gives the size of a rectangular room: [width, depth].',
      [9, 7],
    ),
    origin: s.optional(point, 'Places the lower left corner of a rectangular room. Default: [0, 0].', [9, 0]),
    outline: s.optional(
      outline,
      'Lists the corners of the room in order, clockwise or anticlockwise: [[x, y], …].',
      CORNERS,
    ),
    height: s.required(height, 'Gives the height from floor to ceiling.', 3.6),
    'floor-level': s.withDefault(
      s.quantity('length', [-100, 100]),
      0,
      'Gives the height of the floor above the ground.',
      -0.5,
    ),
    floor: s.optional(finish, `Gives the finish of the floor: ${A_FINISH}.`, 'wood-on-joists'),
    ceiling: s.optional(finish, `Gives the finish of the ceiling: ${A_FINISH}.`, 'acoustic-tile'),
    walls: s.optional(
      walls,
      'Gives the finish of the walls: one for all, {top, right, bottom, left}, or a list along the outline.',
      WALLS,
    ),
    patches: s.optionalRecord('a patch', patch, 'Names patches with another finish, such as a rug.', {
      rug: { on: 'floor', finish: 'rug-on-underlay', area: '6 m2' },
    }),
    reverberation: s.optional(
      reverberation,
      'Gives the measured RT60 in seconds, one number or by octave, or a `recording` of claps to read it from; whether it was measured empty or set-up; and whether it is late (T20 or T30, the default) or early decay time.',
      TIMES,
    ),
    contents: s.withDefault(
      s.record('a count or an area', contents, 'contents'),
      new Map(),
      'Lists what is in the room: a count of pieces, or an area with its unit.',
      { 'chair-wooden': 20 },
    ),
    noise: s.optional(dBA, 'Gives the background noise in dBA.'),
    booth: s.optionalFlag('Says that the room is a booth, standing inside another.'),
    control: s.optionalFlag('Says that loudspeakers play in the room, as in a control room.'),
    outside: s.optional(finish, `Gives the outer finish of a booth: ${A_FINISH}.`),
  },
  roomRules,
);

/** `on` a wall is its index in the outline. */
export type PatchEntry = Omit<s.Out<typeof patch>, 'on'> & { readonly on: 'floor' | 'ceiling' | number };
/** Of each wall its number as written, and its side of the page, of an upright rectangle alone. */
type Walls = { readonly sides: readonly number[]; readonly page: readonly Side[] | null };

/**
 * Whatever way it is written: `outline` is anticlockwise, and wall i runs from corner i to corner i + 1; `wallNames` is what
 * the plan calls each wall, its number along the outline as written ("0") or its side of the page; `walls` is the finish
 * of each, null where the plan gives none.
 */
export const room = s.transform(writtenRoom, (written, fail) => {
  const { size, origin = [0, 0], outline: corners, ...rest } = written;
  const { outline, sides } = anticlockwise(corners ?? rectangle(origin, size ?? [0, 0]));
  const shape = { sides, page: pageSides(outline) };
  const walls = wallFinishes(written.walls, shape, fail);
  const patches = placed(written.patches, shape, s.failBelow(fail, ['patches']));
  const wallNames = sides.map((side, i) => (size && shape.page?.[i]) || String(side));
  return walls && { ...rest, outline, wallNames, walls, patches };
});

export type RoomEntry = s.Out<typeof room>;

const rectangle = ([x, y]: Point, [width, depth]: Point): Outline =>
  points([x, y], [x + width, y], [x + width, y + depth], [x, y + depth]);

function wallFinishes(
  walls: WrittenWalls | undefined,
  { sides, page }: Walls,
  fail: s.Fail,
): readonly (Finish | null)[] | undefined {
  if (!walls) return sides.map(() => null);
  if (walls.by === 'all') return sides.map(() => walls.finish);
  if (walls.by === 'number') {
    if (walls.finishes.length === sides.length) return sides.map((side) => walls.finishes[side] ?? null);
    const message = `lists ${walls.finishes.length} finishes for ${sides.length} walls`;
    return fail('WRONG_TYPE', message, 'list one per wall, in the order of the outline', ['walls']);
  }
  if (page) return page.map((side) => walls.finishes[side] ?? null);
  const message = 'names sides, but the outline is not a rectangle along the page';
  return fail('WRONG_TYPE', message, `list ${sides.length} finishes along the outline`, ['walls']);
}

function placed(patches: s.Named<s.Out<typeof patch>>, shape: Walls, fail: s.Fail): s.Named<PatchEntry> {
  const found = new Map<string, PatchEntry>();
  for (const [name, patch] of patches) {
    const on = surfaceOf(patch.on, shape, s.failBelow(fail, [name, 'on']));
    if (on !== undefined) found.set(name, { ...patch, on });
  }
  return found;
}

function surfaceOf(on: string, { sides, page }: Walls, fail: s.Fail): PatchEntry['on'] | undefined {
  if (on === 'floor' || on === 'ceiling') return on;
  const wall = /^\d+$/.test(on) ? sides.indexOf(Number(on)) : (page ?? []).indexOf(on as Side);
  if (wall >= 0) return wall;
  const words = ['floor', 'ceiling', ...(page ? SIDES : []), `0 to ${sides.length - 1}`];
  return fail('UNKNOWN_NAME', `must be a surface of the room, got ${on}`, `write one of ${words.join(', ')}`);
}
