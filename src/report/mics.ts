/** Microphones: signal to bleed and what is behind it, what each brings to its input, their delays, and pairs for everyone. */
import { decibels, energyOf, NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { CriterionKind } from '../judge/criteria.ts';
import type { InputRow } from '../judge/inputs.ts';
import { RIPPLE } from '../judge/pitfalls.ts';
import type { Report } from '../judge/report.ts';
import type { LevelRow, MicRow, Shares } from '../judge/signal-to-bleed.ts';
import { judgedEnergy, worstBleeder } from '../judge/signal-to-bleed.ts';
import type { SpacingRow } from '../judge/spacing.ts';
import type { MainPairRow } from '../judge/stereo.ts';
import type { OverheadRow, SpotDelay, TimingRow } from '../judge/timing.ts';
import { groupBy } from '../statistics.ts';
import { figure } from '../text.ts';
import { type Answer, type Entry, type Scope, worstFirst } from './answer.ts';
import { limitSentence } from './criteria.ts';
import type { Block, Column, Details, MatrixCell, Table, Words } from './view.ts';
import { ENDLESS, given, names, numbers, prose, table, WIDE, words } from './view.ts';
import {
  bandHead,
  basisWords,
  counted,
  figureOr,
  hertzName,
  inPassage,
  inTable,
  mainly,
  micVerdict,
  octaves,
  remedies,
  round,
  signed,
  verdictCell,
} from './words.ts';

/** Targets of main mics. */
const OF_MAINS: readonly CriterionKind[] = ['balance', 'direct-to-reverberant'];

type BleedRow = {
  readonly name: string;
  readonly for: string;
  /** Null for a DI, which has no bleed. */
  readonly mic: MicRow | null;
  /** Whose guessed level, and whose guessed facing, would turn the verdict; null where none would. */
  readonly level: string | null;
  readonly facing: string | null;
  readonly details: readonly Block[];
};

/** Signal to bleed of every mic, worst first; in full, each with its bleed and remedies. */
export function bleed(report: Answer, scope: Scope): Block[] {
  const isBrief = scope.detail === 'brief';
  const { entries, ...others } = inSight(report, isBrief);
  const lines = isBrief ? [] : report.lines;
  const rows: BleedRow[] = [
    ...entries.flatMap((entry) => entryRows(entry, report, scope)),
    ...lines.map((line) => ({
      name: line.name,
      for: line.for.join(', '),
      mic: null,
      ...{ level: null, facing: null },
      details: [],
    })),
  ];
  return [
    ...table('Signal to bleed, worst first', rows, bleedColumns(report.levelBasis !== null, isBrief), {
      inFull: ({ name, for: whom }) => (isBrief ? name : `${name.trim()}, for ${whom}`),
      details: ({ details }) => details,
      behind: 'Each mic in detail',
    }),
    ...prose('statements', isBrief ? othersWords(others, report.lines) : []),
    ...prose('notes', guessWords(rows, isBrief)),
  ];
}

/** What the question marks of a brief page mean, and what settles most of them. */
function guessWords(rows: readonly BleedRow[], isBrief: boolean): string[] {
  const [levels, facings] = [named(rows.map(({ level }) => level)), named(rows.map(({ facing }) => facing))];
  const sign = (what: string) => (isBrief ? '? turns' : `Rests on an assumed ${what}: turns`);
  return given([
    levels !== '' && `${sign('level')} if an assumed level is 6 dB off; a level meter settles it: ${levels}`,
    facings !== '' &&
      `${sign('facing')} with another facing than the assumed one, up the page; write \`facing\` of ${facings}`,
  ]);
}

/** Those named most often first. */
function named(all: readonly (string | null)[]): string {
  const whose = all.flatMap((name) => name ?? []);
  const often = (name: string) => whose.filter((one) => one === name).length;
  return [...new Set(whose)].sort((a, b) => often(b) - often(a)).join(', ');
}

/** In words, what a verdict rests on that the plan does not say. */
const restsOn = ({ level, facing }: BleedRow): string =>
  given([
    level !== null && `assumed level of ${level}`,
    facing !== null && `assumed facing of ${facing}`,
  ]).join('; ');

/** Brief: the verdict in front, the margin as a bar, and what the bleed is made of. */
function bleedColumns(hasBasis: boolean, isBrief: boolean): Column<BleedRow>[] {
  const judged = ({ mic }: BleedRow) => (mic?.purpose === 'parts' ? mic : null);
  const ratio = numbers('S/B', (row: BleedRow) => {
    const mic = judged(row);
    return mic ? figureOr(mic.signalToBleed, 1, 'none') : '';
  });
  const limit = numbers('limit', ({ mic }: BleedRow) => (mic?.limit == null ? '' : round(mic.limit)));
  const name = names('mic', ({ name, mic }: BleedRow) => (mic ? { text: name, is: 'strong' } : name));
  const basis = hasBasis ? [words('basis', ({ mic }: BleedRow) => basisWords(mic?.basis ?? null))] : [];
  const whom = (row: BleedRow) => row.for;
  const passage = names('in', (row: BleedRow) => judged(row)?.passage ?? '', {
    ifAny: true,
    label: 'passage',
  });
  if (isBrief) {
    const margin = ({ mic }: BleedRow) => (mic?.margin == null ? '' : signed(mic.margin, 1));
    return [
      words('', wordOf, { label: 'verdict' }),
      name,
      names('for', whom, { from: WIDE }),
      passage,
      ratio,
      { ...limit, from: WIDE },
      numbers('margin', margin),
      numbers('margin', margin, { bars: [-20, 10] }),
      ...basis,
      names('worst', (row) => worstBleeder(judged(row)?.levels ?? []) ?? '', { optional: true }),
      words('mainly', (row) => madeOf(judged(row)?.bleedShares), { optional: true }),
      numbers('direct only', (row) => figureOr(judged(row)?.signalToDirectBleed ?? null, 1, ''), {
        from: WIDE,
      }),
    ];
  }
  return [
    name,
    names('for', whom),
    names('pattern', ({ mic }) => mic?.pattern ?? '', { from: WIDE }),
    passage,
    { ...ratio, head: 'S/B dB' },
    limit,
    words('verdict', ({ mic }) =>
      mic ? { text: inTable(micVerdict(mic)), is: mic.verdict ?? 'unjudged' } : 'DI, no bleed',
    ),
    words('rests on', restsOn, { ifAny: true }),
    ...basis,
  ];
}

const madeOf = (shares: Shares | null | undefined): string => (shares ? mainly(shares, '') : '');

/** SHORT in capitals: visible without colour. */
const wordOf = (row: BleedRow): Words => {
  const { mic } = row;
  return mic?.verdict ? { text: inTable(mic.verdict) + (restsOn(row) ? '?' : ''), is: mic.verdict } : '';
};

/** Clear mics that a brief page shows, and how many more it takes to list these on one line; and so many mics at most. */
const CLEAR = 3;
const TOGETHER = 3;
const MOST_ROWS = 14;

/** The entries with a row of their own, the clear ones and the others left out, and those that are not judged. */
function inSight(report: Report, isBrief: boolean) {
  const entries = worstFirst(report);
  if (!isBrief) return { entries, clear: [], left: [], unjudged: [] };
  const judged = entries.filter(({ row }) => row.verdict !== null);
  const isClear = ({ row }: Entry) => row.verdict === 'clear';
  const all = judged.filter(isClear);
  const clear = all.length >= CLEAR + TOGETHER ? all.slice(CLEAR) : [];
  const shown = judged.filter((entry) => !clear.includes(entry));
  return {
    entries: shown.slice(0, MOST_ROWS),
    clear,
    left: shown.slice(MOST_ROWS),
    unjudged: entries.filter(({ row }) => row.verdict === null),
  };
}

/** Under the table of a brief page: what has no row. */
function othersWords(
  { clear, left, unjudged }: Omit<ReturnType<typeof inSight>, 'entries'>,
  lines: Report['lines'],
): string[] {
  const [first] = clear;
  const margin = first?.row.margin ?? null;
  const least = margin === null ? 'clear' : `clear, ${figure(margin, 1)} dB or more to spare`;
  const remarks = new Map<string, string[]>();
  for (const { row } of unjudged) {
    const why = (row.remark ?? 'not judged').replace(/; not judged$/, '');
    remarks.set(why, [...(remarks.get(why) ?? []), row.name]);
  }
  return given([
    left.length > 0 && `${left.length} more, each nearer to its limit or past it: --show bleed`,
    clear.length > 0 && `${clear.length} others ${least}: ${clear.map(({ row }) => row.name).join(', ')}`,
    ...[...remarks].map(([why, names]) => `Not judged: ${names.join(', ')} (${why})`),
    lines.length > 0 && `DI, no bleed: ${lines.map(({ name }) => name).join(', ')}`,
  ]);
}

/** A pair's capsules follow it where these are judged too, unless in brief. The last row has the details of all. */
function entryRows({ row, capsules }: Entry, report: Answer, scope: Scope): BleedRow[] {
  const { detail } = scope;
  const listed = row.purpose === 'parts' && detail !== 'brief' ? capsules : [];
  const each = detail === 'all' ? capsules : detail === 'page' ? listed : [];
  const rowOf = (mic: MicRow, name: string): BleedRow => {
    const whom = mic.purpose === 'parts' ? mic.for.join(', ') : mic.purpose;
    const isOwn = ({ kind, about }: Pick<Answer['guesses'][number], 'kind' | 'about'>) =>
      kind === 'signal-to-bleed' && about[0] === mic.name;
    const level = report.guesses.find(isOwn)?.source ?? null;
    const facing = report.facings.find(isOwn)?.who ?? null;
    return { name, for: whom, mic, level, facing, details: [] };
  };
  const rows = [
    rowOf(row, row.name),
    ...listed.map((one) => rowOf(one, detail === 'page' ? one.name : `  ${sideOf(one)}`)),
  ];
  const details = [row, ...each].map((mic) => micDetails(mic, mic !== row, report, scope));
  return detail === 'brief' ? rows : rows.map((one, i) => (i < rows.length - 1 ? one : { ...one, details }));
}

/** "left" of "overheads.left". */
const sideOf = (capsule: MicRow): string => capsule.name.slice((capsule.pair?.length ?? -1) + 1);

/** Its other values, what bleeds into it, by which paths, and remedies. */
function micDetails(mic: MicRow, isCapsule: boolean, { pairs, mics }: Report, scope: Scope): Details {
  const { detail } = scope;
  const figures = given([...otherFigures(mic, detail === 'page'), mic.remark]);
  const title = isCapsule && detail === 'all' ? `${mic.name}: ` : '';
  return {
    kind: 'details',
    id: `mic-${[...pairs, ...mics].indexOf(mic)}`,
    summary: `${mic.name}: ${micVerdict(mic)}`,
    blocks: [
      ...prose('notes', [figures.length > 0 && title + figures.join('; ')]),
      ...levelTable(mic, scope),
      ...prose('statements', remedies(mic)),
      ...(detail === 'page' ? [...octaveTable(mic), ...prose('notes', [OCTAVES_LEGEND])] : []),
    ],
  };
}

/** Where S/B in the signal's octaves and in all octaves differ by less, one of them is enough, dB. */
const SAME_FIGURE = 3;

/** The octaves it is judged in, where its limit comes from, and other ratios. */
function otherFigures(mic: MicRow, isPage: boolean): string[] {
  const { signalToBleed: judged, signalToBleedUnweighted: whole, signalToDirectBleed: direct } = mic;
  if (judged === null) return [];
  const { limitFrom, passage } = mic;
  const isShown = whole !== null && (isPage || Math.abs(whole - judged) >= SAME_FIGURE);
  const from = limitFrom === 'limits' ? 'limit set in limits' : `limit from later: ${limitFrom}`;
  return given([
    passage !== null && `worst in ${passage}`,
    octaves(mic.judgedBands, NOMINAL_BANDS),
    limitFrom !== null && from,
    isShown && `${figure(whole, 1)} dB unweighted`,
    direct !== null &&
      figure(direct, 1) !== figure(judged, 1) &&
      `${figure(direct, 1)} dB without room sound`,
  ]);
}

/** The main sources of bleed: enough for this share of it, at most `MOST`. */
const MAIN_SHARE = 0.9;
const MOST = 4;

/** The sources that bleed most into a mic, loudest first, in the octaves it is judged in; on a page, all sources. */
function levelTable(mic: MicRow, { detail, lengths }: Scope): Table[] {
  const bleeders = loudestFirst(mic.levels.filter(isBleed));
  if (detail !== 'page' && mic.purpose !== 'parts') return [];
  const own = energySum(mic.levels.filter(({ role }) => role === 'signal'));
  const sounding = mic.levels.filter(({ role }) => role !== 'silent');
  const rows = detail === 'page' ? loudestFirst(sounding) : detail === 'all' ? bleeders : mainOnes(bleeders);
  const left = bleeders.filter((level) => !rows.includes(level));
  const together = relative(energySum(left), own);
  const said = together === 'silent' ? together : `${together} dB${left.length > 1 ? ' in total' : ''}`;
  return table(
    `Levels at ${mic.name}, in the octaves of its signal`,
    rows,
    [
      names('bleed from', ({ source }) => source, { label: 'source' }),
      words('', roleOf, { from: ENDLESS, label: 'role' }),
      numbers(own > 0 ? 'dB re signal' : 'dB SPL', (level) => relative(judgedEnergy(level), own)),
      numbers('dB SPL', ({ judgedLevel }) => (own > 0 ? figureOr(judgedLevel, 1, 'silent') : ''), {
        from: ENDLESS,
      }),
      numbers('distance', ({ distance }) => (distance === null ? 'unknown' : lengths.away(distance))),
      numbers('mic off-axis', ({ micOffAxis }) =>
        micOffAxis === null ? 'unknown' : `${figure(micOffAxis, 0)}°`,
      ),
      words('mainly', ({ shares }) => mainly(shares, 'nothing'), { from: WIDE }),
    ],
    left.length > 0 ? { rest: { text: `${counted(left.length, 'other')}, ${said}` } } : {},
  );
}

const isBleed = ({ role }: LevelRow): boolean => role === 'bleed';

const roleOf = ({ role }: LevelRow): string => (role === 'same-kit' ? 'same kit (not counted)' : role);

const loudestFirst = (levels: readonly LevelRow[]): LevelRow[] =>
  [...levels].sort((a, b) => judgedEnergy(b) - judgedEnergy(a) || a.source.localeCompare(b.source, 'en'));

function mainOnes(bleeders: readonly LevelRow[]): LevelRow[] {
  const whole = energySum(bleeders);
  let held = 0;
  const enough = bleeders.findIndex((level) => {
    held += judgedEnergy(level);
    return held >= MAIN_SHARE * whole;
  });
  return bleeders.slice(0, Math.min(MOST, enough + 1));
}

/** Level re the signal in the same octaves; dB SPL where there is no signal. */
const relative = (bleed: number, own: number): string =>
  figureOr(bleed > 0 ? decibels(bleed / (own > 0 ? own : 1)) : null, 1, 'silent');

const energySum = (levels: readonly LevelRow[]): number =>
  levels.reduce((sum, level) => sum + judgedEnergy(level), 0);

/** Per mic, worst first: signal, bleed, their difference and every source, dB SPL by octave. */
export function byOctave(report: Report): Block[] {
  const mics = worstFirst(report).flatMap(({ row, capsules }) => (capsules.length > 0 ? capsules : [row]));
  return mics.length === 0 ? [] : [...prose('notes', [OCTAVES_LEGEND]), ...mics.flatMap(octaveTable)];
}

const OCTAVES_LEGEND = 'dB SPL, unweighted. * octave the mic is judged in.';

function octaveTable({ name, levels, judgedBands }: MicRow): Table[] {
  const own = bandSums(levels.filter(({ role }) => role === 'signal'));
  const bleed = bandSums(levels.filter(isBleed));
  const ratio = own.map((level, band) => {
    const other = bleed[band] ?? null;
    return level === null || other === null ? null : level - other;
  });
  const rows = [
    { about: 'signal', byBand: own },
    { about: 'bleed', byBand: bleed },
    { about: 'S/B', byBand: ratio },
    ...levels
      .filter(({ role }) => role !== 'silent')
      .map(({ source, role, byBand }) => ({
        about: source + (role === 'bleed' ? '' : ` (${role.replace('-', ' ')})`),
        byBand,
      })),
  ];
  return table(
    `${name} by octave`,
    rows,
    [
      names(name, ({ about }) => about, { label: 'source' }),
      ...NOMINAL_BANDS.map((hertz, band) => {
        const mark = judgedBands.includes(hertz) ? '*' : '';
        return numbers(
          bandHead(hertz) + mark,
          ({ byBand }: (typeof rows)[number]) => figureOr(byBand[band] ?? null, 1, 'none'),
          { label: `${hertzName(hertz)} ${mark}`.trim() },
        );
      }),
    ],
    { apart: true },
  );
}

/** Energy sum by octave; null where nothing sounds. */
function bandSums(levels: readonly LevelRow[]): (number | null)[] {
  return NOMINAL_BANDS.map((_, band) => {
    const sum = levels.reduce((before, { byBand }) => before + energyOf(byBand[band] ?? -Infinity), 0);
    return sum > 0 ? decibels(sum) : null;
  });
}

/** Pairs of mics shown in full, without `--all`. */
const CLOSEST = 6;

/** The 3:1 rule, closest pairs first. */
export function spacing({ threeToOne }: Report, { detail, lengths }: Scope): Block[] {
  if (threeToOne.length === 0) return [];
  const closest = [...threeToOne].sort((a, b) => a.ratio - b.ratio);
  const shown = detail === 'all' ? closest : closest.slice(0, CLOSEST);
  const left = closest.length - shown.length;
  return [
    ...prose('notes', [SPACING_LEGEND]),
    ...table(
      'Closest mics',
      shown,
      [
        names('mic', ({ mics: [first] }: SpacingRow) => first),
        names('and', ({ mics: [, second] }) => second),
        names('in', ({ passage }) => passage ?? '', { ifAny: true, label: 'passage' }),
        numbers('ratio', ({ ratio }) => `${figure(ratio, 1)}:1`),
        numbers('apart', ({ micToMic }) => lengths.away(micToMic)),
        numbers('to source', ({ micToSource }) => lengths.away(micToSource)),
        numbers('margin', ({ margin }) => figure(margin, 1), { label: 'margin dB' }),
        words('verdict', (row) => verdictCell(row, { text: 'not judged', is: 'unjudged' })),
      ],
      left > 0 ? { rest: { text: `${counted(left, 'pair')} further apart`, ask: '--all' } } : {},
    ),
  ];
}

const SPACING_LEGEND = 'A rule of thumb from distance alone: ignores level, pattern and room.';

/** Every source at every mic, dB re the signal there. */
export function matrix({ mics }: Report, { detail }: Scope): Block[] {
  const heard = mics.filter(({ signal }) => signal !== null);
  const deaf = mics.filter(({ signal }) => signal === null);
  if (heard.length === 0) return [];
  const sources = [...new Set(heard.flatMap(({ levels }) => levels.map(({ source }) => source)))];
  return [
    {
      kind: 'matrix',
      caption: 'Bleed matrix',
      notes: ['dB re signal, unweighted.', 'Top row: signal, dB SPL.'],
      key: { signal: 'signal', 'same-kit': 'same kit (not counted)' },
      columns: heard.map(({ name }) => name),
      first: {
        name: 'signal, dB SPL',
        cells: heard.map(({ signal }) => ({ text: figure(signal ?? 0, 0), is: 'none' })),
      },
      rows: sources.map((name) => ({ name, cells: heard.map((mic) => matrixCell(mic, name)) })),
      ...(detail === 'all' && { inFull: true }),
    },
    ...prose('notes', [
      deaf.length > 0 && `No signal: ${deaf.map(({ name }) => name).join(', ')}`,
      ...judgedIn(heard),
    ]),
  ];
}

/** "Judged in verse: voice-mic, guitar-mic"; none where the plan has no passages. */
function judgedIn(mics: readonly MicRow[]): string[] {
  const groups = groupBy(mics, ({ passage }) => passage);
  return [...groups].flatMap(([passage, rows]) =>
    passage === null ? [] : [`Judged in ${passage}: ${rows.map(({ name }) => name).join(', ')}`],
  );
}

function matrixCell({ signal, levels }: MicRow, source: string): MatrixCell {
  const row = levels.find((level) => level.source === source);
  if (row?.role === 'silent') return { text: 'rests', is: 'none' };
  if (row?.level == null || signal === null) return { text: 'none', is: 'none' };
  const text = figure(row.level - signal, 0);
  return { text, is: row.role, over: Number(text) };
}

/** The highest peak and the quietest signal at each input: where a pad is needed, and where noise is close. */
export function inputs({ inputs: rows }: Pick<Report, 'inputs'>): Block[] {
  if (rows.length === 0) return [];
  const noise = rows.some(({ overNoise }) => overNoise !== null);
  const selfNoise = rows.some(({ overSelfNoise }) => overSelfNoise !== null);
  const noises = given([noise && 'room noise', selfNoise && 'self-noise']);
  const over = noises.length > 0 ? ` Over ${noises.join(', over ')}: quietest signal re noise, dB.` : '';
  const assumed = rows.some(({ peak }) => peak?.guessed) ? ' ~ crest factor assumed.' : '';
  return [
    ...table('Input levels', rows, [
      names('input', ({ mic }: InputRow) => mic),
      numbers('peak dB', ({ peak }) =>
        peak ? `${peak.guessed ? '~' : ''}${figure(peak.level, 0)}` : 'silent',
      ),
      names('peak from', ({ peak }) => peak?.source ?? ''),
      names('in', ({ peak }) => peak?.passage ?? '', { ifAny: true, label: 'passage of peak' }),
      words('', ({ pad }) => pad ?? '', { label: 'pad' }),
      numbers('quietest, dBA', ({ signal }) => figureOr(signal, 1, 'none')),
      names('in', ({ quietest }) => quietest ?? '', { ifAny: true, label: 'quietest passage' }),
      ...given([
        noise && numbers('over room noise', ({ overNoise }: InputRow) => figureOr(overNoise, 1, 'unknown')),
        selfNoise && numbers('over self-noise', (row: InputRow) => figureOr(row.overSelfNoise, 1, 'unknown')),
      ]),
    ]),
    ...prose('notes', [`Quietest: signal in its softest passage.${over}${assumed}`]),
  ];
}

/**
 * What main pairs and room mics pick up: balance by section and part, direct-to-reverberant ratio, and the angle of each part; in
 * brief of main pairs alone. What limits demand of them comes after each.
 */
export function mainPairs(answer: Pick<Report, 'mainPairs' | 'criteria'>, { detail }: Scope): Block[] {
  const rows = answer.mainPairs.filter(({ purpose }) => detail !== 'brief' || purpose === 'all');
  return rows.flatMap((row) => [
    ...prose('statements', [pairWords(row), ...(detail === 'brief' ? balanceWords(row) : [])]),
    ...prose('statements', demandsOf(answer, row)),
    ...(detail === 'brief' ? [] : balanceTables(row)),
  ]);
}

/** So many parts are named on a brief page. */
const BALANCED = 8;

/** "Balance, dB re loudest: brass 0.0, voices -6.2", by section where there are several, and by part. */
function balanceWords({ sections, parts }: MainPairRow): string[] {
  const inOrder = [...parts].sort((a, b) => (b.level ?? -Infinity) - (a.level ?? -Infinity));
  const left = inOrder.length - BALANCED;
  const shown = inOrder.slice(0, left > 1 ? BALANCED - 2 : BALANCED);
  const [softest] = inOrder.slice(-1);
  const listed = [
    ...shown.map(({ part, level }) => `${part} ${figureOr(level, 1, 'silent')}`),
    left > 1 &&
      softest &&
      `${left + 1} softer, ${softest.part} ${figureOr(softest.level, 1, 'silent')} the softest`,
  ];
  const bySection = sections.map(({ section, level }) => `${section} ${figureOr(level, 1, 'silent')}`);
  const isSummed = sections.length > 1 && sections.length < parts.length;
  return given([
    isSummed && `By section, dB re loudest: ${bySection.join(', ')}`,
    parts.length > 1 && `By part, dB re loudest: ${given(listed).join(', ')}`,
  ]);
}

const balanceTables = ({ name, sections, parts }: MainPairRow): Table[] => [
  ...table(`Sections in ${name}`, sections.length > 1 ? sections : [], [
    names('section', ({ section }) => section),
    ...BALANCE,
    names('parts', ({ parts: members }) => members.join(', '), { from: WIDE }),
  ]),
  ...table(`Parts in ${name}`, parts, [
    names('part', ({ part }) => part),
    ...BALANCE,
    numbers('angle', ({ angle }) => (angle === null ? 'other room' : bearing(angle))),
  ]),
];

type Balanced = Pick<MainPairRow['parts'][number], 'level' | 'directToRoom' | 'passage'>;

const BALANCE: readonly Column<Balanced>[] = [
  numbers('dB re loudest', ({ level }) => figureOr(level, 1, 'silent')),
  numbers('direct/reverb dB', ({ directToRoom }) => figureOr(directToRoom, 1, 'none'), {
    label: 'direct-to-reverberant, dB',
  }),
  names('loudest in', ({ passage }) => passage ?? '', { ifAny: true, label: 'passage' }),
];

/** Targets of balance and direct-to-reverberant ratio at a main mic. */
const demandsOf = ({ criteria }: Pick<Report, 'criteria'>, { name }: MainPairRow): Words[] =>
  criteria
    .filter(({ kind, about }) => OF_MAINS.includes(kind) && about.at(-1) === name)
    .map((row) => ({ text: limitSentence(row), is: row.verdict ?? 'unjudged' }));

function pairWords({ name, purpose, stereo, ensemble, ...row }: MainPairRow): string {
  const made = [stereo ?? 'single mic', ...(purpose === 'room' ? ['room'] : [])].join(', ');
  const worst = row.passage === null ? '' : ` (worst${inPassage(row.passage)})`;
  const direct =
    row.directToRoom === null ? '' : `direct-to-reverberant ${figure(row.directToRoom, 1)} dB${worst}`;
  const wide = ensemble ? `players span ${bearing(ensemble.left)} to ${bearing(ensemble.right)}` : '';
  const said = [direct, wide + angleWords(row)].filter((part) => part !== '').join('; ');
  return `${name} (${made})${said === '' ? '' : `: ${said}`}`;
}

type Angled = Pick<MainPairRow, 'recordingAngle' | 'fits' | 'spare' | 'outside'>;

function angleWords({ recordingAngle, fits, spare, outside }: Angled): string {
  if (!recordingAngle) return '';
  const one = (degrees: number | null) => (degrees === null ? 'open' : `${figure(degrees, 0)}°`);
  const [left, right] = [one(recordingAngle.left), one(recordingAngle.right)];
  const sides = left === right && left !== 'open' ? `±${left}` : `${left} left, ${right} right`;
  const angle = `; stereo recording angle (SRA) ${sides} (±10°)`;
  if (fits === null || spare === null) return angle;
  const word = fits ? `${figure(spare, 0)}° to spare` : `${figure(-spare, 0)}° too narrow`;
  return `${angle}: ${word}${outside.length > 0 ? `, outside: ${outside.join(', ')}` : ''}`;
}

/** "12° left" of the aim. */
function bearing(degrees: number): string {
  const size = `${figure(Math.abs(degrees), 0)}°`;
  if (size === '0°') return 'centre';
  return `${size} ${degrees < 0 ? 'left' : 'right'}`;
}

/** Comb filtering that matters, deepest first, and spot delays. */
export function delays(
  { timing: { rows, overheads, sampleRate }, mainPairs: pairs }: Pick<Report, 'timing' | 'mainPairs'>,
  scope: Scope,
): Block[] {
  return [
    ...combs(rows, scope),
    ...pairs
      .filter(({ purpose }) => purpose === 'all')
      .flatMap(({ name, spots }) => spotTable(name, spots, sampleRate)),
    ...overheads.flatMap(({ pair, spots }) => spotTable(pair, spots, sampleRate)),
    ...prose(
      'statements',
      overheads.flatMap((row) => snareWords(row, scope)),
    ),
  ];
}

/** Rows of comb filtering that are shown. */
const COMBS = { brief: 12, full: 12, page: 40, all: Number.POSITIVE_INFINITY } as const;

function combs(rows: readonly TimingRow[], { detail }: Scope): Block[] {
  const deep =
    detail === 'all' ? rows : rows.filter(({ ripple, notches }) => ripple >= RIPPLE && notches !== null);
  const shown = deep.slice(0, COMBS[detail]);
  if (detail === 'page' && rows.length === 0) return [];
  if (shown.length === 0) return prose('notes', [`No comb filtering of ${RIPPLE} dB or more.`]);
  const rest = (detail === 'page' ? rows : deep).length - shown.length;
  return table(
    'Comb filtering, deepest first',
    shown,
    [
      names('part', ({ part }) => part),
      names('close mic', ({ own }) => own),
      names('other mic', ({ other }) => other),
      numbers('delay', ({ late }) => inMilliseconds(late)),
      numbers('ripple', ({ rippleWithRoom }) => `${figure(rippleWithRoom, 1)} dB`),
      numbers('direct only', ({ over, ripple }) =>
        over ? `over ${figure(ripple, 0)} dB` : `${figure(ripple, 1)} dB`,
      ),
      numbers('first notch', ({ notches }) =>
        notches ? hertzName(Math.round(notches[0] > 0 ? notches[0] : notches[1])) : 'none',
      ),
      names(
        'align',
        ({ align, other, otherRests }) => {
          if (otherRests) return `mute ${other}, it rests`;
          return align ? `delay ${align.mic} by ${inMilliseconds(align.by)}` : 'aligned';
        },
        { from: WIDE },
      ),
    ],
    rest > 0 ? { rest: { text: `${rest} shallower`, ask: '--all' } } : {},
  );
}

const inMilliseconds = (seconds: number): string => `${figure(1000 * seconds, 2)} ms`;

const spotTable = (name: string, spots: readonly SpotDelay[], sampleRate: number): Table[] =>
  table(
    `Spot delays to ${name}`,
    spots,
    [
      names('spot', ({ spot }) => spot),
      names('source', ({ source }) => source),
      numbers('delay', ({ late }) => inMilliseconds(late)),
      numbers(`at ${hertzName(sampleRate)}`, ({ samples }) => counted(Math.round(samples), 'sample')),
    ],
    { captioned: true },
  );

function snareWords({ pair, snare }: OverheadRow, { lengths }: Scope): string[] {
  if (!snare) return [];
  const { source, nearer, apart, late } = snare;
  return [
    nearer === null
      ? `${source} is centred: equidistant from both capsules of ${pair}`
      : `${source} is ${lengths.tape(apart)} closer to ${nearer} (${inMilliseconds(late)} early)`,
  ];
}
