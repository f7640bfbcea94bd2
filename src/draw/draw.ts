/** A plan as SVG: layers, extent and page. */

import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import { micsAsNamed } from '../judge/signal-to-bleed.ts';
import { counted, hertzName, micVerdict } from '../report/words.ts';
import type { Scene } from '../scene/scene.ts';
import { bleedLines } from './bleed.ts';
import { type Canvas, type Computed, canvasOn, type Layer, together } from './drawing.ts';
import { keyBlocks, keyHeight, keySvg, type Selection, type View, viewOf } from './key.ts';
import { nameMarks, placeNames } from './labels.ts';
import { levelMap, rangeOf } from './level-map.ts';
import { mics, people, sources } from './people.ts';
import { baffles, floors, partitions } from './room.ts';
import * as svg from './svg.ts';

export type DrawOptions = Selection & { readonly dark: boolean; readonly paper: svg.Paper | null };

export function draw(computed: Computed, options: DrawOptions): string {
  const view = viewOf(computed, options);
  const { page, parts } = settled(computed, view, options.paper);
  const { width, height } = page;
  const title = computed.scene.title === '' ? 'Floor plan' : computed.scene.title;
  const content = [
    svg.mark('title', { id: 'title' }, svg.plain(title)),
    svg.mark('desc', { id: 'desc' }, svg.plain(describe(computed, view, `1:${page.scale}`))),
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

/** Passes until the key lists exactly the names the drawing has no space for. */
const MOST_PASSES = 4;

function settled(computed: Computed, view: View, paper: svg.Paper | null) {
  let listed: readonly string[] = [];
  for (let pass = 1; ; pass++) {
    const done = composed(computed, view, paper, listed);
    if (pass === MOST_PASSES || done.missed.join() === listed.join()) return done;
    listed = done.missed;
  }
}

/** `unplaced` are names the key is expected to list; `missed` those the drawing had no space for. */
function composed(computed: Computed, view: View, paper: svg.Paper | null, unplaced: readonly string[]) {
  const { scene, units } = computed;
  const extent = extentOf(scene);
  const blocksAt = (scale: number, names: readonly string[]) =>
    keyBlocks(scene, view, { scale, units }, names);
  const page = svg.pageFor({
    size: [extent.right - extent.left, extent.top - extent.bottom],
    units,
    paper,
    keyHeight: (columns) => keyHeight(blocksAt(100, unplaced), columns),
  });
  const layers = together(layersOf(canvasOn(computed, view.band, page, extent), view));
  const { placed, missed: left } = placeNames(layers.names, layers.keepOff, page.frame);
  const missed = left.flatMap(({ kind, text, listed = text }) => (kind === 'contour' ? [] : [listed]));
  const names = svg.mark('g', { class: 'names' }, `\n${placed.map(nameMarks).join('')}`);
  return { page, parts: [layers.svg, names, keySvg(blocksAt(page.scale, missed), page.columns)], missed };
}

/** The drawing from the floor up, later layers on top. */
const layersOf = (canvas: Canvas, { level, lines, only }: View): Layer[] => [
  floors(canvas, level?.grids.map(rangeOf) ?? null),
  ...(level ? [levelMap(canvas, level.grids, level.steps)] : []),
  partitions(canvas),
  baffles(canvas),
  sources(canvas),
  people(canvas),
  bleedLines(canvas, lines),
  mics(canvas, only),
];

/** The drawing in words, for those who cannot see it. */
function describe(computed: Computed, view: View, scale: string): string {
  const { rooms, players, mics } = computed.scene;
  const inRoom = (room: number) => rooms[room]?.name ?? 'the open air';
  const posture = (standing: boolean) => (standing ? 'stands' : 'sits');
  const sentences = [
    `Floor plan at ${scale}, mic patterns at ${hertzName(NOMINAL_BANDS[view.band] ?? 0)}.`,
    ...(view.subtitle === '' ? [] : [`${view.subtitle}.`]),
    `${counted(rooms.length, 'room')}, ${counted(players.length, 'person', 'people')}, ` +
      `${counted(mics.length, 'mic or DI', 'mics and DIs')}.`,
    ...players.map(({ name, room, standing }) => `${name} ${posture(standing)} in ${inRoom(room)}.`),
    ...micsAsNamed(computed.report).map(
      (row) => `${row.name} for ${row.for.join(', ')}: ${micVerdict(row)}.`,
    ),
    ...view.lines.map(({ stream, row, label }) => `${stream.name} into ${row.name}: ${label}.`),
  ];
  return sentences.join(' ');
}

/** Smallest extent, for an empty plan or one point, m. */
const LEAST = 2;

/** Extent of the plan in metres, y upward. */
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
