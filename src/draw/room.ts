/** Floors, walls, doors, screens. */

import { corner, holds, midpoint, orientation, signedArea, span, type Vec2 } from '../geometry.ts';
import { FOOT } from '../plan/units.ts';
import { OUTSIDE, type Panel, type Partition, type Room, type WallElement } from '../scene/scene.ts';
import { figure } from '../text.ts';
import { closedLine, type Layer, type Name, openLine, type Shape, type Sheet, together } from './drawing.ts';
import { holdsPoint } from './labels.ts';
import { area, between, boxAround, line, named, type Point, SHELL } from './svg.ts';

// Walls between rooms, as thick as the plan leaves them, with all that is let into them.
export const partitions = (sheet: Sheet): Layer =>
  together(sheet.scene.partitions.map((partition) => partitionLayer(sheet, partition)));

function partitionLayer(sheet: Sheet, partition: Partition): Layer {
  const bodies = partition.stretches.map((stretch) => partitionBody(sheet, partition, stretch));
  const elements = wallElements(sheet, partition);
  const longest = [...bodies].sort((a, b) => b.length - a.length)[0];
  return {
    svg: named(
      'partition',
      partition.name,
      bodies.map(({ corners }) => area('wall', corners)).join('') + elements.svg,
    ),
    keepOff: [...bodies.map(({ corners }) => closedLine(...corners)), ...elements.keepOff],
    names: longest
      ? [
          {
            text: partition.name,
            note: null,
            noteKind: 'faint',
            kind: 'wall',
            at: longest.spots,
            reach: longest.thickness / 2,
          },
        ]
      : [],
  };
}

// Doors, windows and openings as they stand: shut, ajar, open. On which side a leaf hangs the plan does not say.

/** How far a leaf that stands ajar is drawn open, degrees: its slit of 5 cm would not show. */
const AJAR = 20;

const OPEN = 90;

const ARC_STEPS = 12;

/** Each once: an ajar door is two in the scene, its leaf and its slit. */
function wallElements(sheet: Sheet, partition: Partition): Layer {
  const leaves = partition.elements.filter(({ free, state }) => !(free && state === 'ajar'));
  return together(leaves.map((element) => elementLayer(sheet, partition, element)));
}

function elementLayer(sheet: Sheet, partition: Partition, element: WallElement): Layer {
  const hole = holeOf(sheet, partition, element);
  const drawn = hungIn(element.kind, element.state, hole);
  const title = `${partition.name}, ${element.name}, ${element.state}`;
  return {
    svg: named(element.kind, title, area('hole', hole) + drawn.svg),
    keepOff: [closedLine(...hole), ...drawn.shapes],
    names: [],
  };
}

/** Corners of the cut in the wall: along the face of the room it opens into, and back along the other one. */
type Hole = readonly [Point, Point, Point, Point];

function holeOf(sheet: Sheet, partition: Partition, element: WallElement): Hole {
  const { a, b } = element;
  const width = span(a, b);
  const square: Vec2 = [-(b[1] - a[1]) / width, (b[0] - a[0]) / width];
  const shifted = ([x, y]: Vec2, by: number): Vec2 => [x + square[0] * by, y + square[1] * by];
  const [low, high] = facesOf(sheet, partition, element);
  const [x, y] = shifted(midpoint(a, b), high + 0.05);
  const first = sheet.scene.rooms[partition.rooms[0]]?.outline ?? [];
  const [near, far] = holds(first, x, y) ? [high, low] : [low, high];
  const at = (p: Vec2, by: number) => sheet.place(shifted(p, by));
  return [at(a, near), at(b, near), at(b, far), at(a, far)];
}

type Drawn = { readonly svg: string; readonly shapes: readonly Shape[] };

/** What hangs in a cut: a leaf, a pane, nothing but the lintel over it. */
export function hungIn(kind: WallElement['kind'], state: WallElement['state'], hole: Hole): Drawn {
  const [a, b, c, d] = hole;
  if (kind === 'opening')
    return { svg: line('lintel', [a, b]) + line('lintel', [d, c]) + jambs(hole), shapes: [] };
  const leaf = kind === 'window' ? 'pane' : 'leaf';
  if (state === 'closed') {
    const shut = [between(a, d, 0.5), between(b, c, 0.5)];
    const faces = kind === 'window' ? line('sill', [a, b]) + line('sill', [d, c]) : '';
    return { svg: faces + line(leaf, shut) + jambs(hole), shapes: [] };
  }
  const swing = swungTo([a, b, d], state === 'ajar' ? AJAR : OPEN);
  const tip = swing.at(-1) as Point;
  return {
    svg: line('swing', swing) + line(leaf, [a, tip]) + jambs(hole),
    shapes: [openLine(a, tip), openLine(...swing)],
  };
}

