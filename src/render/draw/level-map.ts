/** The floor shaded by level in steps of 3 dB, with a line and a figure at every step. */

import { figure } from '../words.ts';
import { holdsPoint } from './clearance.ts';
import { type Field, loopsAt } from './contours.ts';
import { mm } from './figure.ts';
import { emptyLayer, type Layer, type Name, together } from './layer.ts';
import type { LevelGrid } from './level-grid.ts';
import { mark, trace } from './mark.ts';
import { between, type Point, span } from './plane.ts';
import { depthOf } from './rooms.ts';
import type { Sheet } from './sheet.ts';

export const STEP = 3;
export const SHADES = 8;

/** The steps of a map: the lowest of each shade, softest first. No more than there are shades; what is softer takes the first. */
export function stepsOf(grids: readonly LevelGrid[]): number[] {
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
