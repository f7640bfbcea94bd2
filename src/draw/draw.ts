/** The plan as SVG: layers, extent, page. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import { counted, hertzName, micVerdict } from '../report/words.ts';
import type { Scene } from '../scene/scene.ts';
import { bleedLines } from './bleed.ts';
import {
  type Asked,
  type Extent,
  emptyLayer,
  type Layer,
  type Sheet,
  sheetOn,
  type Told,
  together,
  type View,
} from './drawing.ts';
import { type Block, keyBlocks, keyHeight, keySvg } from './key.ts';
import { nameMarks, placeNames, text } from './labels.ts';
import { levelMap, rangeOf, viewOf } from './level-map.ts';
import { ALL, mics, people, sources } from './people.ts';
import { floors, partitions, screens } from './room.ts';
import {
  fitText,
  MARGIN,
  mark,
  mm,
  type Page,
  type Paper,
  pageFor,
  palettes,
  plain,
  SUBTITLE_SIZE,
  style,
  TITLE_SIZE,
} from './svg.ts';

export type DrawOptions = Asked & { readonly dark: boolean; readonly paper: Paper | null };

export function draw(told: Told, options: DrawOptions): string {
  const palette = palettes[options.dark ? 'dark' : 'light'];
  const view = viewOf(told, options);
  const { page, parts } = settled(told, view, options);
  const scale = `1:${page.scale}`;
  const content = [
    mark('title', { id: 'title' }, plain(titleOf(told))),
    mark('desc', { id: 'desc' }, plain(describe(told, view, scale))),
    mark('style', {}, style(palette)),
    mark('rect', { class: 'paper', width: page.width, height: page.height }),
    ...heading(told, view, page),
    ...parts,
  ];
  return `${mark('svg', rootOf(page), `\n${content.join('\n')}\n`)}\n`;
}

const titleOf = ({ scene }: Told): string => (scene.title === '' ? 'Floor plan' : scene.title);

type Composed = {
  readonly page: Page;
  readonly parts: readonly string[];
  /** Names for which the drawing had no room. */
  readonly missed: readonly string[];
};

/** Passes until what the key has to list is what the drawing leaves over. */
const MOST_PASSES = 4;

function settled(told: Told, view: View, options: DrawOptions): Composed {
  let listed: readonly string[] = [];
  for (let pass = 1; ; pass++) {
    const done = composed(told, view, options, listed);
    if (pass === MOST_PASSES || done.missed.join() === listed.join()) return done;
    listed = done.missed;
  }
}

/** `unplaced` are names that the key is expected to list instead. */
function composed(told: Told, view: View, { paper }: DrawOptions, unplaced: readonly string[]): Composed {
  const { scene, units } = told;
  const extent = extentOf(scene);
  const blocksAt = (scale: number, names: readonly string[]): Block[] => [
    ...keyBlocks(scene, view, { scale, units }),
    ...unplacedBlock(names),
  ];
  const size = [extent.right - extent.left, extent.top - extent.bottom] as const;
  const page = pageFor({
    size,
    units,
    paper,
    keyHeight: (columns) => keyHeight(blocksAt(100, unplaced), columns),
  });
  const sheet: Sheet = sheetOn(told, view.band, page, extent);
  const { keepOff, names, svg } = together(layersOf(sheet, view));
  const { placed, missed: left } = placeNames(names, keepOff, page.frame);
  const missed = left.flatMap(({ kind, text: own, listed = own }) => (kind === 'contour' ? [] : [listed]));
  return {
    page,
    parts: [
      svg,
      mark('g', { class: 'names' }, `\n${placed.map(nameMarks).join('')}`),
      keySvg(blocksAt(page.scale, missed), page.columns),
    ],
    missed,
  };
}

function unplacedBlock(names: readonly string[]): Block[] {
  const entry = { symbol: () => '', text: names.join(', ') };
  return names.length > 0 ? [{ heading: 'No room on the drawing for', entries: [entry] }] : [];
}

function heading(told: Told, { subtitle }: View, { width }: Page): string[] {
  const title = fitText(titleOf(told), TITLE_SIZE, width - 2 * MARGIN);
  const second = fitText(subtitle, SUBTITLE_SIZE, width - 2 * MARGIN);
  return [
    text('title', title, MARGIN, { foot: MARGIN + 4.2 }),
    ...(second === '' ? [] : [text('subtitle', second, MARGIN, { foot: MARGIN + 9 })]),
  ];
}

function rootOf({ width, height }: Page): Readonly<Record<string, string>> {
  return {
    xmlns: 'http://www.w3.org/2000/svg',
    width: `${mm(width)}mm`,
    height: `${mm(height)}mm`,
    viewBox: `0 0 ${mm(width)} ${mm(height)}`,
    role: 'img',
    'aria-labelledby': 'title desc',
  };
}

// The drawing from the floor up: what comes later lies on what comes before.

/** How far out 0 dB lies where one microphone alone is shown, mm. */
const ALONE = 14;

const layersOf = (sheet: Sheet, { level, lines, only }: View): Layer[] => [
  floors(sheet, level ? level.grids.map(rangeOf) : null),
  level ? levelMap(sheet, level.grids, level.steps) : emptyLayer,
  partitions(sheet),
  screens(sheet),
  sources(sheet),
  people(sheet),
  bleedLines(sheet, lines),
  mics(sheet, only === null ? ALL : { only, widest: ALONE }),
];

// The drawing in words, for whoever cannot see it.

function describe({ scene, report }: Told, view: View, scale: string): string {
  const rows = [...report.pairs, ...report.mics.filter(({ pair }) => pair === null)];
  const inRoom = (room: number) => scene.rooms[room]?.name ?? 'the open';
  const sentences = [
    `Floor plan at ${scale}, microphone patterns at ${hertzName(NOMINAL_BANDS[view.band] ?? 0)}.`,
    ...(view.subtitle === '' ? [] : [`${view.subtitle}.`]),
    `${counted(scene.rooms.length, 'room')}, ${counted(scene.players.length, 'person', 'persons')}, ` +
      `${counted(scene.mics.length, 'microphone or line', 'microphones and lines')}.`,
    ...scene.players.map(
      ({ name, room, standing }) => `${name} ${standing ? 'stands' : 'sits'} in ${inRoom(room)}.`,
    ),
    ...rows.map((row) => `${row.name} for ${row.for.join(', ')}: ${micVerdict(row)}.`),
    ...view.lines.map(({ stream, row, label }) => `${stream.name} into ${row.name}: ${label}.`),
  ];
  return sentences.join(' ');
}

// How far the plan reaches, in metres.

/** Of a plan without anything, or all at one point: at least this much, m. */
const LEAST = 2;

function extentOf({ rooms, players, sources, capsules, panels }: Scene): Extent {
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
  const low = values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const high = values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  if (low > high) return [-LEAST / 2, LEAST / 2];
  const spare = Math.max(0, LEAST - (high - low)) / 2;
  return [low - spare, high + spare];
}
