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

type WhyOptions = { readonly all: boolean; readonly lengths: Lengths };
/** Paths with less than this are spelled out by octave only with `all`. */
const SPELLED = 0.01;

/** Without `all`, of several sources the loudest at each mic. */
export function whyView(why: Why, options: WhyOptions): View {
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
  return { id: 'line', title: '', blocks: prose('remarks', [`${mic} is a DI: no bleed`]) };
}

function pairSections(pair: WhyPair, why: Why, options: WhyOptions): Section[] {
  const atMic = why.pairs.filter(({ mic }) => mic === pair.mic);
  return [
    ...(atMic[0] === pair && atMic.length > 1 ? [pieces(why.source, atMic, options)] : []),
    { id: 'answer', title: `${pair.source} at ${pair.mic}`, blocks: prose('remarks', answer(pair)) },
    ...(pair.paths.length > 0 ? [pathTable(pair, options)] : []),
    ...spelled(pair, options),
  ];
}

const pathTable = (pair: WhyPair, { lengths }: WhyOptions): Section => ({
  id: 'paths',
  title: 'Paths',
  blocks: [
    ...prose('notes', [basis(pair)]),
    ...table(
      'Paths',
      pair.paths,
      [
        names('path', pathName),
        numbers('share', ({ fraction }) => percent(fraction)),
        numbers('dB SPL', ({ level }) => figureOr(level, 1, 'none')),
        numbers('length', ({ length }) => (length ? lengths.way(length, 2) : '')),
        numbers('delay', ({ delay }) => rangeText(inMilliseconds(delay), 1, ' ms')),
        numbers('source', ({ sourceOffAxis }) => rangeText(sourceOffAxis, 0, '°')),
        numbers('mic', ({ micOffAxis }) => rangeText(micOffAxis, 0, '°')),
      ],
      { inFull: pathName },
    ),
    ...prose('notes', [total(pair)]),
  ],
});

function basis({ mic, pattern, judgedBands, filtered, points }: WhyPair): string {
  const all = judgedBands.length === NOMINAL_BANDS.length;
  const octave = all
    ? 'all octaves'
    : `${octaves(judgedBands, NOMINAL_BANDS)} (the octaves in which ${mic} is judged)`;
  const shares = filtered ? `${octave}, after its filters` : octave;
  const levels = all && !filtered ? '' : `; levels: all octaves${filtered ? ', before filters' : ''}`;
  const section = points > 1 ? ` The section is ${points} points, summed as energies.` : '';
  return `Shares: ${shares}${levels}. Source, mic: degrees off-axis; ${mic} is ${pattern}.${section}`;
}

function total(pair: WhyPair): string {
  const level = `Total ${figureOr(pair.level, 1, 'none')} dB SPL`;
  const below = NOMINAL_BANDS.filter((hertz) => pair.schroeder !== null && hertz < pair.schroeder);
  const last = below.at(-1);
  if (last === undefined) return `${level}.`;
  return `${level}, ±5 dB up to ${hertzName(last)}: below the Schroeder frequency (${figure(pair.schroeder ?? 0, 0)} Hz), room modes dominate.`;
}

const shown = ({ paths }: WhyPair, { all }: Pick<WhyOptions, 'all'>): readonly WhyPath[] =>
  paths.filter(({ fraction }) => all || fraction >= SPELLED);

function spelled(pair: WhyPair, options: WhyOptions): Section[] {
  const paths = shown(pair, options);
  const left = pair.paths.length - paths.length;
  const more = prose('notes', [left > 0 && `${counted(left, 'more path')} below 1%: --all`]);
  return [
    ...paths.map((path, i) => ({
      id: `path-${i + 1}`,
      title: i === 0 ? 'Paths by octave, dB' : '',
      blocks: pathBlocks(path, options.lengths),
    })),
    { id: 'more', title: '', blocks: more },
  ];
}

