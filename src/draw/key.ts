/** What a drawing shows, and its key, block by block: only what the drawing has. */

import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import { limitRows } from '../judge/criteria.ts';
import type { Verdict } from '../judge/verdict.ts';
import { lengthsIn } from '../plan/units.ts';
import { headline } from '../report/lead.ts';
import { capital, hertzName, inPassage, micVerdict } from '../report/words.ts';
import { SLIT } from '../scene/partitions.ts';
import type { Scene, WallElement } from '../scene/scene.ts';
import { allLines, FAINTEST, pathMark, worstLines } from './bleed.ts';
import type { Computed, Row } from './drawing.ts';
import { levelGrids, PROBE_HEIGHT, STEP, shadeOf, stepsOf } from './level-map.ts';
import { arrow, CAPSULE, cabinet, type Posture, personMarks } from './people.ts';
import { baffleMarks, hungElements, hungIn } from './room.ts';
import * as svg from './svg.ts';

export type Selection = {
  /** Index of the octave band whose patterns are drawn. */
  readonly band: number;
  /** The mic, capsule or pair whose pickup is shown, or null. */
  readonly mic: Row | null;
  /** Sources whose level shades the floor, and their name, or null. */
  readonly level: { readonly name: string; readonly sources: readonly number[] } | null;
};

export type View = ReturnType<typeof viewOf>;

/** What the drawing shows: lines, levels and their words. */
export function viewOf(computed: Computed, { band, mic, level }: Selection) {
  const grids = level ? levelGrids(computed.result.prepared, level.sources) : [];
  const height = lengthsIn(computed.units).size(PROBE_HEIGHT);
  const titles = [
    ...(mic ? [`What ${mic.name} picks up${inPassage(mic.passage)}: ${micVerdict(mic)}`] : []),
    ...(level ? [`Level of ${level.name} ${height} above the floor, all octaves`] : []),
  ];
  return {
    band,
    subtitle: titles.length > 0 ? titles.join('. ') : capital(headline(limitRows(computed.report))),
    /** The only mic of the plan shown with its pattern, or null for all. */
    only: mic === null ? null : (mic.pair ?? mic.name),
    lines: mic ? allLines(computed, mic) : level ? [] : worstLines(computed),
    bleedHeading: mic ? 'Picked up' : 'Loudest bleed',
    words: mic ? wordsFor(mic) : WORDS,
    level: level && { title: `Level of ${level.name}`, grids, steps: stepsOf(grids) },
  };
}

type Words = Readonly<Record<Verdict | 'own' | 'weight', string>>;

const WORDS: Words = {
  own: '',
  short: 'Bleed into a mic that is short',
  marginal: 'Bleed into a marginal mic (under 3\u00a0dB to spare)',
  clear: 'Bleed into a mic that is clear',
  weight: '0 dB re signal, or louder',
};

const wordsFor = ({ purpose, limit }: Row): Words => ({
  own: 'Signal',
  short: `Alone: short of the limit, ${limit}\u00a0dB`,
  marginal: 'Alone: marginal (under 3\u00a0dB to spare)',
  clear: 'Alone: clear',
  weight: purpose === 'parts' ? WORDS.weight : 'As loud as the loudest',
});

/** `unplaced` are the names the drawing has no space for. */
export function keyBlocks(scene: Scene, view: View, scale: svg.Scale, unplaced: readonly string[]): Block[] {
  const at = hertzName(NOMINAL_BANDS[view.band] ?? 0);
  const blocks = [
    { heading: `Scale 1:${scale.scale}`, entries: scaleEntries(scale) },
    { heading: 'Plan', entries: wallEntries(scene, lengthsIn(scale.units).close(SLIT)) },
    { heading: 'Players and sources', entries: peopleEntries(scene) },
    { heading: `Mic patterns at ${at}`, entries: micEntries(scene) },
    { heading: view.bleedHeading, entries: bleedEntries(view) },
    { heading: view.level?.title ?? '', entries: levelEntries(view.level?.steps ?? []) },
    { heading: 'DIs', entries: lineEntries(scene) },
    { heading: 'No space to label', entries: entry(unplaced.length > 0, () => '', unplaced.join(', ')) },
  ];
  return blocks.filter(({ entries }) => entries.length > 0);
}

type Entry = {
  /** Marks around the middle of a field `FIELD` mm wide. */
  readonly symbol: (at: svg.Point) => string;
  readonly text: string;
  /** Smallest height, mm. */
  readonly height?: number;
};

/** An entry as a list, empty unless `shown`. */
const entry = (shown: boolean, symbol: Entry['symbol'], text: string, height?: number): Entry[] =>
  shown ? [{ symbol, text, ...(height && { height }) }] : [];

const scaleEntries = (scale: svg.Scale): Entry[] => [
  { symbol: ([x, y]) => svg.scaleBar([x - FIELD / 2, y - 3], 40, scale), text: '', height: 9 },
  { symbol: upThePage, text: 'Bearing 0° is up the page, 90° to the right', height: 9 },
];

