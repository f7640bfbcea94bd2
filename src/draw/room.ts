/** Floors, walls with their doors and windows, baffles. */
import type { Outline, Vec2 } from '../geometry.ts';
import { corner, holds, midpoint, orientation, RADIANS, signedArea, span } from '../geometry.ts';
import { FOOT } from '../plan/units.ts';
import { OUTSIDE, type Partition, type Room, type WallElement } from '../scene/scene.ts';
import { figure } from '../text.ts';
import type { Layer, Name, Shape, Sheet } from './drawing.ts';
import { closedLine, nameOf, openLine, together } from './drawing.ts';
import { area, away, between, boxAround, line, named, type Point, SHELL } from './svg.ts';

/** Walls between rooms, as thick as the plan leaves them, with all that is let into them. */
export const partitions = (sheet: Sheet): Layer =>
  together(sheet.scene.partitions.map((partition) => partitionLayer(sheet, partition)));

function partitionLayer(sheet: Sheet, partition: Partition): Layer {
  const { name, stretches } = partition;
  const bodies = stretches.map((stretch) => placed(sheet, stretch, facesOf(sheet, partition, stretch)));
  const elements = together(hungElements(partition).map((one) => elementLayer(sheet, partition, one)));
  const walls = bodies.map((body) => area('wall', body)).join('');
  const [longest] = bodies.toSorted((p, q) => span(...middleOf(q)) - span(...middleOf(p)));
  return {
    svg: named('partition', name, walls + elements.svg),
    keepOff: [...bodies.map((body) => closedLine(...body)), ...elements.keepOff],
    names: longest ? [nameOf('wall', name, alongOf(longest), span(longest[0], longest[3]) / 2)] : [],
  };
}

const middleOf = ([a, b, c, d]: Hole): Ends => [midpoint(a, d), midpoint(b, c)];
const alongOf = (body: Hole): Point[] =>
  [0.5, 0.2, 0.8, 0.35, 0.65, 0.08, 0.92].map((part) => between(...middleOf(body), part));

/** Doors, windows and openings, each once: an ajar door is two in the scene, its leaf and its slit. */
export const hungElements = ({ elements }: Partition): WallElement[] =>
  elements.filter(({ free, state }) => !(free && state === 'ajar'));

function elementLayer(sheet: Sheet, partition: Partition, element: WallElement): Layer {
  const { kind, name, state } = element;
  const hole = holeOf(sheet, partition, element);
  const drawn = hungIn(kind, state, hole);
  const title = `${partition.name}, ${name}, ${state}`;
  const svg = named(kind, title, area('hole', hole) + drawn.svg);
  return { svg, keepOff: [closedLine(...hole), ...drawn.keepOff] };
}

/** Corners of the cut in the wall: along the face of the room it opens into, and back along the other one. */
type Hole = readonly [Point, Point, Point, Point];

function holeOf(sheet: Sheet, partition: Partition, element: WallElement): Hole {
  const [low, high] = facesOf(sheet, partition, element);
  const [p, q] = strip(element, high + 0.05, 0);
  const first = sheet.scene.rooms[partition.rooms[0]]?.outline ?? [];
  const [near, far] = holds(first, ...midpoint(p, q)) ? [high, low] : [low, high];
  return placed(sheet, element, [near, far]);
}

function placed({ place }: Sheet, stretch: Stretch, faces: readonly [number, number]): Hole {
  const [a, b, c, d] = strip(stretch, ...faces);
  return [place(a), place(b), place(c), place(d)];
}

/** How far a leaf that stands ajar is drawn open, degrees: its slit of 5 cm would not show. */
const AJAR = 20;

/**
 * What hangs in a cut as it stands, shut, ajar or open: a leaf, a pane, nothing but the lintel over it. On which side a leaf
 * hangs the plan does not say.
 */