const jambs = ([a, b, c, d]: Hole): string => line('jamb', [a, d]) + line('jamb', [b, c]);

/** The way of the leaf's end about the hinge at a, from shut (at b) into the room, away from the far face at d. */
function swungTo([a, b, d]: readonly [Point, Point, Point], degrees: number): Point[] {
  const width = span(a, b);
  const along: Point = [(b[0] - a[0]) / width, (b[1] - a[1]) / width];
  const side = (a[0] - d[0]) * -along[1] + (a[1] - d[1]) * along[0] >= 0 ? 1 : -1;
  const into: Point = [-along[1] * side, along[0] * side];
  return Array.from({ length: ARC_STEPS + 1 }, (_, i): Point => {
    const angle = (degrees * Math.PI * i) / (180 * ARC_STEPS);
    return [
      a[0] + width * (Math.cos(angle) * along[0] + Math.sin(angle) * into[0]),
      a[1] + width * (Math.cos(angle) * along[1] + Math.sin(angle) * into[1]),
    ];
  });
}

// Baffles: a bar as long as the panel, with feet at both ends. Walls of booths are panels too, and drawn as walls.

/** Half the drawn thickness, and how far a foot stands out, mm. */
const HALF = 0.45;

const FOOT_MARK = 1.5;

export function screens(sheet: Sheet): Layer {
  const own = sheet.scene.panels.filter(({ booth }) => booth === null);
  return together(own.map((panel) => screenLayer(panel, [sheet.place(panel.a), sheet.place(panel.b)])));
}

function screenLayer({ name }: Panel, ends: readonly [Point, Point]): Layer {
  return {
    svg: named('baffle', name, screenMarks(ends)),
    keepOff: [closedLine(...bar(ends, FOOT_MARK))],
    names: [baffleName(name, ends)],
  };
}

export function screenMarks(ends: readonly [Point, Point]): string {
  const feet = footings(ends).map((foot) => line('foot', foot));
  return area('screen', bar(ends, HALF)) + feet.join('');
}

function baffleName(text: string, [a, b]: readonly [Point, Point]): Name {
  const at = [0.5, 0, 1, 0.25, 0.75].map((part) => between(a, b, part));
  return { text, note: null, noteKind: '', kind: 'screen', at, reach: FOOT_MARK };
}

function bar([a, b]: readonly [Point, Point], half: number): Point[] {
  const [x, y] = squareTo(a, b, half);
  return [
    [a[0] + x, a[1] + y],
    [b[0] + x, b[1] + y],
    [b[0] - x, b[1] - y],
    [a[0] - x, a[1] - y],
  ];
}

function footings([a, b]: readonly [Point, Point]): Point[][] {
  const [x, y] = squareTo(a, b, FOOT_MARK);
  return [a, b].map((end) => [
    [end[0] + x, end[1] + y],
    [end[0] - x, end[1] - y],
  ]);
}

function squareTo(a: Point, b: Point, by: number): Point {
  const length = span(a, b) || 1;
  return [(-(b[1] - a[1]) * by) / length, ((b[0] - a[0]) * by) / length];
}

// Rooms: floors and the walls round them. A plan gives the inner faces of walls; how thick an outer one is it does not say.

/** `notes` stand under the names of the rooms, in their order, where a level is shown. */
export function floors(sheet: Sheet, notes: readonly string[] | null): Layer {
  const { scene } = sheet;
  const outlines = scene.rooms.map((room) => room.outline.map(sheet.place));
  const depth = scene.rooms.map((_, i) => depthOf(scene.rooms, i));
  const depths = [...new Set(depth)].sort((a, b) => a - b);
  const svg = depths.map((level) => {
    const here = [...outlines.keys()].filter((i) => depth[i] === level);
    const walls = here.map((i) => area('shell', outlines[i] as Point[])).join('');
    const floors = here.map((i) =>
      named('room', scene.rooms[i]?.name ?? '', area('floor', outlines[i] as Point[])),
    );
    return `${walls}\n${floors.join('')}`;
  });
  return {
    svg: svg.join(''),
    keepOff: outlines.flatMap((outline) => [openLine(...outline, outline[0] as Point), ...outside(outline)]),
    names: outlines.map((outline, i) => nameOf(i, outline, sheet, notes)),
  };
}

/** What the shell takes up outside the floor: a strip along each wall. Outlines run anticlockwise. */
function outside(outline: readonly Point[]): Shape[] {
  return outline.map((a, i) => {
    const b = outline[(i + 1) % outline.length] as Point;
    const length = span(a, b) || 1;
    const [x, y] = [(-(b[1] - a[1]) * SHELL) / length, ((b[0] - a[0]) * SHELL) / length];
    return closedLine(a, b, [b[0] + x, b[1] + y], [a[0] + x, a[1] + y]);
  });
}

