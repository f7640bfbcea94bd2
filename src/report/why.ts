/** Why one source is as loud as it is at one microphone: its paths, what each gains and loses, and the equations behind. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { Shares } from '../judge/signal-to-bleed.ts';
import type { Why, WhyBaffle, WhyEdge, WhyGain, WhyPair, WhyPath } from '../judge/why.ts';
import type { Lengths } from '../plan/units.ts';
import { figure } from '../text.ts';
import { GAIN_KINDS } from '../transfer/trace.ts';
import { names, numbers, prose, type Section, type TableRow, table, type View, words } from './view.ts';
import {
  baffleName,
  bandHead,
  counted,
  EQUATIONS,
  figureOr,
  hertzName,
  inMilliseconds,
  kindsIn,
  lessWithout,
  mainly,
  octaves,
  pathName,
  percent,
  rangeText,
} from './words.ts';

type Told = { readonly all: boolean; readonly lengths: Lengths };
/** Paths with less than this are spelled out by octave only with `all`. */
const SPELLED = 0.01;

/** Without `all` the loudest source at each microphone is shown of several. */
export function whyView(why: Why, options: Told): View {
  const pairs = why.pairs.filter((pair, i) => options.all || why.pairs[i - 1]?.mic !== pair.mic);
  return {
    title: why.title,
    lead: [],
    sections: [
      ...(why.line ? [lineSection(why)] : []),
      ...pairs.flatMap((pair) => pairSections(pair, why, options)),
      equations(pairs.flatMap((pair) => shown(pair, options))),
    ],
  };
}

function lineSection({ mic }: Why): Section {
  const said = `${mic} is a direct line: nothing reaches it by air, so it carries no bleed.`;
  return { id: 'line', title: '', blocks: prose('remarks', [said]) };
}

function pairSections(pair: WhyPair, why: Why, options: Told): Section[] {
  const atMic = why.pairs.filter(({ mic }) => mic === pair.mic);
  return [
    ...(atMic[0] === pair && atMic.length > 1 ? [pieces(why.source, atMic, options)] : []),
    { id: 'answer', title: `${pair.source} at ${pair.mic}`, blocks: prose('remarks', answer(pair)) },
    ...(pair.paths.length > 0 ? [pathTable(pair, options)] : []),
    ...spelled(pair, options),
  ];
}

const pathTable = (pair: WhyPair, { lengths }: Told): Section => ({
  id: 'paths',
  title: 'Ways',
  blocks: [
    ...prose('notes', [basis(pair)]),
    ...table(
      'Ways',
      pair.paths,
      [
        names('way', pathName),
        numbers('share', ({ fraction }) => percent(fraction)),
        numbers('dB SPL', ({ level }) => figureOr(level, 1, 'none')),
        numbers('length', ({ length }) => (length ? lengths.way(length, 2) : '')),
        numbers('delay', ({ delay }) => rangeText(inMilliseconds(delay), 1, ' ms')),
        numbers('off axis', ({ offAxis }) => rangeText(offAxis, 0, '°')),
        numbers('off aim', ({ offAim }) => rangeText(offAim, 0, '°')),
      ],
      { inFull: pathName },
    ),
    ...prose('notes', [total(pair)]),
  ],
});

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
  if (last === undefined) return `${level}.`;
  return `${level}, uncertain by ±5 dB up to ${hertzName(last)}, below the room's Schroeder frequency of ${figure(pair.schroeder ?? 0, 0)} Hz.`;
}

const shown = ({ paths }: WhyPair, { all }: Pick<Told, 'all'>): readonly WhyPath[] =>
  paths.filter(({ fraction }) => all || fraction >= SPELLED);

function spelled(pair: WhyPair, options: Told): Section[] {
  const paths = shown(pair, options);
  const left = pair.paths.length - paths.length;
  const more = prose('notes', [left > 0 && `${counted(left, 'more way')} below 1%: --all`]);
  return [
    ...paths.map((path, i) => ({
      id: `path-${i + 1}`,
      title: i === 0 ? 'Way by way, dB by octave' : '',
      blocks: pathBlocks(path, options.lengths),
    })),
    { id: 'more', title: '', blocks: more },
  ];
}

/** Only what occurs in the paths shown. */
function equations(paths: readonly WhyPath[]): Section {
  const met = new Set(paths.flatMap(({ gains }) => gains.map(({ kind }) => kind)));
  const lines = GAIN_KINDS.filter((kind) => met.has(kind)).map((kind) => {
    const { name, equation, source } = EQUATIONS[kind];
    return `${name}: ${equation} [${source}]`;
  });
  return { id: 'equations', title: 'Equations', blocks: prose('statements', lines) };
}

/** What a kit, part or player sends to one microphone, piece by piece, loudest first. */
function pieces(name: string, pairs: readonly WhyPair[], { all }: Told): Section {
  const whole = pairs.reduce((sum, pair) => sum + energy(pair), 0);
  const [loudest] = pairs;
  const title = `${name} at ${loudest?.mic ?? ''}, piece by piece`;
  const next = `${loudest?.source} is told below; --source with another name, or --all, tells more.`;
  const columns = [
    names('source', ({ source }: WhyPair) => source),
    numbers('share', (pair: WhyPair) => percent(whole > 0 ? energy(pair) / whole : 0)),
    numbers('dB SPL', ({ level }: WhyPair) => figureOr(level, 1, 'none')),
    words('mostly', ({ shares }: WhyPair) => mainly(shares, 'nothing')),
  ];
  return {
    id: 'pieces',
    title,
    blocks: [...table(title, pairs, columns), ...prose('notes', [!all && next])],
  };
}