export function hungIn(kind: WallElement['kind'], state: WallElement['state'], hole: Hole): Layer {
  const [a, b, c, d] = hole;
  const jambs = line('jamb', [a, d]) + line('jamb', [b, c]);
  const alongFaces = (mark: string) => line(mark, [a, b]) + line(mark, [d, c]);
  if (kind === 'opening') return { svg: alongFaces('lintel') + jambs, keepOff: [] };
  const leaf = kind === 'window' ? 'pane' : 'leaf';
  if (state === 'closed') {
    const shut = line(leaf, [between(a, d, 0.5), between(b, c, 0.5)]);
    return { svg: (kind === 'window' ? alongFaces('sill') : '') + shut + jambs, keepOff: [] };
  }
  const swing = swungTo([a, b, d], state === 'ajar' ? AJAR : 90);
  const tip = swing.at(-1) as Point;
  const svg = line('swing', swing) + line(leaf, [a, tip]) + jambs;
  return { svg, keepOff: [openLine(a, tip), openLine(...swing)] };
}

/** The way of the leaf's end about the hinge at a, from shut (at b) into the room, away from the far face at d. */
function swungTo([a, b, d]: readonly [Point, Point, Point], degrees: number): Point[] {
  const from = Math.atan2(b[1] - a[1], b[0] - a[0]);
  const sense = orientation(a, b, d) <= 0 ? 1 : -1;
  const angle = (i: number) => from + (sense * degrees * RADIANS * i) / 12;
  return Array.from({ length: 13 }, (_, i) => away(a, angle(i), span(a, b)));
}

// Baffles: a bar as long as the panel, with feet at both ends. Walls of booths are panels too, and drawn as walls.

/** How far a foot stands out, mm. */
const FOOT_MARK = 1.5;
type Ends = readonly [Point, Point];

export function screens({ scene, place }: Sheet): Layer {
  const own = scene.panels.filter(({ booth }) => booth === null);
  return together(own.map(({ name, a, b }) => screenLayer(name, [place(a), place(b)])));
}

function screenLayer(name: string, [a, b]: Ends): Layer {
  const at = [0.5, 0, 1, 0.25, 0.75].map((part) => between(a, b, part));
  return {
    svg: named('baffle', name, screenMarks([a, b])),
    keepOff: [closedLine(...strip({ a, b }, FOOT_MARK, -FOOT_MARK))],
    names: [nameOf('screen', name, at, FOOT_MARK)],
  };
}

export function screenMarks([a, b]: Ends): string {
  const [p, q, r, s] = strip({ a, b }, FOOT_MARK, -FOOT_MARK);
  return area('screen', strip({ a, b }, 0.45, -0.45)) + line('foot', [p, s]) + line('foot', [q, r]);
}

type Stretch = { readonly a: Vec2; readonly b: Vec2 };

/** Corners of a strip along a stretch, between two lines so far to the left of it (on the page, y downward, to the right). */
function strip({ a, b }: Stretch, from: number, to: number): Hole {
  const length = span(a, b) || 1;
  const [dx, dy] = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
  const off = ([x, y]: Vec2, by: number): Vec2 => [x - dy * by, y + dx * by];
  return [off(a, from), off(b, from), off(b, to), off(a, to)];
}

// Rooms: floors and the walls round them. A plan gives the inner faces of walls; how thick an outer one is it does not say.

/** `notes` stand under the names of the rooms, in their order, where a level is shown. */
export function floors(sheet: Sheet, notes: readonly string[] | null): Layer {
  const { scene } = sheet;
  const outlines = scene.rooms.map((room) => room.outline.map(sheet.place));
  const depth = scene.rooms.map((_, i) => depthOf(scene.rooms, i));
  const depths = [...new Set(depth)].sort((a, b) => a - b);
  const svg = depths.map((level) => {
    const here = scene.rooms.filter((_, i) => depth[i] === level);
    const walls = here.map(({ outline }) => area('shell', outline.map(sheet.place))).join('');
    const floor = ({ name, outline }: Room) => named('room', name, area('floor', outline.map(sheet.place)));
    return `${walls}\n${here.map(floor).join('')}`;
  });
  // what the shell takes up outside the floor: a strip along each wall, as outlines run anticlockwise
  const outside = (outline: readonly Point[]): Shape[] =>
    outline.map((a, i) => closedLine(...strip({ a, b: corner(outline, i + 1) }, 0, SHELL)));
  return {
    svg: svg.join(''),
    keepOff: outlines.flatMap((outline) => [openLine(...outline, outline[0] as Point), ...outside(outline)]),
    names: scene.rooms.map((_, i) => roomName(sheet, i, notes)),
  };
}