/** In how many other rooms it stands. */
export function depthOf(all: readonly Room[], index: number): number {
  const host = all[index]?.host ?? null;
  return host === null ? 0 : 1 + depthOf(all, host);
}

/** Places for a name, across and down, in parts of the room's extent: corners first, the middle last. */
const ACROSS = [0.14, 0.86, 0.5, 0.3, 0.7];

const DOWN = [0.12, 0.88, 0.5, 0.3, 0.7, 0.2, 0.8, 0.4, 0.6];

function nameOf(
  index: number,
  outline: readonly Point[],
  { units, scene, place }: Sheet,
  notes: readonly string[] | null,
): Name {
  const room = scene.rooms[index] as Room;
  const { left, top, right, bottom } = boxAround(outline);
  const spots = DOWN.flatMap((y) =>
    ACROSS.map((x): Point => [left + x * (right - left), top + y * (bottom - top)]),
  );
  const booths = scene.rooms.filter(({ host }) => host === index).map((booth) => booth.outline.map(place));
  const foot = units === 'ft' ? FOOT : 1;
  const size = figure(signedArea(room.outline) / foot ** 2, units === 'ft' ? 0 : 1);
  const height = figure((room.ceiling - room.floor) / foot, 1);
  return {
    text: room.name,
    note: notes?.[index] ?? `${size} ${units}², ${height} ${units} high`,
    noteKind: 'faint',
    kind: 'room',
    at: spots.filter((spot) => holdsPoint(outline, spot) && !booths.some((booth) => holdsPoint(booth, spot))),
    reach: 0,
  };
}

// The body of a partition between the two faces that its rooms have of it.

const LEAST = 0.6;

/** Walls up to this far apart, m, are the two faces of one, as the plan format has it. */
const THICKEST = 0.4;

type Body = {
  readonly corners: readonly Point[];
  /** Points along its middle at which its name may hang. */
  readonly spots: readonly Point[];
  readonly length: number;
  readonly thickness: number;
};

type Stretch = { readonly a: Vec2; readonly b: Vec2 };

function partitionBody(sheet: Sheet, partition: Partition, { a, b }: Stretch): Body {
  const [from, to] = facesOf(sheet, partition, { a, b });
  const along: Vec2 = [(b[0] - a[0]) / span(a, b), (b[1] - a[1]) / span(a, b)];
  const square: Vec2 = [-along[1], along[0]];
  const shifted = ([x, y]: Vec2, by: number): Point => sheet.place([x + square[0] * by, y + square[1] * by]);
  const middle = (from + to) / 2;
  const ends = [shifted(a, middle), shifted(b, middle)] as const;
  return {
    corners: [shifted(a, from), shifted(b, from), shifted(b, to), shifted(a, to)],
    spots: [0.5, 0.2, 0.8, 0.35, 0.65, 0.08, 0.92].map((part) => between(ends[0], ends[1], part)),
    length: span(ends[0], ends[1]),
    thickness: Math.abs(to - from) * sheet.perMetre,
  };
}

/** How far to the left of the stretch a–b each face of the wall lies, m. */
function facesOf(sheet: Sheet, { rooms }: Partition, stretch: Stretch): readonly [number, number] {
  const known = rooms.flatMap((index) => {
    const room = sheet.scene.rooms[index];
    return room ? (faceOf(room, stretch) ?? []) : [];
  });
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
    return (
      onLine(a, c, d) && onLine(b, c, d) && (d[0] - c[0]) * (b[0] - a[0]) + (d[1] - c[1]) * (b[1] - a[1]) > 0
    );
  });
  return same ? [face - thick, face] : [face, face + thick];
}

const onLine = (p: Vec2, c: Vec2, d: Vec2): boolean => Math.abs(orientation(c, d, p)) < 1e-6 * span(c, d);

/** The room's wall that runs beside the stretch, as a distance to the left of it; null where none does. */
function faceOf({ outline }: Room, { a, b }: Stretch): number | null {
  const size = span(a, b);
  const middle = midpoint(a, b);
  const left = (p: Vec2) => orientation(a, b, p) / size;
  const along = (p: Vec2) => ((b[0] - a[0]) * (p[0] - a[0]) + (b[1] - a[1]) * (p[1] - a[1])) / size;
  const beside = outline.flatMap((c, i) => {
    const d = corner(outline, i + 1);
    const [from, to] = [along(c), along(d)].sort((x, y) => x - y) as [number, number];
    const runsPast =
      from <= along(middle) && along(middle) <= to && Math.abs(left(c) - left(d)) < 0.02 * (to - from);
    return runsPast ? [(left(c) + left(d)) / 2] : [];
  });
  const [nearest] = beside.sort((x, y) => Math.abs(x) - Math.abs(y));
  return nearest !== undefined && Math.abs(nearest) <= THICKEST ? nearest : null;
}
