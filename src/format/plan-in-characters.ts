/** A small plan in characters, to scale: positions of players and mics with their aims. */
import { add, bearingOf, corner, middleOf, tiltOf, type Vec2, type Vec3 } from '../geometry.ts';
import type { LengthUnit } from '../plan/document.ts';
import { INCH, type Lengths } from '../plan/units.ts';
import { counted } from '../report/words.ts';
import type { Scene, WallElement } from '../scene/scene.ts';
import { escapeControl } from '../text.ts';
import { wrap } from './table.ts';

/** At least 20 cm or 8 in per column; what would cover something else is listed in words. */
export function planView(scene: Scene, lengths: Lengths, width: number): string[] {
  const people = standing(scene);
  const corners = scene.rooms.flatMap(({ outline }) => outline);
  const extent = extentOf(
    corners,
    [...people, ...scene.capsules].map(({ at }) => flat(at)),
  );
  if (!extent) return [];
  const page = scaled(extent, width - INDENT.length, lengths.units);
  if (!page) return wrap('Too large for a view in characters.', width, INDENT);
  const { grid, perColumn } = page;
  drawBuilding(grid, scene);
  const letters = drawPeople(grid, people);
  const hidden = drawMics(grid, scene);
  const legend = [...letters.legend, ...hiddenWords(letters.hidden, hidden)].join('. ');
  const scale = `One column is ${lengths.tape(perColumn)}, one line ${lengths.tape(2 * perColumn)}.`;
  return [
    ...gridLines(grid).map((line) => (INDENT + line).trimEnd()),
    ...wrap(`${legend}${legend === '' ? '' : '. '}${signs(scene)}${scale}`, width, INDENT),
  ];
}

const INDENT = '  ';

const flat = ([x, y]: Vec3): Vec2 => [x, y];

type Standing = { readonly name: string; readonly at: Vec3 };

/** People, then sources apart from them, such as amplifiers or a choir. Kits and sections count as one. */
function standing({ players, sources }: Scene): Standing[] {
  const apart = sources.filter(({ path, points }) => path[0] === 'sources' && points.length > 0);
  const named = new Map(apart.map((source) => [source.kit ?? source.name, source]));
  const middles = [...named].map(([name, { points }]): Standing => ({ name, at: middleOf(points) }));
  return [...players.map(({ name, at }) => ({ name, at })), ...middles];
}

function drawBuilding(grid: Grid, { rooms, partitions, panels }: Scene): void {
  for (const { outline } of rooms) {
    outline.forEach((a, i) => {
      drawLine(grid, grid.line, a, corner(outline, i + 1));
    });
  }
  for (const element of partitions.flatMap(({ elements }) => elements)) {
    for (const cell of cellsBetween(grid, element.a, element.b))
      grid.marks.set(indexOf(grid, cell), elementSign(element));
  }
  for (const { a, b, booth } of panels) if (booth === null) drawLine(grid, grid.heavy, a, b);
}

/** An ajar door has a leaf and a slit: only the slit is open, and it is shown. */
function elementSign({ kind, state, free, a, b }: WallElement): string {
  if (state === 'ajar') return AJAR;
  if (free) return ' ';
  if (kind === 'door') return SHUT;
  return Math.abs(b[0] - a[0]) >= Math.abs(b[1] - a[1]) ? '╌' : '╎';
}

const [SHUT, AJAR] = ['▒', '░'] as const;
const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz';

function drawPeople(grid: Grid, people: readonly Standing[]): Record<'legend' | 'hidden', string[]> {
  const taken = new Set<number>();
  const shown: string[] = [];
  const hidden: string[] = [];
  for (const { name, at } of people) {
    const cell = indexOf(grid, grid.cellOf(flat(at)));
    const letter = LETTERS[shown.length];
    if (letter === undefined || taken.has(cell)) hidden.push(escapeControl(name));
    else {
      taken.add(cell);
      grid.marks.set(cell, letter);
      shown.push(`${letter} ${escapeControl(name)}`);
    }
  }
  return { legend: shown.length > 0 ? [shown.join(', ')] : [], hidden };
}