/** In how many other rooms it stands. */
export function depthOf(all: readonly Room[], index: number): number {
  const host = all[index]?.host ?? null;
  return host === null ? 0 : 1 + depthOf(all, host);
}

/** Places for a name, across and down, in parts of the room's extent: corners first, the middle last. */
const ACROSS = [0.14, 0.86, 0.5, 0.3, 0.7];
const DOWN = [0.12, 0.88, 0.5, 0.3, 0.7, 0.2, 0.8, 0.4, 0.6];

function roomName({ units, scene, place }: Sheet, index: number, notes: readonly string[] | null): Name {
  const room = scene.rooms[index] as Room;
  const outline = room.outline.map(place);
  const { left, top, right, bottom } = boxAround(outline);
  const spot = (x: number, y: number): Point => [left + x * (right - left), top + y * (bottom - top)];
  const spots = DOWN.flatMap((y) => ACROSS.map((x) => spot(x, y)));
  const booths = scene.rooms.filter(({ host }) => host === index).map((booth) => booth.outline.map(place));
  const free = spots.filter((at) => holds(outline, ...at) && !booths.some((booth) => holds(booth, ...at)));
  const foot = units === 'ft' ? FOOT : 1;
  const size = figure(signedArea(room.outline) / foot ** 2, units === 'ft' ? 0 : 1);
  const height = figure((room.ceiling - room.floor) / foot, 1);
  const note = notes?.[index] ?? `${size} ${units}², ${height} ${units} high`;
  return { ...nameOf('room', room.name, free, 0), note, noteKind: 'faint' };
}

/** Least drawn thickness of a wall, mm. */
const LEAST = 0.6;
/** Walls up to this far apart, m, are the two faces of one, as the plan format has it. */
const THICKEST = 0.4;

/** How far to the left of the stretch a–b each face of the wall lies, m. */
function facesOf(sheet: Sheet, { rooms }: Partition, stretch: Stretch): readonly [number, number] {
  const known = rooms.flatMap((index) => faceOf(sheet.scene.rooms[index]?.outline ?? [], stretch) ?? []);
  const [one = 0, other = one] = known;
  const [low, high] = [Math.min(one, other), Math.max(one, other)];
  const least = LEAST / sheet.perMetre;
  if (rooms[1] === OUTSIDE) return outward(sheet, rooms[0], stretch, low);
  if (high - low >= least) return [low, high];
  return [(low + high - least) / 2, (low + high + least) / 2];
}

function outward(sheet: Sheet, index: number, { a, b }: Stretch, face: number): readonly [number, number] {
  const thick = SHELL / sheet.perMetre;
  const outline = sheet.scene.rooms[index]?.outline ?? [];
  // outlines run anticlockwise: their inside is to the left of each wall
  const same = outline.some((c, i) => {
    const d = corner(outline, i + 1);
    const onward = (d[0] - c[0]) * (b[0] - a[0]) + (d[1] - c[1]) * (b[1] - a[1]) > 0;
    return onward && onLine(a, c, d) && onLine(b, c, d);
  });
  return same ? [face - thick, face] : [face, face + thick];
}

const onLine = (p: Vec2, c: Vec2, d: Vec2): boolean => Math.abs(orientation(c, d, p)) < 1e-6 * span(c, d);

/** The room's wall that runs beside the stretch, as a distance to the left of it; null where none does. */
function faceOf(outline: Outline, { a, b }: Stretch): number | null {
  const size = span(a, b);
  const left = (p: Vec2) => orientation(a, b, p) / size;
  const along = (p: Vec2) => ((b[0] - a[0]) * (p[0] - a[0]) + (b[1] - a[1]) * (p[1] - a[1])) / size;
  const half = along(midpoint(a, b));
  const beside = outline.flatMap((c, i) => {
    const d = corner(outline, i + 1);
    const [from, to] = [Math.min(along(c), along(d)), Math.max(along(c), along(d))];
    const runsPast = from <= half && half <= to && Math.abs(left(c) - left(d)) < 0.02 * (to - from);
    return runsPast ? [(left(c) + left(d)) / 2] : [];
  });
  const [nearest] = beside.sort((x, y) => Math.abs(x) - Math.abs(y));
  return nearest !== undefined && Math.abs(nearest) <= THICKEST ? nearest : null;
}
