/** The level of a source over the floor: a grid of probes, its steps and contours. */

import { contours } from 'd3-contour';
import { BAND_COUNT, decibels, sameInAllBands } from '../acoustics/bands.ts';
import { holds, span, type Vec2 } from '../geometry.ts';
import { lengthsIn } from '../plan/units.ts';
import type { Capsule, Room, Scene } from '../scene/scene.ts';
import { figure } from '../text.ts';
import type { PreparedScene } from '../transfer/prepared-scene.ts';
import { energyAt, transferOn } from '../transfer/transfer.ts';
import { allLines, worstLines } from './bleed.ts';
import {
  type Asked,
  emptyLayer,
  hears,
  type Layer,
  type LevelGrid,
  type Name,
  type Sheet,
  type Told,
  tally,
  together,
  type View,
  WORDS,
  wordsFor,
} from './drawing.ts';
import { holdsPoint } from './labels.ts';
import { depthOf } from './room.ts';
import { between, mark, mm, type Point, trace } from './svg.ts';

// What is asked of the drawing, made ready: which lines it shows, which levels, in which words.
export function viewOf(told: Told, { band, mic, level }: Asked): View {
  const grids = level ? levelGrids(told.result.prepared, level.sources) : [];
  const height = lengthsIn(told.units).size(PROBE_HEIGHT);
  const title = level ? `Level of ${level.name} ${height} above the floor, all octaves` : '';
  return {
    band,
    subtitle:
      mic || level ? [mic ? hears(mic) : '', title].filter((text) => text !== '').join('. ') : tally(told),
    only: mic === null ? null : (mic.pair ?? mic.name),
    lines: mic ? allLines(told, mic) : level ? [] : worstLines(told),
    bleedHeading: mic ? 'What it hears' : 'Loudest bleed',
    words: mic ? wordsFor(mic) : WORDS,
    level: level ? { title: `Level of ${level.name}`, grids, steps: stepsOf(grids) } : null,
  };
}

export const STEP = 3;

const SHADES = 8;

/** The steps of a map: the lowest of each shade, softest first. No more than there are shades; what is softer takes the first. */
function stepsOf(grids: readonly LevelGrid[]): number[] {
  const levels = grids.flatMap(({ levels: all }) => all.flatMap((level) => level ?? []));
  if (levels.length === 0) return [];
  // the few cells right at a source would take all the shades
  const sorted = [...levels].sort((a, b) => a - b);
  const loudest = Math.floor((sorted[Math.floor(0.985 * (sorted.length - 1))] as number) / STEP) * STEP;
  const softest = Math.floor((sorted[0] as number) / STEP) * STEP;
  const lowest = Math.max(softest, loudest - (SHADES - 1) * STEP);
  return Array.from({ length: (loudest - lowest) / STEP + 1 }, (_, i) => lowest + i * STEP);
}

/** From the softest to the loudest place of a room, in words. */
export function rangeOf({ levels }: LevelGrid): string {
  const known = levels.flatMap((level) => level ?? []);
  if (known.length === 0) return 'nothing gets here';
  const [low, high] = [Math.min(...known), Math.max(...known)].map((level) => figure(level, 0));
  return low === high ? `${low} dB` : `${low} to ${high} dB`;
}

/** Of a few steps the shades lie further apart. */
export const shadeOf = (step: number, steps: number): number =>
  steps > 1 ? Math.round((step * (SHADES - 1)) / (steps - 1)) : 0;

export const levelMap = (sheet: Sheet, grids: readonly LevelGrid[], steps: readonly number[]): Layer =>
  together(hostsFirst(sheet, grids).map((grid) => roomLayer(sheet, grid, steps)));

/** A booth's floor lies on its host's. */
function hostsFirst({ scene }: Sheet, grids: readonly LevelGrid[]): LevelGrid[] {
  return [...grids].sort((a, b) => depthOf(scene.rooms, a.room) - depthOf(scene.rooms, b.room));
}

