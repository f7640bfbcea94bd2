/** The key. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { LengthUnit } from '../plan/document.ts';
import { type Lengths, lengthsIn } from '../plan/units.ts';
import { hertzName } from '../report/words.ts';
import { SLIT } from '../scene/partitions.ts';
import type { Player, Scene, WallElement } from '../scene/scene.ts';
import { FAINTEST, weightOf } from './bleed.ts';
import type { View } from './drawing.ts';
import { STEP, shadeOf } from './level-map.ts';
import { CAPSULE, cabinet, personMarks } from './people.ts';
import { hungIn, screenMarks } from './room.ts';
import {
  area,
  away,
  boxAt,
  circle,
  fitText,
  KEY_WIDTH,
  line,
  mark,
  type Point,
  plain,
  SHELL,
  scaleBar,
  setInLines,
  trace,
} from './svg.ts';

// What the key tells of, block by block: only what the drawing shows.
/** The 50 of "1:50", and the unit of the bar. */
type Scale = { readonly scale: number; readonly units: LengthUnit };

export function keyBlocks(scene: Scene, view: View, scale: Scale): Block[] {
  const at = hertzName(NOMINAL_BANDS[view.band] ?? 0);
  const blocks = [
    scaleBlock(scale),
    { heading: 'Plan', entries: wallEntries(scene, lengthsIn(scale.units)) },
    { heading: 'Who plays', entries: peopleEntries(scene) },
    { heading: `Microphones at ${at}`, entries: micEntries(scene) },
    { heading: view.bleedHeading, entries: bleedEntries(view) },
    { heading: view.level?.title ?? '', entries: levelEntries(view.level?.steps ?? []) },
    { heading: 'Direct lines', entries: lineEntries(scene) },
  ];
  return blocks.filter(({ entries }) => entries.length > 0);
}

/** Longest bar, mm. */
const BAR = 40;

function scaleBlock({ scale, units }: Scale): Block {
  const bar = ([x, y]: Point) => scaleBar([x - FIELD / 2, y - 3], BAR, { perMetre: 1000 / scale, units });
  return {
    heading: `Scale 1:${scale}`,
    entries: [
      { symbol: bar, text: '', height: 9 },
      { symbol: upThePage, text: 'Bearing 0° is up the page, 90° to the right', height: 9 },
    ],
  };
}

const upThePage = ([x, y]: Point): string =>
  area('north', [
    [x, y - 4],
    [x + 1.7, y + 3.6],
    [x, y + 2],
    [x - 1.7, y + 3.6],
  ]);

// What the key says of walls, doors and windows.

const textsIn = ({ close }: Lengths): Readonly<Record<string, string>> => ({
  'door closed': 'Door, closed',
  'door ajar': `Door, ajar (drawn further open than the ${close(SLIT)} that count)`,
  'door open': 'Door, open; on which side it hangs the plan does not say',
  'window closed': 'Window',
  'window ajar': 'Window, ajar',
  'window open': 'Window, open',
  'opening open': 'Opening',
});

const wallEntries = (scene: Scene, lengths: Lengths): Entry[] => [
  ...roomEntries(scene, lengths),
  ...screenEntries(scene),
];

function roomEntries({ rooms, partitions }: Scene, lengths: Lengths): Entry[] {
  const texts = textsIn(lengths);
  if (rooms.length === 0) return [];
  const hung = partitions.flatMap(({ elements }) =>
    elements.filter(({ free, state }) => !(free && state === 'ajar')),
  );
  const kinds = [...new Set(hung.map(({ kind, state }) => `${kind} ${state}`))].sort();
  return [
    { symbol: outerWall, text: 'Outer wall; how thick it is the plan does not say' },
    ...(partitions.length > 0
      ? [{ symbol: innerWall, text: 'Wall between rooms, as thick as the plan leaves it' }]
      : []),
    ...kinds.map((kind) => ({ symbol: elementSymbol(kind), text: texts[kind] ?? kind, height: 7 })),
  ];
}

const screenEntries = ({ panels }: Scene): Entry[] =>
  panels.some(({ booth }) => booth === null) ? [{ symbol: screen, text: 'Baffle' }] : [];

const screen = ([x, y]: Point): string =>
  screenMarks([
    [x - 4.5, y],
    [x + 4.5, y],
  ]);

const rectangle = ([x, y]: Point, width: number, height: number): Point[] => [
  [x - width / 2, y - height / 2],
  [x + width / 2, y - height / 2],
  [x + width / 2, y + height / 2],
  [x - width / 2, y + height / 2],
];

const outerWall = (at: Point): string => area('wall', rectangle(at, 12, SHELL));

const innerWall = (at: Point): string => area('wall', rectangle(at, 12, 2.2));

