/** Why: ways, factors, equations. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Shares } from '../judge/rows.ts';
import type { Why, WhyEdge, WhyGain, WhyPair, WhyPath, WhyScreen } from '../judge/why.ts';
import { escapeAll } from '../layout/html.ts';
import { type Column, type InUnits, type Layout, padEnd, paint, plain, table, wrap } from '../layout/text.ts';
import { GAIN_KINDS } from '../transfer/trace.ts';
import {
  counted,
  EQUATIONS,
  figure,
  figureOr,
  hertzName,
  inMilliseconds,
  kindsIn,
  lessWithout,
  octaves,
  percent,
  rangeText,
  screenName,
  wayName,
} from './words.ts';

export type WhyOptions = InUnits & {
  readonly width: number;
  readonly colour: boolean;
  readonly all: boolean;
};

type Page = Layout & InUnits;

/** Ways with less than this are spelled out by octave only with `all`. */
const SPELLED = 0.01;

export function whyText(why: Why, { width, colour, all, lengths }: WhyOptions): string {
  const safe = escapeAll(why);
  const layout = { width, paint: paint(colour), all, lengths };
  const told = safe.pairs.filter((pair, i) => all || safe.pairs[i - 1]?.mic !== pair.mic);
  const sections = [
    safe.title === '' ? [] : wrap(safe.title, width).map(layout.paint.strong),
    ...(safe.line
      ? [wrap(`${safe.mic} is a direct line: nothing reaches it by air, so it carries no bleed.`, width)]
      : []),
    ...told.flatMap((pair) => pairSections(pair, safe, layout)),
    equations(
      told.flatMap((pair) => shown(pair, layout)),
      layout,
    ),
  ];
  return `${sections
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join('\n'))
    .join('\n\n')}\n`;
}

function pairSections(pair: WhyPair, why: Why, layout: Page): string[][] {
  const mates = why.pairs.filter(({ mic }) => mic === pair.mic);
  const first = mates[0] === pair && mates.length > 1 ? [pieces(why.source, mates, layout)] : [];
  const title = wrap(`${pair.source} at ${pair.mic}`, layout.width).map(layout.paint.strong);
  const lines = answer(pair).flatMap((sentence) => wrap(sentence, layout.width));
  return [...first, [...title, ...lines], ways(pair, layout), ...spelled(pair, layout)];
}

function ways(pair: WhyPair, layout: Page): string[] {
  if (pair.paths.length === 0) return [];
  const [head = '', ...rows] = table(
    WHY_COLUMNS,
    pair.paths.map((path) => wayCells(path, layout).map(plain)),
    layout.width,
  );
  return [
    layout.paint.strong('Ways'),
    ...wrap(basis(pair), layout.width, '  '),
    layout.paint.faint(head),
    ...rows.flatMap((row, i) => [row, ...uncut(pair.paths[i], row, layout)]),
    ...wrap(total(pair), layout.width, '  '),
  ];
}

/** A name that its column had no room for, in full. */
function uncut(path: WhyPath | undefined, row: string, layout: Layout): string[] {
  if (!path || row.includes(wayName(path))) return [];
  return wrap(wayName(path), layout.width, '    ');
}

const WHY_COLUMNS: readonly Column[] = [
  { head: 'way', align: 'left', flexible: true },
  { head: 'share', align: 'right' },
  { head: 'dB SPL', align: 'right' },
  { head: 'length', align: 'right' },
  { head: 'delay', align: 'right' },
  { head: 'off axis', align: 'right' },
  { head: 'off aim', align: 'right' },
];

const wayCells = (path: WhyPath, { lengths }: InUnits): string[] => [
  wayName(path),
  percent(path.fraction),
  figureOr(path.level, 1, 'none'),
  path.length ? lengths.way(path.length, 2) : '',
  rangeText(inMilliseconds(path.delay), 1, ' ms'),
  rangeText(path.offAxis, 0, '°'),
  rangeText(path.offAim, 0, '°'),
];

function basis({ mic, pattern, judgedBands, filtered, points }: WhyPair): string {
  const all = judgedBands.length === NOMINAL_BANDS.length;
  const octave = all
    ? 'over all octaves'
    : `in ${octaves(judgedBands, NOMINAL_BANDS)}, where ${mic} is judged`;
  const counts = filtered ? `${octave}, after its filters` : octave;
  const levels = all && !filtered ? '' : `; levels over all octaves${filtered ? ', before filters' : ''}`;
  const section = points > 1 ? `; a section of ${points} points, added as energies` : '';
  return `Shares ${counts}${levels}. Off axis is the source's angle, off aim that of ${mic} (${pattern})${section}.`;
}