function roomLayer(sheet: Sheet, grid: LevelGrid, steps: readonly number[]): Layer {
  const room = sheet.scene.rooms[grid.room];
  if (!room || grid.levels.every((level) => level === null)) return emptyLayer;
  const clip = `floor-${grid.room}`;
  const floor = mark('path', { d: `${trace(room.outline.map(sheet.place))}Z` });
  const field = fieldOf(grid);
  const drawn = steps.map((step, i) => {
    const shade = shadeOf(i, steps.length);
    const loops = loopsAt(field, step).map((loop) => loop.map((node) => onPage(sheet, grid, node)));
    const d = loops.map(smooth).join('');
    return { loops, step, svg: d === '' ? '' : mark('path', { class: `level shade-${shade}`, d }) };
  });
  const base = mark('path', { class: 'level shade-0', d: `${trace(room.outline.map(sheet.place))}Z` });
  const shades = base + drawn.map(({ svg }) => svg).join('\n');
  return {
    svg: `${mark('clipPath', { id: clip }, floor)}${mark('g', { 'clip-path': `url(#${clip})` }, shades)}\n`,
    keepOff: drawn
      .slice(1)
      .flatMap(({ loops }) => loops.map((points) => ({ points, closed: true, soft: true }))),
    names: drawn.slice(1).flatMap(({ loops, step }) => figureOf(sheet, grid, loops, step) ?? []),
  };
}

/** A loop through the middles of its stretches, its corners rounded: never further off it than a quarter of a cell. */
function smooth(loop: readonly Point[]): string {
  const middles = loop.map((point, i) => between(point, loop[(i + 1) % loop.length] as Point, 0.5));
  const [x, y] = middles.at(-1) as Point;
  const bows = loop.map(([cx, cy], i) => {
    const [mx, my] = middles[i] as Point;
    return `Q${mm(cx)} ${mm(cy)} ${mm(mx)} ${mm(my)}`;
  });
  return `M${mm(x)} ${mm(y)}${bows.join('')}Z`;
}

/** Rings of cells about the grid: what lies outside the room continues what is next to it, so that lines reach the walls. */
const CONTINUED = 2;

const RIM = CONTINUED + 1;

const NOTHING = -1000;

function fieldOf({ columns, rows, levels }: LevelGrid): Field {
  const [wide, high] = [columns + 2 * RIM, rows + 2 * RIM];
  let values = Array.from({ length: wide * high }, (_, i): number | null => {
    const [column, row] = [(i % wide) - RIM, Math.floor(i / wide) - RIM];
    const within = column >= 0 && column < columns && row >= 0 && row < rows;
    return within ? (levels[row * columns + column] ?? null) : null;
  });
  for (let ring = 0; ring < CONTINUED; ring++)
    values = values.map((value, i) => value ?? beside(values, i, wide));
  return { columns: wide, rows: high, values: Float64Array.from(values, (value) => value ?? NOTHING) };
}

/** Mean of the known neighbours; null without any. */
function beside(values: readonly (number | null)[], i: number, wide: number): number | null {
  const rows = [-wide, 0, wide];
  const known = rows.flatMap((row) => [-1, 0, 1].flatMap((column) => values[i + row + column] ?? []));
  return known.length > 0 ? known.reduce((sum, value) => sum + value, 0) / known.length : null;
}

const onPage = ({ place }: Sheet, grid: LevelGrid, [x, y]: readonly [number, number]): Point =>
  place(grid.at(x - RIM, y - RIM));

/** Shortest line that gets a figure, mm, and how many places along it are tried. */
const LEAST = 18;

const SPOTS = 24;

function figureOf(
  sheet: Sheet,
  { room }: LevelGrid,
  loops: readonly (readonly Point[])[],
  step: number,
): Name | null {
  const around = sheet.scene.rooms[room]?.outline.map(sheet.place) ?? [];
  const longest = [...loops].sort((a, b) => lengthOf(b) - lengthOf(a))[0];
  if (!longest || lengthOf(longest) < LEAST) return null;
  const every = Math.max(1, Math.floor(longest.length / SPOTS));
  const spots = longest.filter((point, i) => i % every === 0 && holdsPoint(around, point));
  if (spots.length === 0) return null;
  return { text: String(step), note: null, noteKind: '', kind: 'contour', at: spots, reach: 0 };
}

const lengthOf = (loop: readonly Point[]): number =>
  loop.reduce((sum, point, i) => sum + span(point, loop[(i + 1) % loop.length] as Point), 0);

// Lines of one height through a grid of values, as closed loops round what is at least as high.

type Field = {
  readonly columns: number;
  readonly rows: number;
  /** Packed by row. */
  readonly values: Float64Array;
};

type Node = readonly [number, number];

/** Rings around what is at least `height`, in units of columns and rows; below it outside the field. */
export function loopsAt({ columns, rows, values }: Field, height: number): Node[][] {
  const { coordinates } = contours()
    .size([columns, rows])
    .contour([...values], height);
  return coordinates.flat().map((ring) => ring.slice(1).map(([x = 0, y = 0]): Node => [x - 0.5, y - 0.5]));
}

// The level of some sources over the floor of a room: omnidirectional probes at ear height, by the same way as every microphone.

/** Of the probes above the floor, m. */
const PROBE_HEIGHT = 1.2;

/** Cells are this wide, m, or as much wider as keeps a room to so many. */
const CELL = 0.2;

const MOST_CELLS = 1600;

/** A grid over each room. */
export function levelGrids(prepared: PreparedScene, sources: readonly number[]): LevelGrid[] {
  const sounding = prepared.emitters.filter((_, i) => sources.includes(i));
  const scene = { ...prepared.scene, sources: prepared.scene.sources.filter((_, i) => sources.includes(i)) };
  return scene.rooms.map((_, room) => gridOf({ ...prepared, scene, emitters: sounding }, room));
}

function gridOf(prepared: PreparedScene, index: number): LevelGrid {
  const { rooms } = prepared.scene;
  const room = rooms[index] as Room;
  const [xs, ys] = [room.outline.map(([x]) => x), room.outline.map(([, y]) => y)];
  const [left, bottom] = [Math.min(...xs), Math.min(...ys)];
  const [width, depth] = [Math.max(...xs) - left, Math.max(...ys) - bottom];
  const cell = Math.max(CELL, Math.sqrt((width * depth) / MOST_CELLS));
  const [columns, rows] = [Math.max(2, Math.round(width / cell)), Math.max(2, Math.round(depth / cell))];
  const at = (column: number, row: number): Vec2 => [
    left + ((column + 0.5) / columns) * width,
    bottom + ((row + 0.5) / rows) * depth,
  ];
  const cells = Array.from({ length: columns * rows }, (_, i) => at(i % columns, Math.floor(i / columns)));
  const inside = cells.map(([x, y]) => holds(room.outline, x, y) && !inBooth(rooms, index, [x, y]));
  const heard = levelsAt(
    prepared,
    index,
    cells.filter((_, i) => inside[i]),
  );
  let next = 0;
  const levels = inside.map((is) => (is ? (heard[next++] ?? null) : null));
  return { room: index, columns, rows, cell, at, levels };
}

const inBooth = (rooms: readonly Room[], index: number, [x, y]: Vec2): boolean =>
  rooms.some(({ host, outline }) => host === index && holds(outline, x, y));

function levelsAt(prepared: PreparedScene, room: number, places: readonly Vec2[]): (number | null)[] {
  const { floor, ceiling } = prepared.scene.rooms[room] as Room;
  const height = Math.min(floor + PROBE_HEIGHT, (floor + ceiling) / 2);
  const capsules = places.map(([x, y]) => probe([x, y, height], room));
  const scene: Scene = { ...prepared.scene, capsules };
  const result = transferOn({ ...prepared, scene });
  return capsules.map((_, capsule) => {
    let sum = 0;
    for (let source = 0; source < scene.sources.length; source++)
      for (let band = 0; band < BAND_COUNT; band++) sum += energyAt(result, source, capsule, band);
    return sum > 0 ? decibels(sum) : null;
  });
}

const probe = (at: Capsule['at'], room: number): Capsule => ({
  name: 'probe',
  mic: -1,
  at,
  aim: [0, 0, 1],
  room,
  pattern: { name: 'omni', a: sameInAllBands(1), table: null },
  nullFloor: sameInAllBands(0),
  proximity: false,
  ree: sameInAllBands(1),
});