/** In a short piece of wall, the room it opens into above. */
const elementSymbol =
  (kind: string) =>
  ([x, y]: Point): string => {
    const [element, state] = kind.split(' ') as [WallElement['kind'], WallElement['state']];
    const foot = y + (state === 'closed' || element === 'opening' ? 0 : 2.4);
    const hole: readonly [Point, Point, Point, Point] = [
      [x - 3, foot - 0.8],
      [x + 3, foot - 0.8],
      [x + 3, foot + 0.8],
      [x - 3, foot + 0.8],
    ];
    return (
      area('wall', rectangle([x, foot], 12, 1.6)) + area('hole', hole) + hungIn(element, state, hole).svg
    );
  };

// What the key says of players and of all that sounds.

function peopleEntries({ players, sources }: Scene): Entry[] {
  const kinds = KINDS.filter(({ is }) => players.some(is));
  const sounding = sources.filter(({ points }) => points.length > 0);
  const own = sounding.filter(({ path }) => path[0] === 'sources');
  return [
    ...kinds.map(({ symbol, text }) => ({ symbol, text })),
    ...(sounding.length > 0 ? [{ symbol: voice, text: SOUNDS }] : []),
    ...(own.some(({ points }) => points.length === 1)
      ? [{ symbol: loudspeaker, text: CABINET, height: 6.4 }]
      : []),
    ...(own.some(({ points }) => points.length > 1) ? [{ symbol: section, text: SECTION }] : []),
  ];
}

const SOUNDS = 'Where it sounds from, as large as it is; the tick is its axis';

const CABINET = 'Loudspeaker or instrument by itself, wide end forward; its size is not in the plan';

const SECTION = 'Section, and the points that stand for it';

const person =
  (standing: boolean, listener: boolean) =>
  (at: Point): string =>
    personMarks(at, 0, 1.9, { standing, listener });

const KINDS: readonly (Entry & { readonly is: (player: Player) => boolean })[] = [
  {
    is: ({ listener, standing }) => !listener && standing,
    symbol: person(true, false),
    text: 'Player, standing; the tip is where the face looks',
  },
  {
    is: ({ listener, standing }) => !listener && !standing,
    symbol: person(false, false),
    text: 'Player, seated; the tip is where the face looks',
  },
  { is: ({ listener }) => listener, symbol: person(true, true), text: 'Listener' },
];

const voice = (at: Point): string =>
  circle('disc', at, 1.5) + circle('centre', at, 0.3) + line('axis', [away(at, 0, 1.5), away(at, 0, 3)]);

const loudspeaker = ([x, y]: Point): string => area('cabinet', cabinet([x + 1.5, y], 0, 5));

function section(at: Point): string {
  const { left, right, top, bottom } = boxAt(at, 9, 3.6);
  return area('section', [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ]);
}

// What the key says of microphones and lines.

function micEntries({ mics, capsules }: Scene): Entry[] {
  if (capsules.length === 0) return [];
  const pair = mics.some((mic) => mic.capsules.length > 1);
  return [
    {
      symbol: micSymbol,
      text: 'Pattern in the level plane: how much it takes of sound from each side. The tick ends at 0 dB on axis',
      height: 10,
    },
    ...(pair ? [{ symbol: pairSymbol, text: 'Pair: two capsules' }] : []),
  ];
}

/** A made-up pattern, half and half, toward the right. */
function micSymbol([x, y]: Point): string {
  const at: Point = [x - 2, y];
  const curve = Array.from({ length: 60 }, (_, i) => {
    const angle = (i * Math.PI) / 30;
    return away(at, angle, 4.4 * (0.5 + 0.5 * Math.cos(angle)));
  });
  const tip = away(at, 0, 4.4);
  const head = [away(tip, 2.6, 1.1), tip, away(tip, -2.6, 1.1)];
  return area('pattern', curve) + line('aim', [at, tip]) + line('aim', head) + circle('capsule', at, CAPSULE);
}

const pairSymbol = ([x, y]: Point): string =>
  line('pair', [
    [x - 2.5, y],
    [x + 2.5, y],
  ]) +
  circle('capsule', [x - 2.5, y], CAPSULE) +
  circle('capsule', [x + 2.5, y], CAPSULE);

const lineEntries = ({ mics, sources }: Scene): Entry[] =>
  mics
    .filter(({ line: isLine }) => isLine)
    .map(({ name, wanted }) => ({
      symbol: plug,
      text: `${name}, from ${wanted.map((index) => sources[index]?.name).join(', ')}`,
    }));

const plug = ([x, y]: Point): string =>
  mark('rect', { class: 'bar-dark', x: x - 1.2, y: y - 1.2, width: 2.4, height: 2.4 });

// What the key says of the lines of bleed: what becomes of it by dash and colour, how loud it is by weight.

/** Of the weight in which the kinds are shown, dB. */
const USUAL = -8;

const WEIGHTS = [0, FAINTEST / 3, (2 * FAINTEST) / 3, FAINTEST];