const energy = ({ judgedLevel }: WhyPair): number => (judgedLevel === null ? 0 : 10 ** (judgedLevel / 10));

/** As wide as every name of a gain, so that the tables of all paths stand in line; eight octaves leave just this at 80. */
const NAME_WIDTH = 22;

function pathBlocks(path: WhyPath, lengths: Lengths): Section['blocks'] {
  const title = `${pathName(path)}, ${percent(path.fraction)}`;
  const rows = [
    ...path.gains.map((gain) => row(gainName(gain, path, lengths), gain.byBand)),
    row('arrives', path.byBand),
    ...path.screens.flatMap((screen) => baffleRows(screen, path, lengths)),
  ];
  const columns = [
    { head: 'dB', kind: 'name', least: NAME_WIDTH } as const,
    ...NOMINAL_BANDS.map((hertz) => ({ head: bandHead(hertz), kind: 'number' }) as const),
  ];
  const opening =
    path.edges.length > 0 ? [edgeWords('opening', path.edges, lengths, ['inside', 'beyond'])] : [];
  return [
    ...prose('notes', [{ text: title, is: 'strong' }]),
    { kind: 'table', caption: title, columns, rows },
    ...prose('statements', opening),
  ];
}

function gainName({ kind }: WhyGain, path: WhyPath, lengths: Lengths): string {
  if (kind === 'spreading' && path.length)
    return `spreading, ${lengths.way(path.length, path.points > 1 ? 1 : 2)}`;
  if (kind === 'directivity') return `source at ${rangeText(path.offAxis, 0, '°')}`;
  if (kind === 'response') return `microphone at ${rangeText(path.offAim, 0, '°')}`;
  return EQUATIONS[kind].name;
}

const row = (name: string, levels: readonly (number | null)[]): TableRow => ({
  cells: [name, ...levels.map((level) => figureOr(level, 1, 'none'))],
});

const baffleRows = (screen: WhyBaffle, path: WhyPath, lengths: Lengths): TableRow[] => [
  {
    ...row('  through it', screen.through),
    above: edgeWords(baffleTitle(screen, path), screen.edges, lengths),
  },
  row('  past its edges', screen.past),
  row('  both', screen.whole),
];

function baffleTitle(screen: WhyBaffle, { kind }: WhyPath): string {
  const turn = kind === 'surface' || kind === 'mirror' ? 'the reflection' : 'the wall';
  return screen.where === 'whole' ? baffleName(screen) : `${baffleName(screen)}, ${screen.where} ${turn}`;
}

/** Edges by how much longer the path round them is, and on which side of them the straight line passes. */
function edgeWords(
  name: string,
  edges: readonly WhyEdge[],
  lengths: Lengths,
  [within, without] = ['hidden', 'clear'],
): string {
  const ways = edges.map(
    ({ side, detour, hidden }) => `${side} +${lengths.way(detour, 2)} ${hidden ? within : without}`,
  );
  return `${name}: ${ways.join(', ') || 'no way round'}`;
}

/** Shares below this get no sentence of their own, unless nothing is larger. */
const WORTH_A_WORD = 0.2;

const NAMES: Readonly<Record<keyof Shares, string>> = {
  direct: 'Direct sound',
  reflections: 'First reflections',
  room: 'Room field',
  walls: 'Sound through walls',
};

/** One sentence for each share that matters, the largest first. Remedies: common practice, no source. */
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
      return `${mostOf(loudest)}absorption there, or where the two stand`;
    case 'walls':
      return `${mostOf(loudest)}${againstWalls(loudest)}`;
  }
}

function againstDirect(path: WhyPath | undefined): string {
  if (path?.kind === 'bent') return 'it bends round a corner; aim, null, or further from the corner';
  const [screen] = path?.screens ?? [];
  return screen
    ? `past ${baffleName(screen)} already; aim, null, or a higher or wider screen`
    : 'aim, null or screen';
}

function againstWalls(path: WhyPath | undefined): string {
  if (path?.kind === 'opening') return 'shut it, or move out of its line';
  if (path?.kind === 'through') return path.by === 'wall' ? 'a heavier wall' : `a better ${path.by}`;
  return 'doors first, then heavier walls, or softer in the other room';
}

const mostOf = (path: WhyPath | undefined): string =>
  path ? `mostly ${pathName(path)} (${percent(path.fraction)}); ` : '';

const ofOwn = ({ role, shares }: WhyPair, key: keyof Shares): string =>
  role === 'signal' && key !== 'direct' && shares.direct < 0.5 ? ': closer makes it drier' : '';

function roleOf({ role, mic, source }: WhyPair): string[] {
  if (role === 'signal') return [`${mic} is for ${source}: this is signal, not bleed.`];
  if (role === 'same-kit') return [`${source} belongs to what ${mic} is for: neither signal nor bleed.`];
  return [];
}