const upThePage = ([x, y]: svg.Point): string =>
  svg.area('north', [
    [x, y - 4],
    [x + 1.7, y + 3.6],
    [x, y + 2],
    [x - 1.7, y + 3.6],
  ]);

const textsOf = (slit: string): Readonly<Record<string, string>> => ({
  'door closed': 'Door, closed',
  'door ajar': `Door, ajar (drawn wider than its ${slit} gap)`,
  'door open': 'Door, open (hinge side not given)',
  'window closed': 'Window',
  'window ajar': 'Window, ajar',
  'window open': 'Window, open',
  'opening open': 'Opening',
});

function wallEntries({ rooms, partitions, panels }: Scene, slit: string): Entry[] {
  const hung = rooms.length > 0 ? partitions.flatMap(hungElements) : [];
  const kinds = [...new Set(hung.map(({ kind, state }) => `${kind} ${state}`))].sort();
  const between = rooms.length > 0 && partitions.length > 0;
  const baffles = panels.some(({ booth }) => booth === null);
  return [
    ...entry(rooms.length > 0, wallOf(svg.SHELL), 'Outer wall (thickness not given)'),
    ...entry(between, wallOf(2.2), 'Wall between rooms'),
    ...kinds.flatMap((kind) => entry(true, (at) => elementSymbol(kind, at), textsOf(slit)[kind] ?? kind, 7)),
    ...entry(baffles, (at) => baffleMarks(across(at, 4.5)), 'Baffle'),
  ];
}

/** Ends of a horizontal line around its middle. */
const across = ([x, y]: svg.Point, half: number): [svg.Point, svg.Point] => [
  [x - half, y],
  [x + half, y],
];

const wallOf = (thickness: number) => (at: svg.Point) => svg.area('wall', svg.rectangle(at, 12, thickness));

/** In a short piece of wall, opening upwards. */
function elementSymbol(name: string, [x, y]: svg.Point): string {
  const [kind, state] = name.split(' ') as [WallElement['kind'], WallElement['state']];
  const foot: svg.Point = [x, y + (state === 'closed' || kind === 'opening' ? 0 : 2.4)];
  const hole = svg.rectangle(foot, 6, 1.6);
  return wallOf(1.6)(foot) + svg.area('hole', hole) + hungIn(kind, state, hole).svg;
}

function peopleEntries({ players, sources }: Scene): Entry[] {
  const person = (posture: Posture, text: string) => {
    const isSuch = ({ listener, standing }: Posture) =>
      listener === posture.listener && (listener || standing === posture.standing);
    return entry(players.some(isSuch), (at) => personMarks(at, 0, 1.9, posture), text);
  };
  const sounding = sources.filter(({ points }) => points.length > 0);
  const own = sounding.filter(({ path }) => path[0] === 'sources').map(({ points }) => points.length);
  const isSection = own.some((count) => count > 1);
  const single = 'Loudspeaker or separate instrument, wide end in front (size not given)';
  const several = 'Section, with the points that represent it';
  return [
    ...person({ standing: true, listener: false }, 'Player, standing; point shows facing'),
    ...person({ standing: false, listener: false }, 'Player, seated; point shows facing'),
    ...person({ standing: true, listener: true }, 'Listener'),
    ...entry(sounding.length > 0, voice, 'Source, to scale; tick shows its axis'),
    ...entry(own.includes(1), ([x, y]) => svg.area('cabinet', cabinet([x + 1.5, y], 0, 5)), single, 6.4),
    ...entry(isSection, (at) => svg.area('section', svg.rectangle(at, 9, 3.6)), several),
  ];
}

const voice = (at: svg.Point): string =>
  svg.circle('disc', at, 1.5) +
  svg.circle('centre', at, 0.3) +
  svg.line('axis', [svg.away(at, 0, 1.5), svg.away(at, 0, 3)]);

function micEntries({ mics, capsules }: Scene): Entry[] {
  const isPair = capsules.length > 0 && mics.some((mic) => mic.capsules.length > 1);
  const pattern = 'Horizontal pattern: sensitivity by direction. The tick ends at 0 dB on axis';
  return [
    ...entry(capsules.length > 0, micSymbol, pattern, 10),
    ...entry(isPair, pairSymbol, 'Pair: two capsules'),
  ];
}

/** A cardioid aimed to the right. */
function micSymbol([x, y]: svg.Point): string {
  const at: svg.Point = [x - 2, y];
  const curve = Array.from({ length: 60 }, (_, i) => {
    const angle = (i * Math.PI) / 30;
    return svg.away(at, angle, 4.4 * (0.5 + 0.5 * Math.cos(angle)));
  });
  return svg.area('pattern', curve) + arrow(at, 0, 4.4).svg + svg.circle('capsule', at, CAPSULE);
}

function pairSymbol(at: svg.Point): string {
  const ends = across(at, 2.5);
  return svg.line('pair', ends) + ends.map((end) => svg.circle('capsule', end, CAPSULE)).join('');
}