function bleedEntries({ lines, words }: View): Entry[] {
  if (lines.length === 0) return [];
  const kinds = (['own', 'short', 'marginal', 'clear'] as const).filter((kind) =>
    lines.some((one) => one.kind === kind),
  );
  return [
    ...kinds.map((kind) => ({ symbol: sample(kind, USUAL), text: words[kind] })),
    ...WEIGHTS.map((db) => ({ symbol: sample('plain', db), text: db === 0 ? words.weight : below(db) })),
  ];
}

const below = (db: number): string => `−${-db} dB${db === FAINTEST ? ' and less' : ''}`;

const sample =
  (kind: string, db: number) =>
  ([x, y]: Point): string => {
    const ends: Point[] = [
      [x - 6, y],
      [x + 6, y],
    ];
    return mark('path', { class: `way ${kind}`, d: trace(ends), 'stroke-width': weightOf(db) });
  };

// What the key says of a floor shaded by level.

/** Fields touch, the loudest on top. */
const HIGH = 4.6;

const levelEntries = (steps: readonly number[]): Entry[] =>
  steps
    .map(
      (step, i): Entry => ({
        symbol: swatch(shadeOf(i, steps.length)),
        text: rangeText(step, i, steps.length),
        height: HIGH,
      }),
    )
    .reverse();

function rangeText(step: number, i: number, steps: number): string {
  if (i === 0 && steps > 1) return `under ${step + STEP} dB`;
  return i === steps - 1 ? `${step} dB and more` : `${step} to ${step + STEP} dB`;
}

const swatch =
  (shade: number) =>
  ([x, y]: Point): string =>
    mark('rect', { class: `level shade-${shade}`, x: x - 5, y: y - HIGH / 2, width: 10, height: HIGH });

type Entry = {
  /** Marks about the middle of its field, which is `FIELD` mm wide. */
  readonly symbol: (at: Point) => string;
  readonly text: string;
  /** Least height, mm. */
  readonly height?: number;
};

export type Block = {
  readonly heading: string;
  readonly entries: readonly Entry[];
};

const SIZE = 2.5;

/** What a heading's heavier, spaced letters come to, mm. */
const BOLD = 2.85;

const PITCH = 3.2;

const FIELD = 14;

const HEADING = 5;

const AFTER = 3.4;

const LEAST = 5.2;

const linesOf = ({ text }: Entry): string[] =>
  text === '' ? [] : setInLines(text, SIZE, KEY_WIDTH - FIELD - 1.5);

const heightOf = (entry: Entry): number =>
  Math.max(entry.height ?? LEAST, linesOf(entry).length * PITCH + 1.6);

const blockHeight = ({ entries }: Block): number =>
  HEADING + entries.reduce((sum, entry) => sum + heightOf(entry), 0) + AFTER;

/** Which column each block stands in, and how high the highest is. A block is never broken. */
function flow(blocks: readonly Block[], columns: number): { readonly of: number[]; readonly height: number } {
  const total = blocks.reduce((sum, block) => sum + blockHeight(block), 0);
  const tallest = Math.max(...blocks.map(blockHeight));
  for (let room = Math.max(total / columns, tallest); ; room += 4) {
    const heights = [0];
    const of = blocks.map((block) => {
      const last = heights.length - 1;
      if ((heights[last] as number) + blockHeight(block) > room) heights.push(0);
      heights[heights.length - 1] = (heights.at(-1) as number) + blockHeight(block);
      return heights.length - 1;
    });
    if (heights.length <= columns) return { of, height: Math.max(...heights) };
  }
}

export const keyHeight = (blocks: readonly Block[], columns: number): number => flow(blocks, columns).height;

export function keySvg(blocks: readonly Block[], columns: readonly Point[]): string {
  const { of } = flow(blocks, columns.length);
  const used = columns.map(() => 0);
  const drawn = blocks.map((block, i) => {
    const column = of[i] as number;
    const [x, y] = columns[column] as Point;
    const top = y + (used[column] as number);
    used[column] = (used[column] as number) + blockHeight(block);
    return blockSvg(block, [x, top]);
  });
  return mark('g', { class: 'key' }, drawn.join('\n'));
}

function blockSvg({ heading, entries }: Block, [x, y]: Point): string {
  let top = y + HEADING;
  const rows = entries.map((entry) => {
    const height = heightOf(entry);
    const middle = top + height / 2;
    top += height;
    const lines = linesOf(entry);
    const first = middle - ((lines.length - 1) * PITCH) / 2 + 0.35 * SIZE;
    const texts = lines.map((text, i) =>
      mark('text', { class: 'entry', x: x + FIELD + 1.5, y: first + i * PITCH }, plain(text)),
    );
    return entry.symbol([x + FIELD / 2, middle]) + texts.join('');
  });
  const head = mark('text', { class: 'heading', x, y: y + 2.2 }, plain(fitText(heading, BOLD, KEY_WIDTH)));
  const rule = line('rule', [
    [x, y + 3.4],
    [x + KEY_WIDTH, y + 3.4],
  ]);
  return head + rule + rows.join('');
}