/** Only those of the paths shown. */
function equations(paths: readonly WhyPath[]): Section {
  const met = new Set(paths.flatMap(({ gains }) => gains.map(({ kind }) => kind)));
  const lines = GAIN_KINDS.filter((kind) => met.has(kind)).map((kind) => {
    const { name, equation, source } = EQUATIONS[kind];
    return `${name}: ${equation} [${source}]`;
  });
  return { id: 'equations', title: 'Equations', blocks: prose('statements', lines) };
}

/** What each piece of a kit, part or player radiates to one mic, loudest first. */
function pieces(name: string, pairs: readonly WhyPair[], { all }: WhyOptions): Section {
  const whole = pairs.reduce((sum, pair) => sum + energy(pair), 0);
  const [loudest] = pairs;
  const title = `${name} at ${loudest?.mic ?? ''} by piece`;
  const next = `Showing ${loudest?.source}; others: --source NAME or --all`;
  const columns = [
    names('source', ({ source }: WhyPair) => source),
    numbers('share', (pair: WhyPair) => percent(whole > 0 ? energy(pair) / whole : 0)),
    numbers('dB SPL', ({ level }: WhyPair) => figureOr(level, 1, 'none')),
    words('mainly', ({ shares }: WhyPair) => mainly(shares, 'none')),
  ];
  return {
    id: 'pieces',
    title,
    blocks: [...table(title, pairs, columns), ...prose('notes', [!all && next])],
  };
}

const energy = ({ judgedLevel }: WhyPair): number => (judgedLevel === null ? 0 : 10 ** (judgedLevel / 10));

/** As wide as every name of a gain, so that the columns of all paths align; eight octaves leave just this at 80. */
const NAME_WIDTH = 22;

function pathBlocks(path: WhyPath, lengths: Lengths): Section['blocks'] {
  const title = `${pathName(path)}, ${percent(path.fraction)}`;
  const rows = [
    ...path.gains.map((gain) => row(gainName(gain, path, lengths), gain.byBand)),
    row('at the mic', path.byBand),
    ...path.baffles.flatMap((baffle) => baffleRows(baffle, path, lengths)),
  ];
  const columns = [
    { head: 'dB', kind: 'name', least: NAME_WIDTH } as const,
    ...NOMINAL_BANDS.map((hertz) => ({ head: bandHead(hertz), kind: 'number' }) as const),
  ];
  const opening =
    path.edges.length > 0 ? [edgeWords('opening', path.edges, lengths, ['inside', 'outside'])] : [];
  return [
    ...prose('notes', [{ text: title, is: 'strong' }]),
    { kind: 'table', caption: title, columns, rows },
    ...prose('statements', opening),
  ];
}

function gainName({ kind }: WhyGain, path: WhyPath, lengths: Lengths): string {
  if (kind === 'spreading' && path.length)
    return `spreading, ${lengths.way(path.length, path.points > 1 ? 1 : 2)}`;
  if (kind === 'directivity') return `directivity, ${rangeText(path.sourceOffAxis, 0, '°')}`;
  if (kind === 'response') return `mic pattern, ${rangeText(path.micOffAxis, 0, '°')}`;
  return EQUATIONS[kind].name;
}

const row = (name: string, levels: readonly (number | null)[]): TableRow => ({
  cells: [name, ...levels.map((level) => figureOr(level, 1, 'none'))],
});

const baffleRows = (baffle: WhyBaffle, path: WhyPath, lengths: Lengths): TableRow[] => [
  {
    ...row('  through', baffle.through),
    above: edgeWords(baffleTitle(baffle, path), baffle.edges, lengths),
  },
  row('  around', baffle.past),
  row('  total', baffle.whole),
  ...(path.baffles.length > 1 ? [{ cells: ['  share of the loss', ...baffle.share.map(percent)] }] : []),
];

function baffleTitle(baffle: WhyBaffle, { kind }: WhyPath): string {
  const turn = kind === 'surface' || kind === 'baffle' ? 'the reflection' : 'the wall';
  const name =
    baffle.weight < 1 ? `${baffleName(baffle)}, counts ${percent(baffle.weight)}` : baffleName(baffle);
  return baffle.where === 'whole' ? name : `${name}, ${baffle.where} ${turn}`;
}

