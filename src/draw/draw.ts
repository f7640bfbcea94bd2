/** The plan as SVG: layers, extent, page. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import { counted, hertzName, micVerdict } from '../report/words.ts';
import type { Scene } from '../scene/scene.ts';
import { bleedLines, wholeRows } from './bleed.ts';
import { type Layer, type Sheet, sheetOn, type Told, together } from './drawing.ts';
import { type Asked, keyBlocks, keyHeight, keySvg, type View, viewOf } from './key.ts';
import { nameMarks, placeNames } from './labels.ts';
import { levelMap, rangeOf } from './level-map.ts';
import { mics, people, sources } from './people.ts';
import { floors, partitions, screens } from './room.ts';
import * as svg from './svg.ts';

export type DrawOptions = Asked & { readonly dark: boolean; readonly paper: svg.Paper | null };

export function draw(told: Told, options: DrawOptions): string {
  const view = viewOf(told, options);
  const { page, parts } = settled(told, view, options.paper);
  const { width, height } = page;
  const title = told.scene.title === '' ? 'Floor plan' : told.scene.title;
  const content = [
    svg.mark('title', { id: 'title' }, svg.plain(title)),
    svg.mark('desc', { id: 'desc' }, svg.plain(describe(told, view, `1:${page.scale}`))),
    svg.mark('style', {}, svg.style(svg.paletteOf(options.dark ? 'dark' : 'light'))),
    svg.mark('rect', { class: 'paper', width, height }),
    heading('title', title, page, 4.2),
    ...(view.subtitle === '' ? [] : [heading('subtitle', view.subtitle, page, 9)]),
    ...parts,
  ];
  const root = {
    xmlns: 'http://www.w3.org/2000/svg',
    width: `${svg.mm(width)}mm`,
    height: `${svg.mm(height)}mm`,
    viewBox: `0 0 ${svg.mm(width)} ${svg.mm(height)}`,
    role: 'img',
    'aria-labelledby': 'title desc',
  };
  return `${svg.mark('svg', root, `\n${content.join('\n')}\n`)}\n`;
}

function heading(kind: 'title' | 'subtitle', content: string, { width }: svg.Page, foot: number): string {
  const fitted = svg.fitText(content, svg.SIZES[kind], width - 2 * svg.MARGIN);
  return svg.text(kind, fitted, [svg.MARGIN, svg.MARGIN + foot]);
}

/** Passes until what the key has to list is what the drawing leaves over. */
const MOST_PASSES = 4;

function settled(told: Told, view: View, paper: svg.Paper | null) {
  let listed: readonly string[] = [];
  for (let pass = 1; ; pass++) {
    const done = composed(told, view, paper, listed);
    if (pass === MOST_PASSES || done.missed.join() === listed.join()) return done;
    listed = done.missed;
  }
}

/** `unplaced` are names that the key is expected to list instead; `missed` those for which the drawing had no room. */
function composed(told: Told, view: View, paper: svg.Paper | null, unplaced: readonly string[]) {
  const { scene, units } = told;
  const extent = extentOf(scene);
  const blocksAt = (scale: number, names: readonly string[]) =>
    keyBlocks(scene, view, { scale, units }, names);
  const page = svg.pageFor({
    size: [extent.right - extent.left, extent.top - extent.bottom],
    units,
    paper,
    keyHeight: (columns) => keyHeight(blocksAt(100, unplaced), columns),
  });
  const layers = together(layersOf(sheetOn(told, view.band, page, extent), view));
  const { placed, missed: left } = placeNames(layers.names, layers.keepOff, page.frame);
  const missed = left.flatMap(({ kind, text, listed = text }) => (kind === 'contour' ? [] : [listed]));
  const names = svg.mark('g', { class: 'names' }, `\n${placed.map(nameMarks).join('')}`);
  return { page, parts: [layers.svg, names, keySvg(blocksAt(page.scale, missed), page.columns)], missed };
}

/** The drawing from the floor up: what comes later lies on what comes before. */
const layersOf = (sheet: Sheet, { level, lines, only }: View): Layer[] => [
  floors(sheet, level?.grids.map(rangeOf) ?? null),
  ...(level ? [levelMap(sheet, level.grids, level.steps)] : []),
  partitions(sheet),
  screens(sheet),
  sources(sheet),
  people(sheet),
  bleedLines(sheet, lines),
  mics(sheet, only),
];

/** The drawing in words, for whoever cannot see it. */
function describe(told: Told, view: View, scale: string): string {
  const { rooms, players, mics } = told.scene;
  const inRoom = (room: number) => rooms[room]?.name ?? 'the open';
  const posture = (standing: boolean) => (standing ? 'stands' : 'sits');
  const sentences = [
    `Floor plan at ${scale}, microphone patterns at ${hertzName(NOMINAL_BANDS[view.band] ?? 0)}.`,
    ...(view.subtitle === '' ? [] : [`${view.subtitle}.`]),
    `${counted(rooms.length, 'room')}, ${counted(players.length, 'person', 'persons')}, ` +
      `${counted(mics.length, 'microphone or line', 'microphones and lines')}.`,
    ...players.map(({ name, room, standing }) => `${name} ${posture(standing)} in ${inRoom(room)}.`),
    ...wholeRows(told).map((row) => `${row.name} for ${row.for.join(', ')}: ${micVerdict(row)}.`),
    ...view.lines.map(({ stream, row, label }) => `${stream.name} into ${row.name}: ${label}.`),
  ];
  return sentences.join(' ');
}

/** Of a plan without anything, or all at one point: at least this much, m. */
const LEAST = 2;

/** How far the plan reaches, in metres; y upward. */
function extentOf({ rooms, players, sources, capsules, panels }: Scene): svg.Box {
  const points: (readonly [number, number, ...number[]])[] = [
    ...rooms.flatMap(({ outline }) => outline),
    ...players.map(({ at }) => at),
    ...sources.flatMap(({ points: all }) => all.map(({ at }) => at)),
    ...capsules.map(({ at }) => at),
    ...panels.flatMap(({ a, b }) => [a, b]),
  ];
  const [left, right] = sides(points.map(([x]) => x));
  const [bottom, top] = sides(points.map(([, y]) => y));
  return { left, right, bottom, top };
}

function sides(values: readonly number[]): readonly [number, number] {
  if (values.length === 0) return [-LEAST / 2, LEAST / 2];
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const spare = Math.max(0, LEAST - (high - low)) / 2;
  return [low - spare, high + spare];
}