const lineEntries = ({ mics, sources }: Scene): Entry[] =>
  mics.flatMap(({ line: isLine, name, wanted }) =>
    entry(isLine, plug, `${name}, from ${wanted.map((index) => sources[index]?.name).join(', ')}`),
  );
const plug = ([x, y]: svg.Point): string =>
  svg.mark('rect', { class: 'bar-dark', x: x - 1.2, y: y - 1.2, width: 2.4, height: 2.4 });

const KINDS = ['own', 'short', 'marginal', 'clear'] as const;
const WEIGHTS = [0, FAINTEST / 3, (2 * FAINTEST) / 3, FAINTEST];

function bleedEntries({ lines, words }: View): Entry[] {
  const sample = (kind: string, db: number) => (at: svg.Point) => pathMark(kind, across(at, 6), db);
  const below = (db: number) => `−${-db} dB${db === FAINTEST ? ' or less' : ''}`;
  const shown = new Set(lines.map(({ kind }) => kind));
  return [
    ...KINDS.flatMap((kind) => entry(shown.has(kind), sample(kind, -8), words[kind])),
    ...(lines.length > 0 ? WEIGHTS : []).map((db) => ({
      symbol: sample('plain', db),
      text: db === 0 ? words.weight : below(db),
    })),
  ];
}

/** Height of a shade, mm: they touch, the loudest on top. */
const HIGH = 4.6;

const levelEntries = (steps: readonly number[]): Entry[] =>
  steps
    .map((step, i) => {
      const shade = `level shade-${shadeOf(i, steps.length)}`;
      const swatch = ([x, y]: svg.Point) =>
        svg.mark('rect', { class: shade, x: x - 5, y: y - HIGH / 2, width: 10, height: HIGH });
      return { symbol: swatch, text: rangeText(step, i, steps.length), height: HIGH };
    })
    .reverse();

function rangeText(step: number, i: number, steps: number): string {
  if (i === 0 && steps > 1) return `under ${step + STEP} dB`;
  return i === steps - 1 ? `${step} dB or more` : `${step} to ${step + STEP} dB`;
}

type Block = { readonly heading: string; readonly entries: readonly Entry[] };
/** Size at which plain text is as wide as a bold, spaced heading, mm. */
const BOLD = 2.85;
const PITCH = 3.2;
const FIELD = 14;
const HEADING = 5;
const AFTER = 3.4;
const LEAST = 5.2;

const linesOf = ({ text }: Entry): string[] =>
  text === '' ? [] : svg.setInLines(text, svg.SIZES.entry, svg.KEY_WIDTH - FIELD - 1.5);

const heightOf = (entry: Entry): number =>
  Math.max(entry.height ?? LEAST, linesOf(entry).length * PITCH + 1.6);

const blockHeight = ({ entries }: Block): number =>
  HEADING + entries.reduce((sum, entry) => sum + heightOf(entry), 0) + AFTER;

/** Column and offset of each block, and the height of the tallest column. A block is never split. */
function flow(blocks: readonly Block[], columns: number) {
  const total = blocks.reduce((sum, block) => sum + blockHeight(block), 0);
  const tallest = Math.max(...blocks.map(blockHeight));
  for (let room = Math.max(total / columns, tallest); ; room += 4) {
    const heights = [0];
    const places = blocks.map((block) => {
      if ((heights.at(-1) as number) + blockHeight(block) > room) heights.push(0);
      const [column, down] = [heights.length - 1, heights.at(-1) as number];
      heights[column] = down + blockHeight(block);
      return { column, down };
    });
    if (heights.length <= columns) return { places, height: Math.max(...heights) };
  }
}

export const keyHeight = (blocks: readonly Block[], columns: number): number => flow(blocks, columns).height;

export function keySvg(blocks: readonly Block[], columns: readonly svg.Point[]): string {
  const { places } = flow(blocks, columns.length);
  const drawn = places.map(({ column, down }, i) => {
    const [x, y] = columns[column] as svg.Point;
    return blockSvg(blocks[i] as Block, [x, y + down]);
  });
  return svg.mark('g', { class: 'key' }, drawn.join('\n'));
}

function blockSvg({ heading, entries }: Block, [x, y]: svg.Point): string {
  let top = y + HEADING;
  const rows = entries.map((entry) => {
    const middle = top + heightOf(entry) / 2;
    top += heightOf(entry);
    const lines = linesOf(entry);
    const first = middle - ((lines.length - 1) * PITCH) / 2 + 0.35 * svg.SIZES.entry;
    const texts = lines.map((one, i) => svg.text('entry', one, [x + FIELD + 1.5, first + i * PITCH]));
    return entry.symbol([x + FIELD / 2, middle]) + texts.join('');
  });
  const head = svg.text('heading', svg.fitText(heading, BOLD, svg.KEY_WIDTH), [x, y + 2.2]);
  return head + svg.line('rule', across([x + svg.KEY_WIDTH / 2, y + 3.4], svg.KEY_WIDTH / 2)) + rows.join('');
}