function total(pair: WhyPair): string {
  const level = `Together ${figureOr(pair.level, 1, 'none')} dB SPL`;
  const below = NOMINAL_BANDS.filter((hertz) => pair.schroeder !== null && hertz < pair.schroeder);
  const last = below.at(-1);
  const doubt =
    last === undefined
      ? ''
      : `, uncertain by ±5 dB up to ${hertzName(last)}, below the room's Schroeder frequency of ${figure(pair.schroeder ?? 0, 0)} Hz`;
  return `${level}${doubt}.`;
}

const shown = ({ paths }: WhyPair, { all }: Layout): readonly WhyPath[] =>
  paths.filter(({ fraction }) => all || fraction >= SPELLED);

function spelled(pair: WhyPair, layout: Page): string[][] {
  const [first, ...rest] = shown(pair, layout).map((path) => pathLines(path, layout));
  const left = pair.paths.length - (first ? rest.length + 1 : 0);
  const more = left > 0 ? [[`  ${counted(left, 'more way')} below 1%: --all`]] : [];
  if (!first) return more;
  return [[layout.paint.strong('Way by way, dB by octave'), ...first], ...rest, ...more];
}

/** Only what occurs in the ways told. */
function equations(paths: readonly WhyPath[], layout: Layout): string[] {
  const met = new Set(paths.flatMap(({ gains }) => gains.map(({ kind }) => kind)));
  if (met.size === 0) return [];
  const lines = GAIN_KINDS.filter((kind) => met.has(kind)).flatMap((kind) => {
    const { name, equation, source } = EQUATIONS[kind];
    return wrap(`${name}: ${equation} [${source}]`, layout.width, '  ', '    ');
  });
  return [layout.paint.strong('Equations'), ...lines];
}

const WHY_PIECES_COLUMNS: readonly Column[] = [
  { head: 'source', align: 'left', flexible: true },
  { head: 'share', align: 'right' },
  { head: 'dB SPL', align: 'right' },
  { head: 'mostly', align: 'left' },
];

/** What a kit, part or player sends to one microphone, piece by piece, loudest first. */
function pieces(name: string, pairs: readonly WhyPair[], layout: Layout): string[] {
  const whole = pairs.reduce((sum, pair) => sum + energy(pair), 0);
  const rows = pairs.map((pair) => {
    const [largest] = kindsIn(pair.shares);
    const mostly = largest ? `${largest.name} ${percent(pair.shares[largest.key])}` : 'nothing';
    return [
      pair.source,
      percent(whole > 0 ? energy(pair) / whole : 0),
      figureOr(pair.level, 1, 'none'),
      mostly,
    ];
  });
  const [head = '', ...lines] = table(
    WHY_PIECES_COLUMNS,
    rows.map((row) => row.map(plain)),
    layout.width,
  );
  const mic = pairs[0]?.mic ?? '';
  const [loudest] = pairs;
  const next = layout.all
    ? []
    : wrap(
        `${loudest?.source} is told below; --source with another name, or --all, tells more.`,
        layout.width,
        '  ',
      );
  return [
    ...wrap(`${name} at ${mic}, piece by piece`, layout.width).map(layout.paint.strong),
    layout.paint.faint(head),
    ...lines,
    ...next,
  ];
}

const energy = ({ judgedLevel }: WhyPair): number => (judgedLevel === null ? 0 : 10 ** (judgedLevel / 10));

// One way by octave: what each thing on it gives or takes, then the screens that it meets.

/** As wide as every name of a gain, so that the tables of all ways stand in line; eight octaves leave just this at 80. */
const NAME_WIDTH = 22;

function pathLines(path: WhyPath, layout: Layout & InUnits): string[] {
  const gains = [
    ...path.gains.map((gain) => row(gainName(gain, path, layout), gain.byBand)),
    row('arrives', path.byBand),
  ];
  const screens = path.screens.map(screenRows);
  const [head = '', ...lines] = table(
    COLUMNS,
    [...gains, ...screens.flat()].map((cells) => cells.map(plain)),
    layout.width,
  );
  return [
    ...wrap(`${wayName(path)}, ${percent(path.fraction)}`, layout.width, '  ').map(layout.paint.strong),
    layout.paint.faint(head),
    ...lines.splice(0, gains.length),
    ...path.screens.flatMap((screen, i) => [
      ...edgeLines(screenTitle(screen, path), screen.edges, layout),
      ...lines.splice(0, screens[i]?.length ?? 0),
    ]),
    ...(path.edges.length > 0 ? edgeLines('opening', path.edges, layout, ['inside', 'beyond']) : []),
  ];
}

const COLUMNS: readonly Column[] = [
  { head: 'dB', align: 'left', flexible: true },
  ...NOMINAL_BANDS.map((hertz) => ({ head: bandHead(hertz), align: 'right' }) as const),
];

function bandHead(hertz: number): string {
  return hertzName(hertz).replace(' ', '').replace('Hz', '');
}

