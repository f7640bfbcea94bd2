/** Floors, walls with their doors and windows, baffles. */
import type { Outline, Vec2 } from '../geometry.ts';
import { corner, holds, midpoint, orientation, RADIANS, signedArea, span } from '../geometry.ts';
import { FOOT } from '../plan/units.ts';
import { OUTSIDE, type Partition, type Room, type WallElement } from '../scene/scene.ts';
import { figure } from '../text.ts';
import type { Canvas, Layer, Name, Shape } from './drawing.ts';
import { closedLine, nameOf, openLine, together } from './drawing.ts';
import { area, away, between, boxAround, line, named, type Point, SHELL } from './svg.ts';

/** Walls between rooms, with their doors, windows and openings. */
export const partitions = (canvas: Canvas): Layer =>
  together(canvas.scene.partitions.map((partition) => partitionLayer(canvas, partition)));

function partitionLayer(canvas: Canvas, partition: Partition): Layer {
  const { name, stretches } = partition;
  const bodies = stretches.map((stretch) => placed(canvas, stretch, facesOf(canvas, partition, stretch)));
  const elements = together(hungElements(partition).map((one) => elementLayer(canvas, partition, one)));
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

/** Doors, windows and openings, each once: the scene has an ajar door as its leaf and its gap. */
export const hungElements = ({ elements }: Partition): WallElement[] =>
  elements.filter(({ free, state }) => !(free && state === 'ajar'));

function elementLayer(canvas: Canvas, partition: Partition, element: WallElement): Layer {
  const { kind, name, state } = element;
  const hole = holeOf(canvas, partition, element);
  const drawn = hungIn(kind, state, hole);
  const title = `${partition.name}, ${name}, ${state}`;
  const svg = named(kind, title, area('hole', hole) + drawn.svg);
  return { svg, keepOff: [closedLine(...hole), ...drawn.keepOff] };
}

/** Corners of the cut in the wall: along the face of the room it opens into, then back along the other. */
type Hole = readonly [Point, Point, Point, Point];

function holeOf(canvas: Canvas, partition: Partition, element: WallElement): Hole {
  const [low, high] = facesOf(canvas, partition, element);
  const [p, q] = strip(element, high + 0.05, 0);
  const first = canvas.scene.rooms[partition.rooms[0]]?.outline ?? [];
  const [near, far] = holds(first, ...midpoint(p, q)) ? [high, low] : [low, high];
  return placed(canvas, element, [near, far]);
}

function placed({ place }: Canvas, stretch: Stretch, faces: readonly [number, number]): Hole {
  const [a, b, c, d] = strip(stretch, ...faces);
  return [place(a), place(b), place(c), place(d)];
}

/** Drawn angle of an ajar leaf, degrees: a gap of 5 cm would not show. */
const AJAR = 20;

/** A leaf, a pane or only a lintel, closed, ajar or open. The plan does not give the hinge side. */
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

/** The arc of the leaf's end around the hinge at a, from closed (at b) into the room, away from the far face at d. */
function swungTo([a, b, d]: readonly [Point, Point, Point], degrees: number): Point[] {
  const from = Math.atan2(b[1] - a[1], b[0] - a[0]);
  const sense = orientation(a, b, d) <= 0 ? 1 : -1;
  const angle = (i: number) => from + (sense * degrees * RADIANS * i) / 12;
  return Array.from({ length: 13 }, (_, i) => away(a, angle(i), span(a, b)));
}

/** A baffle is a bar with feet at both ends; length of half a foot, mm. */
const FOOT_MARK = 1.5;
type Ends = readonly [Point, Point];

export function baffles({ scene, place }: Canvas): Layer {
  const own = scene.panels.filter(({ booth }) => booth === null);
  return together(own.map(({ name, a, b }) => baffleLayer(name, [place(a), place(b)])));
}

function baffleLayer(name: string, [a, b]: Ends): Layer {
  const at = [0.5, 0, 1, 0.25, 0.75].map((part) => between(a, b, part));
  return {
    svg: named('baffle', name, baffleMarks([a, b])),
    keepOff: [closedLine(...strip({ a, b }, FOOT_MARK, -FOOT_MARK))],
    names: [nameOf('baffle', name, at, FOOT_MARK)],
  };
}

export function baffleMarks([a, b]: Ends): string {
  const [p, q, r, s] = strip({ a, b }, FOOT_MARK, -FOOT_MARK);
  return area('baffle', strip({ a, b }, 0.45, -0.45)) + line('foot', [p, s]) + line('foot', [q, r]);
}

type Stretch = { readonly a: Vec2; readonly b: Vec2 };

/** Corners of a strip along a stretch, between two distances to its left (on the page, y downward, to its right). */
function strip({ a, b }: Stretch, from: number, to: number): Hole {
  const length = span(a, b) || 1;
  const [dx, dy] = [(b[0] - a[0]) / length, (b[1] - a[1]) / length];
  const off = ([x, y]: Vec2, by: number): Vec2 => [x - dy * by, y + dx * by];
  return [off(a, from), off(b, from), off(b, to), off(a, to)];
}

/** Floors and outer walls, whose thickness the plan does not give. `notes` go under the rooms' names, in order, on a level map. */
export function floors(canvas: Canvas, notes: readonly string[] | null): Layer {
  const { scene } = canvas;
  const outlines = scene.rooms.map((room) => room.outline.map(canvas.place));
  const depth = scene.rooms.map((_, i) => depthOf(scene.rooms, i));
  const depths = [...new Set(depth)].sort((a, b) => a - b);
  const svg = depths.map((level) => {
    const here = scene.rooms.filter((_, i) => depth[i] === level);
    const walls = here.map(({ outline }) => area('shell', outline.map(canvas.place))).join('');
    const floor = ({ name, outline }: Room) => named('room', name, area('floor', outline.map(canvas.place)));
    return `${walls}\n${here.map(floor).join('')}`;
  });
  // the shell outside the floor: a strip along each wall, as outlines run anticlockwise
  const outside = (outline: readonly Point[]): Shape[] =>
    outline.map((a, i) => closedLine(...strip({ a, b: corner(outline, i + 1) }, 0, SHELL)));
  return {
    svg: svg.join(''),
    keepOff: outlines.flatMap((outline) => [openLine(...outline, outline[0] as Point), ...outside(outline)]),
    names: scene.rooms.map((_, i) => roomName(canvas, i, notes)),
  };
}

/** Number of rooms it is inside. */
export function depthOf(all: readonly Room[], index: number): number {
  const host = all[index]?.host ?? null;
  return host === null ? 0 : 1 + depthOf(all, host);
}

/** Places for a name across and down, as fractions of the room: corners first. */
const ACROSS = [0.14, 0.86, 0.5, 0.3, 0.7];
const DOWN = [0.12, 0.88, 0.5, 0.3, 0.7, 0.2, 0.8, 0.4, 0.6];

function roomName({ units, scene, place }: Canvas, index: number, notes: readonly string[] | null): Name {
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

/** Smallest drawn thickness of a wall, mm. */
const LEAST = 0.6;
/** Walls up to this far apart, m, are the two faces of one wall, as in the plan format. */
const THICKEST = 0.4;

/** Distance of each face of the wall to the left of the stretch a–b, m. */
function facesOf(canvas: Canvas, { rooms }: Partition, stretch: Stretch): readonly [number, number] {
  const known = rooms.flatMap((index) => faceOf(canvas.scene.rooms[index]?.outline ?? [], stretch) ?? []);
  const [one = 0, other = one] = known;
  const [low, high] = [Math.min(one, other), Math.max(one, other)];
  const least = LEAST / canvas.perMetre;
  if (rooms[1] === OUTSIDE) return outward(canvas, rooms[0], stretch, low);
  if (high - low >= least) return [low, high];
  return [(low + high - least) / 2, (low + high + least) / 2];
}

function outward(canvas: Canvas, index: number, { a, b }: Stretch, face: number): readonly [number, number] {
  const thick = SHELL / canvas.perMetre;
  const outline = canvas.scene.rooms[index]?.outline ?? [];
  // outlines run anticlockwise: their inside is to the left of each wall
  const same = outline.some((c, i) => {
    const d = corner(outline, i + 1);
    const onward = (d[0] - c[0]) * (b[0] - a[0]) + (d[1] - c[1]) * (b[1] - a[1]) > 0;
    return onward && onLine(a, c, d) && onLine(b, c, d);
  });
  return same ? [face - thick, face] : [face, face + thick];
}

const onLine = (p: Vec2, c: Vec2, d: Vec2): boolean => Math.abs(orientation(c, d, p)) < 1e-6 * span(c, d);

/** Distance to the left of the stretch of the room's wall beside it; null without one. */
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
