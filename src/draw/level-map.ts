/** Level of sources over the floor: a grid of omnidirectional probes at ear height, its steps and contours. */
import { contours } from 'd3-contour';
import { BAND_COUNT, decibels, sameInAllBands } from '../acoustics/bands.ts';
import { holds, span, type Vec2 } from '../geometry.ts';
import type { Capsule, Room, Scene } from '../scene/scene.ts';
import { figure } from '../text.ts';
import type { PreparedScene } from '../transfer/prepared-scene.ts';
import { energyAt, transferOn } from '../transfer/transfer.ts';
import { type Canvas, type Layer, type Name, nameOf, together } from './drawing.ts';
import { depthOf } from './room.ts';
import { area, between, boxAround, mark, mm, type Point, trace } from './svg.ts';

type LevelGrid = {
  readonly room: number;
  readonly columns: number;
  readonly rows: number;
  /** Width of a cell, m. */
  readonly cell: number;
  /** Centre of a cell, m. */
  readonly at: (column: number, row: number) => Vec2;
  /** dB re 20 µPa over all octaves, by row; null outside the room and where no sound arrives. */
  readonly levels: readonly (number | null)[];
};

export const STEP = 3;
const SHADES = 8;

/** Lower ends of the shades, softest first; anything softer takes the first. */
export function stepsOf(grids: readonly LevelGrid[]): number[] {
  const sorted = grids.flatMap(({ levels }) => levels.flatMap((level) => level ?? [])).sort((a, b) => a - b);
  if (sorted.length === 0) return [];
  // not the loudest 1.5%: the few cells at a source would take all the shades
  const loudest = Math.floor((sorted[Math.floor(0.985 * (sorted.length - 1))] as number) / STEP) * STEP;
  const softest = Math.floor((sorted[0] as number) / STEP) * STEP;
  const lowest = Math.max(softest, loudest - (SHADES - 1) * STEP);
  return Array.from({ length: (loudest - lowest) / STEP + 1 }, (_, i) => lowest + i * STEP);
}

/** Softest to loudest level in a room, in words. */
export function rangeOf({ levels }: LevelGrid): string {
  const known = levels.flatMap((level) => level ?? []);
  if (known.length === 0) return 'no sound here';
  const [low, high] = [Math.min(...known), Math.max(...known)].map((level) => figure(level, 0));
  return low === high ? `${low} dB` : `${low} to ${high} dB`;
}

/** Few steps use shades further apart. */
export const shadeOf = (step: number, steps: number): number =>
  steps > 1 ? Math.round((step * (SHADES - 1)) / (steps - 1)) : 0;

export const levelMap = (canvas: Canvas, grids: readonly LevelGrid[], steps: readonly number[]): Layer =>
  // a booth's floor is drawn over its host's
  together(
    grids
      .toSorted((a, b) => depthOf(canvas.scene.rooms, a.room) - depthOf(canvas.scene.rooms, b.room))
      .map((grid) => roomLayer(canvas, grid, steps)),
  );

