/** A small plan in characters, to scale: where everyone stands and which way the microphones look. */

import { visible } from '../../plan/visible.ts';
import { corner } from '../../scene/polygon.ts';
import type { Scene, WallElement } from '../../scene/scene.ts';
import { add, bearingOf, tiltOf, type Vec2, type Vec3 } from '../../scene/vector.ts';
import { counted } from '../words.ts';
import { wrap } from '../wrap.ts';
import type { InUnits, Layout } from './layout.ts';
import { cellsBetween, drawLine, type Grid, gridLines, indexOf } from './plan-grid.ts';
import { extentOf, scaled } from './plan-scale.ts';

type Page = Pick<Layout, 'width' | 'paint'> & InUnits;

/** Never finer than 20 cm or 8 in to a column; what would stand on top of something else is told in words. */
export function planView(scene: Scene, { width, paint, lengths }: Page): string[] {
  const people = standing(scene);
  const corners = scene.rooms.flatMap(({ outline }) => outline);
  const extent = extentOf(corners, [
    ...people.map(({ at }) => flat(at)),
    ...scene.capsules.map(({ at }) => flat(at)),
  ]);
  if (!extent) return [];
  const page = scaled(extent, width - INDENT.length, lengths.units);
  const title = paint.strong('Plan view');
  if (!page) return [title, ...wrap('Too large for a view in characters.', width, INDENT)];
  const { grid, perColumn } = page;
  drawBuilding(grid, scene);
  const letters = drawPeople(grid, people);
  const hidden = drawMics(grid, scene);
  const legend = [...letters.legend, ...hiddenWords(letters.hidden, hidden)].join('. ');
  const scale = `One column is ${lengths.tape(perColumn)}, one line ${lengths.tape(2 * perColumn)}.`;
  return [
    title,
    ...gridLines(grid).map((line) => (INDENT + line).trimEnd()),
    ...wrap(`${legend}${legend === '' ? '' : '. '}${signs(scene)}${scale}`, width, INDENT),
  ];
}

const INDENT = '  ';

const flat = ([x, y]: Vec3): Vec2 => [x, y];

type Standing = { readonly name: string; readonly at: Vec3 };

/** People, then what sounds apart from any of them: amplifiers, a choir. Kits and sections are one each. */
function standing({ players, sources }: Scene): Standing[] {
  const apart = sources.filter(({ path, points }) => path[0] === 'sources' && points.length > 0);
  const named = new Map(apart.map((source) => [source.kit ?? source.name, source]));
  const middles = [...named].map(([name, { points }]): Standing => {
    const mean = (axis: 0 | 1) => points.reduce((sum, { at }) => sum + at[axis], 0) / points.length;
    return { name, at: [mean(0), mean(1), 0] };
  });
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

/** An ajar door is its leaf and then its slit: the slit, which is free but no gap, shows. */
function elementSign({ kind, state, free, a, b }: WallElement): string {
  if (state === 'ajar') return AJAR;
  if (free) return ' ';
  if (kind === 'door') return SHUT;
  return Math.abs(b[0] - a[0]) >= Math.abs(b[1] - a[1]) ? '╌' : '╎';
}

const [SHUT, AJAR] = ['▒', '░'] as const;
const LETTERS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz';

type Letters = { readonly legend: readonly string[]; readonly hidden: readonly string[] };

function drawPeople(grid: Grid, people: readonly Standing[]): Letters {
  const taken = new Set<number>();
  const shown: string[] = [];
  const hidden: string[] = [];
  for (const { name, at } of people) {
    const cell = indexOf(grid, grid.cellOf(flat(at)));
    const letter = LETTERS[shown.length];
    if (letter === undefined || taken.has(cell)) hidden.push(visible(name));
    else {
      taken.add(cell);
      grid.marks.set(cell, letter);
      shown.push(`${letter} ${visible(name)}`);
    }
  }
  return { legend: shown.length > 0 ? [shown.join(', ')] : [], hidden };
}

/** How many have no cell of their own. A pair on one bar is one sign, which looks where the pair does. */
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

/** Steeper than this a microphone looks down or up rather than anywhere, degrees. */
const STEEP = 70;

function arrow(aim: Vec3): string {
  if (Math.abs(tiltOf(aim)) > STEEP) return '•';
  return '↑↗→↘↓↙←↖'[Math.round(bearingOf(aim) / 45) % 8] ?? '•';
}

function hiddenWords(people: readonly string[], mics: number): string[] {
  return [
    ...(people.length > 0 ? [`No cell of their own: ${people.join(', ')}`] : []),
    ...(mics > 0 ? [`${counted(mics, 'microphone')} not shown, too close to others`] : []),
  ];
}

/** What the signs mean that occur. */
function signs({ capsules, panels, partitions }: Scene): string {
  const elements = partitions.flatMap((partition) => partition.elements);
  const has = (test: (element: WallElement) => boolean) => elements.some(test);
  const words = [
    capsules.length > 0 ? '↑ a microphone and where it looks, • steeply up or down' : '',
    panels.some(({ booth }) => booth === null) ? '━ a baffle' : '',
    has(({ kind, free, state }) => kind === 'door' && !free && state === 'closed')
      ? `${SHUT} a shut door`
      : '',
    has(({ state }) => state === 'ajar') ? `${AJAR} one ajar` : '',
    has(({ free, state }) => free && state !== 'ajar') ? 'a gap an opening' : '',
    has(({ kind, free }) => kind === 'window' && !free) ? '╌ a window' : '',
  ].filter((word) => word !== '');
  return words.length > 0 ? `${words.join(', ')}. ` : '';
}