/** Number of mics without a cell of their own. A pair on one bar is one sign. */
function drawMics(grid: Grid, { mics, capsules }: Scene): number {
  const isTaken = (cell: number) => /[A-Za-z]/.test(grid.marks.get(cell) ?? '');
  const cells = new Map<number, string>();
  let hidden = 0;
  for (const mic of mics) {
    const own = mic.capsules.flatMap((index) => capsules[index] ?? []);
    const byCell = new Map<number, Vec3>();
    for (const { at, aim } of own) {
      const cell = indexOf(grid, grid.cellOf(flat(at)));
      byCell.set(cell, add(byCell.get(cell) ?? [0, 0, 0], aim));
    }
    for (const [cell, aim] of byCell) {
      if (isTaken(cell) || cells.has(cell)) hidden += 1;
      else cells.set(cell, arrow(aim));
    }
  }
  for (const [cell, sign] of cells) grid.marks.set(cell, sign);
  return hidden;
}

/** Steeper aims are shown as up or down, degrees of tilt. */
const STEEP = 70;

function arrow(aim: Vec3): string {
  if (Math.abs(tiltOf(aim)) > STEEP) return '•';
  return '↑↗→↘↓↙←↖'[Math.round(bearingOf(aim) / 45) % 8] ?? '•';
}

function hiddenWords(people: readonly string[], mics: number): string[] {
  return [
    ...(people.length > 0 ? [`Not shown, too close to others: ${people.join(', ')}`] : []),
    ...(mics > 0 ? [`${counted(mics, 'mic')} not shown, too close to others`] : []),
  ];
}

/** Key of the signs in use. */
function signs({ capsules, panels, partitions }: Scene): string {
  const elements = partitions.flatMap((partition) => partition.elements);
  const has = (test: (element: WallElement) => boolean) => elements.some(test);
  const words = [
    capsules.length > 0 ? '↑ mic and its aim, • aimed steeply up or down' : '',
    panels.some(({ booth }) => booth === null) ? '━ baffle' : '',
    has(({ kind, free, state }) => kind === 'door' && !free && state === 'closed')
      ? `${SHUT} closed door`
      : '',
    has(({ state }) => state === 'ajar') ? `${AJAR} door ajar` : '',
    has(({ free, state }) => free && state !== 'ajar') ? 'gap: opening' : '',
    has(({ kind, free }) => kind === 'window' && !free) ? '╌ window' : '',
  ].filter((word) => word !== '');
  return words.length > 0 ? `${words.join(', ')}. ` : '';
}

/** Metres per column, finest first; a line is twice that, as characters are about twice as high as wide. */
const STEPS: Readonly<Record<LengthUnit, readonly number[]>> = {
  m: [0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.8, 1, 1.5, 2],
  ft: [8, 10, 12, 18, 24, 30, 36, 48, 60, 84].map((inches) => inches * INCH),
};
/** Most lines of the plan. */
const MOST_LINES = 32;
/** Margin around things outside any room, m. */
const MARGIN = 1;
type Extent = { readonly low: Vec2; readonly high: Vec2 };

/** Bounding box of everything; null if there is nothing. */
function extentOf(corners: readonly Vec2[], things: readonly Vec2[]): Extent | null {
  const around =
    corners.length > 0
      ? corners
      : things.flatMap(([x, y]): Vec2[] => [
          [x - MARGIN, y - MARGIN],
          [x + MARGIN, y + MARGIN],
        ]);
  if (around.length === 0) return null;
  const [xs, ys] = [around.map(([x]) => x), around.map(([, y]) => y)];
  return { low: [Math.min(...xs), Math.min(...ys)], high: [Math.max(...xs), Math.max(...ys)] };
}