/** Edges by the detour around them, and on which side of them the straight line passes. */
function edgeWords(
  name: string,
  edges: readonly WhyEdge[],
  lengths: Lengths,
  [within, without] = ['shadowed', 'clear'],
): string {
  const detours = edges.map(({ side, detour, hidden }) => {
    return `${side} ${hidden ? within : without}, detour ${lengths.way(detour, 2)}`;
  });
  return `${name}: ${detours.join('; ') || 'no free edge'}`;
}

/** Shares below this get no sentence of their own, unless nothing is larger. */
const WORTH_A_WORD = 0.2;

const NAMES: Readonly<Record<keyof Shares, string>> = {
  direct: 'Direct',
  reflections: 'First reflections',
  room: 'Room',
  walls: 'Through walls',
};

/** One line for each share that matters, the largest first. Remedies: common practice, no source. */
export function answer(pair: WhyPair): string[] {
  if (pair.level === null) return [`${pair.source} does not reach ${pair.mic}.`];
  const kinds = kindsIn(pair.shares);
  if (kinds.length === 0)
    return [`${pair.source} does not reach ${pair.mic} in the octaves in which ${pair.mic} is judged.`];
  const worth = kinds.filter(({ key }, i) => i === 0 || pair.shares[key] >= WORTH_A_WORD);
  const sentences = worth.map(({ key }) => sentence(pair, key));
  return [...sentences, ...roleOf(pair)];
}

function sentence(pair: WhyPair, key: keyof Shares): string {
  const share = pair.shares[key];
  const lead = `${NAMES[key]} ${percent(share)}`;
  if (pair.role !== 'bleed' && pair.role !== 'silent') return `${lead}${ofSignal(pair, key)}.`;
  const less = lessWithout(share);
  if (less === null) return `Nearly all ${NAMES[key].toLowerCase()}: ${helps(pair, key)}.`;
  return `${lead}: ${helps(pair, key)}. Without it: ${figure(less, 1)} dB lower.`;
}

function helps(pair: WhyPair, key: keyof Shares): string {
  const loudest = pair.paths.find((path) => path.share === key);
  switch (key) {
    case 'room':
      return "baffles won't help; closer mic, softer playing, absorption or another room";
    case 'direct':
      return againstDirect(loudest);
    case 'reflections':
      return `${mostOf(loudest)}absorption there, or move player or mic`;
    case 'walls':
      return `${mostOf(loudest)}${againstWalls(loudest)}`;
  }
}

function againstDirect(path: WhyPath | undefined): string {
  if (path?.kind === 'corner')
    return 'bends around a corner; re-aim, use the null, move away from the corner';
  const [baffle] = path?.baffles ?? [];
  return baffle
    ? `already around ${baffleName(baffle)}; re-aim, use the null, use a higher or wider baffle`
    : 're-aim, use the null, add a baffle';
}

function againstWalls(path: WhyPath | undefined): string {
  if (path?.kind === 'opening') return 'close it, or move out of its line of sight';
  if (path?.kind === 'through') return path.by === 'wall' ? 'a heavier wall' : `a better ${path.by}`;
  return 'close doors first, then heavier walls, or softer playing in the other room';
}

const mostOf = (path: WhyPath | undefined): string =>
  path ? `mainly ${pathName(path)} (${percent(path.fraction)}); ` : '';

const ofSignal = ({ role, shares }: WhyPair, key: keyof Shares): string =>
  role === 'signal' && key !== 'direct' && shares.direct < 0.5 ? ': a closer mic is drier' : '';

function roleOf({ role, mic, source, passage }: WhyPair): string[] {
  if (role === 'silent')
    return [
      `${source} is silent ${passage === null ? 'in every passage' : `in ${passage}, in which ${mic} is judged`}: no bleed.`,
    ];
  if (role === 'signal') return [`${mic} is for ${source}: this is signal, not bleed.`];
  if (role === 'same-kit') return [`${source} is part of the same kit: neither signal nor bleed.`];
  return [];
}