function roomLayer(canvas: Canvas, grid: LevelGrid, steps: readonly number[]): Layer {
  const room = canvas.scene.rooms[grid.room];
  if (!room || grid.levels.every((level) => level === null)) return { svg: '', keepOff: [] };
  const outline = room.outline.map(canvas.place);
  const clip = `floor-${grid.room}`;
  const floor = mark('path', { d: `${trace(outline)}Z` });
  const field = fieldOf(grid);
  const drawn = steps.map((step, i) => {
    const nodes = loopsAt(field, step);
    const loops = nodes.map((loop) => loop.map(([x, y]) => canvas.place(grid.at(x - RIM, y - RIM))));
    const d = loops.map(smooth).join('');
    const svg = d === '' ? '' : mark('path', { class: `level shade-${shadeOf(i, steps.length)}`, d });
    return { loops, step, svg };
  });
  const shades = area('level shade-0', outline) + drawn.map(({ svg }) => svg).join('\n');
  const lines = drawn.slice(1);
  return {
    svg: `${mark('clipPath', { id: clip }, floor)}${mark('g', { 'clip-path': `url(#${clip})` }, shades)}\n`,
    keepOff: lines.flatMap(({ loops }) => loops.map((points) => ({ points, closed: true, soft: true }))),
    names: lines.flatMap(({ loops, step }) => contourName(outline, loops, step) ?? []),
  };
}

/** A loop through the midpoints of its sides, corners rounded: at most a quarter of a cell off. */
function smooth(loop: readonly Point[]): string {
  const middles = loop.map((point, i) => between(point, loop[(i + 1) % loop.length] as Point, 0.5));
  const [x, y] = middles.at(-1) as Point;
  const bows = loop.map(([cx, cy], i) => {
    const [mx, my] = middles[i] as Point;
    return `Q${mm(cx)} ${mm(cy)} ${mm(mx)} ${mm(my)}`;
  });
  return `M${mm(x)} ${mm(y)}${bows.join('')}Z`;
}

/** Rings of cells around the grid that continue its edge, so that contours reach the walls. */
const CONTINUED = 2;
const RIM = CONTINUED + 1;

/** The grid with its rings, values by row. */
function fieldOf({ columns, rows, levels }: LevelGrid) {
  const [wide, high] = [columns + 2 * RIM, rows + 2 * RIM];
  let values = Array.from({ length: wide * high }, (_, i): number | null => {
    const [column, row] = [(i % wide) - RIM, Math.floor(i / wide) - RIM];
    const within = column >= 0 && column < columns && row >= 0 && row < rows;
    return within ? (levels[row * columns + column] ?? null) : null;
  });
  for (let ring = 0; ring < CONTINUED; ring++)
    values = values.map((value, i) => value ?? beside(values, i, wide));
  return { columns: wide, rows: high, values: Float64Array.from(values, (value) => value ?? -1000) };
}

/** Mean of the known neighbours; null without any. */
function beside(values: readonly (number | null)[], i: number, wide: number): number | null {
  const rows = [-wide, 0, wide];
  const known = rows.flatMap((row) => [-1, 0, 1].flatMap((column) => values[i + row + column] ?? []));
  return known.length > 0 ? known.reduce((sum, value) => sum + value, 0) / known.length : null;
}

/** A level on the longest contour of at least 18 mm, at one of two dozen places along it. */
function contourName(outline: readonly Point[], loops: readonly Point[][], step: number): Name | null {
  const longest = loops.toSorted((a, b) => lengthOf(b) - lengthOf(a))[0];
  if (!longest || lengthOf(longest) < 18) return null;
  const every = Math.max(1, Math.floor(longest.length / 24));
  const spots = longest.filter(([x, y], i) => i % every === 0 && holds(outline, x, y));
  return spots.length === 0 ? null : nameOf('contour', String(step), spots, 0);
}

const lengthOf = (loop: readonly Point[]): number =>
  loop.reduce((sum, point, i) => sum + span(point, loop[(i + 1) % loop.length] as Point), 0);

type Field = ReturnType<typeof fieldOf>;

/** Rings around values of at least `height`, in columns and rows; outside the field all is below it. */
export function loopsAt({ columns, rows, values }: Field, height: number): Vec2[][] {
  const { coordinates } = contours()
    .size([columns, rows])
    .contour([...values], height);
  return coordinates.flat().map((ring) => ring.slice(1).map(([x = 0, y = 0]): Vec2 => [x - 0.5, y - 0.5]));
}

/** Height of the probes above the floor, m. */
export const PROBE_HEIGHT = 1.2;
/** Width of a cell, m, or wider to limit their number. */
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
  const { left, top: low, right, bottom: high } = boxAround(room.outline);
  const [width, depth] = [right - left, high - low];
  const cell = Math.max(CELL, Math.sqrt((width * depth) / MOST_CELLS));
  const [columns, rows] = [Math.max(2, Math.round(width / cell)), Math.max(2, Math.round(depth / cell))];
  const at = (column: number, row: number): Vec2 => [
    left + ((column + 0.5) / columns) * width,
    low + ((row + 0.5) / rows) * depth,
  ];
  const cells = Array.from({ length: columns * rows }, (_, i) => at(i % columns, Math.floor(i / columns)));
  const inBooth = ([x, y]: Vec2) => rooms.some(({ host, outline }) => host === index && holds(outline, x, y));
  const inside = cells.map(([x, y]) => holds(room.outline, x, y) && !inBooth([x, y]));
  const places = cells.filter((_, i) => inside[i]);
  const heard = levelsAt(prepared, index, places).values();
  const levels = inside.map((is) => (is ? (heard.next().value ?? null) : null));
  return { room: index, columns, rows, cell, at, levels };
}

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