/** Finest scale that fits the page; null if none does. */
function scaled({ low, high }: Extent, width: number, units: LengthUnit) {
  const size = (perColumn: number): Cell => [
    Math.round((high[0] - low[0]) / perColumn) + 1,
    Math.round((high[1] - low[1]) / (2 * perColumn)) + 1,
  ];
  const perColumn = STEPS[units].find((step) => size(step)[0] <= width && size(step)[1] <= MOST_LINES);
  if (perColumn === undefined) return null;
  const [columns, rows] = size(perColumn);
  const cellOf = ([x, y]: Vec2): Cell => [
    within(Math.round((x - low[0]) / perColumn), columns),
    within(Math.round((high[1] - y) / (2 * perColumn)), rows),
  ];
  return { grid: emptyGrid(columns, rows, cellOf), perColumn };
}

const within = (cell: number, count: number): number => Math.min(count - 1, Math.max(0, cell));

/** Lines join as box drawing, marks stand on top. `line` and `heavy` hold, per cell, the sides to which a line leaves it; `marks` what stands on it. */
type Grid = {
  readonly columns: number;
  readonly rows: number;
  readonly line: Uint8Array;
  readonly heavy: Uint8Array;
  readonly marks: Map<number, string>;
  readonly cellOf: (point: Vec2) => Cell;
};

type Cell = readonly [column: number, row: number];
const [NORTH, EAST, SOUTH, WEST] = [1, 2, 4, 8] as const;

const emptyGrid = (columns: number, rows: number, cellOf: Grid['cellOf']): Grid => ({
  columns,
  rows,
  cellOf,
  line: new Uint8Array(columns * rows),
  heavy: new Uint8Array(columns * rows),
  marks: new Map(),
});

const indexOf = ({ columns }: Grid, [column, row]: Cell): number => row * columns + column;

/** Joins each cell from a to b with the next. */
function drawLine(grid: Grid, into: Uint8Array, a: Vec2, b: Vec2): void {
  const cells = cellsBetween(grid, a, b);
  for (const [i, cell] of cells.entries()) {
    const next = cells[i + 1];
    if (next) join(grid, into, cell, next);
  }
}

/** Cells from a to b, each next to the one before, in the order in which the line crosses the grid. */
function cellsBetween({ cellOf }: Grid, a: Vec2, b: Vec2): Cell[] {
  const [from, to] = [cellOf(a), cellOf(b)];
  const [across, down] = [to[0] - from[0], to[1] - from[1]];
  const cells: Cell[] = [from];
  let [aside, below] = [0, 0];
  while (aside < Math.abs(across) || below < Math.abs(down)) {
    if ((1 + 2 * aside) * Math.abs(down) < (1 + 2 * below) * Math.abs(across)) aside += 1;
    else below += 1;
    cells.push([from[0] + aside * Math.sign(across), from[1] + below * Math.sign(down)]);
  }
  return cells;
}

function join(grid: Grid, into: Uint8Array, a: Cell, b: Cell): void {
  const [one, other] = [indexOf(grid, a), indexOf(grid, b)];
  into[one] = (into[one] ?? 0) | sideToward(a, b);
  into[other] = (into[other] ?? 0) | sideToward(b, a);
}

function sideToward(a: Cell, b: Cell): number {
  if (b[0] !== a[0]) return b[0] > a[0] ? EAST : WEST;
  return b[1] > a[1] ? SOUTH : NORTH;
}

/** By sides: north 1, east 2, south 4, west 8. */
const LIGHT = ' │─└││┌├─┘─┴┐┤┬┼';
const HEAVY = ' ┃━┗┃┃┏┣━┛━┻┓┫┳╋';

function gridLines(grid: Grid): string[] {
  return Array.from({ length: grid.rows }, (_, row) =>
    Array.from({ length: grid.columns }, (_, column) => characterAt(grid, row * grid.columns + column))
      .join('')
      .trimEnd(),
  );
}

const characterAt = ({ marks, heavy, line }: Grid, cell: number): string =>
  marks.get(cell) ?? (heavy[cell] ? HEAVY[heavy[cell] ?? 0] : LIGHT[line[cell] ?? 0]) ?? ' ';
