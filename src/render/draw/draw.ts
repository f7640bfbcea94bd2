/** The plan as one SVG, to scale. The same plan gives the same bytes. */
import { describe } from './describe.ts';
import { extentOf } from './extent.ts';
import { mm } from './figure.ts';
import { type Block, keyHeight, keySvg } from './key.ts';
import { keyBlocks } from './key-blocks.ts';
import { together } from './layer.ts';
import { layersOf } from './layers.ts';
import { mark, plain } from './mark.ts';
import { nameMarks, text } from './names.ts';
import { MARGIN, type Page, type Paper, pageFor } from './page.ts';
import { palettes } from './palette.ts';
import { placeNames } from './place-names.ts';
import { type Sheet, sheetOn, type Told } from './sheet.ts';
import { SUBTITLE_SIZE, style, TITLE_SIZE } from './style.ts';
import { fitText } from './text-width.ts';
import { type Asked, type View, viewOf } from './view.ts';

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