function gainName({ kind }: WhyGain, path: WhyPath, { lengths }: InUnits): string {
  if (kind === 'spreading' && path.length)
    return `spreading, ${lengths.way(path.length, path.points > 1 ? 1 : 2)}`;
  if (kind === 'directivity') return `source at ${rangeText(path.offAxis, 0, '°')}`;
  if (kind === 'response') return `microphone at ${rangeText(path.offAim, 0, '°')}`;
  return EQUATIONS[kind].name;
}

const row = (name: string, levels: readonly (number | null)[]): string[] => [
  padEnd(name, NAME_WIDTH),
  ...levels.map((level) => figureOr(level, 1, 'none')),
];

const screenRows = (screen: WhyScreen): string[][] => [
  row('  through it', screen.through),
  row('  past its edges', screen.past),
  row('  both', screen.whole),
];

function screenTitle(screen: WhyScreen, { kind }: WhyPath): string {
  const turn = kind === 'surface' || kind === 'mirror' ? 'the reflection' : 'the wall';
  return screen.where === 'whole' ? screenName(screen) : `${screenName(screen)}, ${screen.where} ${turn}`;
}

/** Edges by how much longer the way round them is, and on which side of them the straight line passes. */
function edgeLines(
  name: string,
  edges: readonly WhyEdge[],
  layout: Layout & InUnits,
  [within, without] = ['hidden', 'clear'],
): string[] {
  const ways = edges.map(
    ({ side, detour, hidden }) => `${side} +${layout.lengths.way(detour, 2)} ${hidden ? within : without}`,
  );
  return wrap(`${name}: ${ways.join(', ') || 'no way round'}`, layout.width, '  ', '    ');
}

// The answer before the figures: what rules at a microphone, and what would help. Cures: common practice, no source.

/** Shares below this get no sentence of their own, unless nothing is larger. */
const WORTH_A_WORD = 0.2;

const NAMES: Readonly<Record<keyof Shares, string>> = {
  direct: 'Direct sound',
  reflections: 'First reflections',
  room: 'Room field',
  walls: 'Sound through walls',
};

/** One sentence for each share that matters, the largest first. */
export function answer(pair: WhyPair): string[] {
  if (pair.level === null) return [`Nothing of ${pair.source} reaches ${pair.mic}.`];
  const kinds = kindsIn(pair.shares);
  if (kinds.length === 0)
    return [`In the octaves that ${pair.mic} is judged in, nothing of ${pair.source} arrives.`];
  const worth = kinds.filter(({ key }, i) => i === 0 || pair.shares[key] >= WORTH_A_WORD);
  const sentences = worth.map(({ key }) => sentence(pair, key));
  return [...sentences, ...roleOf(pair)];
}

function sentence(pair: WhyPair, key: keyof Shares): string {
  const share = pair.shares[key];
  const lead = `${NAMES[key]} ${percent(share)}`;
  if (pair.role !== 'bleed') return `${lead}${ofOwn(pair, key)}.`;
  const less = lessWithout(share);
  const gone = less === null ? 'it is nearly all there is' : `without it ${figure(less, 1)} dB less`;
  return `${lead}: ${helps(pair, key)}; ${gone}.`;
}

function helps(pair: WhyPair, key: keyof Shares): string {
  const loudest = pair.paths.find((path) => path.share === key);
  switch (key) {
    case 'room':
      return 'no screen helps; closer, softer, absorption or another room';
    case 'direct':
      return againstDirect(loudest);
    case 'reflections':
      return `${mostly(loudest)}absorption there, or where the two stand`;
    case 'walls':
      return `${mostly(loudest)}${againstWalls(loudest)}`;
  }
}

function againstDirect(path: WhyPath | undefined): string {
  if (path?.kind === 'bent') return 'it bends round a corner; aim, null, or further from the corner';
  const [screen] = path?.screens ?? [];
  return screen
    ? `past ${screenName(screen)} already; aim, null, or a higher or wider screen`
    : 'aim, null or screen';
}

function againstWalls(path: WhyPath | undefined): string {
  if (path?.kind === 'opening') return 'shut it, or move out of its line';
  if (path?.kind === 'through') return path.by === 'wall' ? 'a heavier wall' : `a better ${path.by}`;
  return 'doors first, then heavier walls, or softer in the other room';
}

const mostly = (path: WhyPath | undefined): string =>
  path ? `mostly ${wayName(path)} (${percent(path.fraction)}); ` : '';

const ofOwn = ({ role, shares }: WhyPair, key: keyof Shares): string =>
  role === 'own' && key !== 'direct' && shares.direct < 0.5 ? ': closer makes it drier' : '';

function roleOf({ role, mic, source }: WhyPair): string[] {
  if (role === 'own') return [`${mic} is for ${source}: this is signal, not bleed.`];
  if (role === 'mate') return [`${source} belongs to what ${mic} is for: neither signal nor bleed.`];
  return [];
}
