/** Microphones: signal to bleed and what is behind it, what each brings to its input, their delays, and pairs for everyone. */
import { decibels, energyOf, NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { InputRow } from '../judge/inputs.ts';
import { RIPPLE } from '../judge/pitfalls.ts';
import type { Report } from '../judge/report.ts';
import type { LevelRow, MicRow, Shares } from '../judge/signal-to-bleed.ts';
import type { SpacingRow } from '../judge/spacing.ts';
import type { MainPairRow } from '../judge/stereo.ts';
import type { OverheadRow, SpotDelay, TimingRow } from '../judge/timing.ts';
import { figure } from '../text.ts';
import { type Answer, type Entry, type Scope, urgency, worstFirst } from './answer.ts';
import type { Block, Column, Details, MatrixCell, Table, Words } from './view.ts';
import { ENDLESS, given, names, numbers, prose, table, WIDE, words } from './view.ts';
import {
  bandHead,
  basisWords,
  counted,
  cures,
  figureOr,
  hertzName,
  micVerdict,
  mostly,
  octaves,
  readingsLines,
  round,
  verdictCell,
} from './words.ts';

/** What comes before all sections: how many microphones stand how, what else is missed, and the worst microphone. */
export function lead(answer: Answer): Words[] {
  const { passage, mics } = answer;
  const [judgedBy, ...measured] = measuredLines(answer);
  const only = passage !== null && `Only the passage ${passage}`;
  return given([judgedBy, only, micCount(answer), worst(mics), ...measured]);
}

/** What it was judged by, what of that was measured, and what its other values rest on; none without readings. */
function measuredLines({ readings, mics, pairs, parts, levelBasis }: Answer): string[] {
  if (levelBasis === null) return [];
  const bases = [...mics, ...pairs, ...parts].map(({ basis }) => basis);
  return [
    ...readingsLines(readings, [...bases, levelBasis]),
    `Who hears whom, ears and inputs: ${basisWords(levelBasis)}. Places, timing and what moves change: predicted.`,
  ];
}

function micCount(report: Report): string {
  const { mics, lines } = report;
  const tally = (['short', 'marginal', 'clear', null] as const).map((verdict) => {
    const count = mics.filter((mic) => mic.verdict === verdict).length;
    return count > 0 && `${count} ${verdict ?? 'not judged'}`;
  });
  const groups = given([...tally, lines.length > 0 && counted(lines.length, 'line')]);
  if (mics.length === 0) return lines.length > 0 ? `${groups.join()}, no microphones` : 'No microphones';
  return `${counted(mics.length, 'microphone')}: ${groups.join(', ')}${missedBesides(report)}`;
}

/** Limits that are missed and are no S/B of a microphone: of parts and of people. */
function missedBesides({ parts, hearing, sight, exposure }: Report): string {
  const alone = parts.map(({ isolation }) => isolation);
  const others = [...parts, ...alone, ...hearing.limits, ...sight.limits, ...exposure];
  const missed = others.filter(({ verdict }) => verdict === 'short').length;
  return missed > 0 ? `; ${counted(missed, 'other limit')} missed` : '';
}

/** A microphone without a margin, since nothing spills into it, is no nearer to its limit than any other. */
function worst(mics: readonly MicRow[]): Words | null {
  const [first] = mics
    .filter(({ verdict, margin }) => verdict === 'short' || margin !== null)
    .sort((a, b) => urgency(a) - urgency(b));
  if (!first) return null;
  const basis = first.basis === null ? '' : `; ${basisWords(first.basis)}`;
  const label = first.verdict === 'short' ? 'Worst' : 'Closest to its limit';
  const text = `${label}: ${first.name} (for ${first.for.join(', ')}), ${micVerdict(first)}${basis}`;
  return { text, is: first.verdict ?? 'unjudged' };
}

type BleedRow = {
  readonly name: string;
  readonly for: string;
  /** Null for a line, which nothing bleeds into. */
  readonly mic: MicRow | null;
  readonly details: readonly Block[];
};

/** Signal to bleed of every microphone, worst first; in full, each with what spills into it and what helps. */
export function bleed(report: Report, scope: Scope): Block[] {
  const isBrief = scope.detail === 'brief';
  const { entries, others } = inSight(report, isBrief);
  const lines = others.length > 0 ? [] : report.lines;
  const rows: BleedRow[] = [
    ...entries.flatMap((entry) => entryRows(entry, report, scope)),
    ...lines.map((line) => ({ name: line.name, for: line.for.join(', '), mic: null, details: [] })),
  ];
  return [
    ...table('Every microphone', rows, bleedColumns(report.levelBasis !== null, isBrief), {
      inFull: ({ name, for: whom }) => `${name.trim()}, for ${whom}`,
      details: ({ details }) => details,
      behind: 'Behind each figure',
    }),
    ...prose('statements', othersWords(others)),
  ];
}

function bleedColumns(hasBasis: boolean, isBrief: boolean): Column<BleedRow>[] {
  const judged = ({ mic }: BleedRow) => (mic?.purpose === 'parts' ? mic : null);
  const ratio = (mic: MicRow | null) => mic && figureOr(mic.signalToBleed, 1, 'none');
  const madeOf = (shares: Shares | null | undefined) => (shares ? mostly(shares, '') : '');
  return [
    names('microphone', ({ name, mic }) => (mic ? { text: name, is: 'strong' } : name)),
    names('for', (row) => row.for),
    names('pattern', ({ mic }) => mic?.pattern ?? '', { from: WIDE }),
    numbers('S/B dB', (row) => ratio(judged(row)) ?? ''),
    numbers('limit', ({ mic }) => (mic?.limit == null ? '' : round(mic.limit))),
    words('verdict', ({ mic }) =>
      mic ? { text: micVerdict(mic), is: mic.verdict ?? 'unjudged' } : 'line, no bleed',
    ),
    ...(hasBasis ? [words('basis', ({ mic }: BleedRow) => basisWords(mic?.basis ?? null))] : []),
    ...(isBrief
      ? [
          names('most from', (row: BleedRow) => loudestBleeder(judged(row)), { optional: true }),
          words('made of', (row: BleedRow) => madeOf(judged(row)?.bleedShares), BEYOND),
        ]
      : []),
  ];
}

const BEYOND = { optional: true, from: WIDE } as const;
/** Clear ones that a brief page shows, and from how many more on these are shown in one line. */
const CLEAR = 3;
const TOGETHER = 3;

function inSight(report: Report, isBrief: boolean) {
  const entries = worstFirst(report);
  const clear = entries.filter(({ row, capsules }) =>
    [row, ...capsules].every(({ verdict }) => verdict === 'clear'),
  );
  const others = isBrief && clear.length >= CLEAR + TOGETHER ? clear.slice(CLEAR) : [];
  return { entries: entries.filter((entry) => !others.includes(entry)), others };
}

function othersWords(others: readonly Entry[]): string[] {
  const [first] = others;
  if (!first) return [];
  const least = first.row.margin === null ? 'clear' : `clear by ${figure(first.row.margin, 1)} dB or more`;
  return [`${others.length} others ${least}: ${others.map(({ row }) => row.name).join(', ')}`];
}

/** A pair's capsules follow it where these are judged too; in brief only if they stand otherwise. The last row has the details of all. */
function entryRows({ row, capsules }: Entry, report: Report, scope: Scope): BleedRow[] {
  const { detail } = scope;
  const shown = detail === 'brief' ? capsules.filter(({ verdict }) => verdict !== row.verdict) : capsules;
  const listed = row.purpose === 'parts' ? shown : [];
  const each = detail === 'all' ? capsules : detail === 'page' ? listed : [];
  const rowOf = (mic: MicRow, name: string): BleedRow => {
    const whom = mic.purpose === 'parts' ? mic.for.join(', ') : mic.purpose;
    return { name, for: whom, mic, details: [] };
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

/** Its other values, what spills into it, what that is made of and what helps. */
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
      ...prose('statements', cures(mic)),
      ...(detail === 'page' ? [...octaveTable(mic), ...prose('notes', [OCTAVES_LEGEND])] : []),
    ],
  };
}

/** Own octaves and all octaves that differ by less need no telling apart, dB. */
const SAME_FIGURE = 3;

/** In which octaves it is judged, where its limit comes from, and the values that stand beside the judged one. */
function otherFigures(mic: MicRow, isPage: boolean): string[] {
  const { signalToBleed: judged, signalToBleedUnweighted: whole, signalToDirectBleed: direct } = mic;
  if (judged === null) return [];
  const { limitFrom, passage } = mic;
  const isShown = whole !== null && (isPage || Math.abs(whole - judged) >= SAME_FIGURE);
  const from = limitFrom === 'limits' ? 'limit set in the plan' : `limit for later: ${limitFrom}`;
  return given([
    isPage && passage !== null && `worst passage: ${passage}`,
    `judged in ${octaves(mic.judgedBands, NOMINAL_BANDS)}`,
    limitFrom !== null && from,
    isShown && `${figure(whole, 1)} dB unweighted`,
    direct !== null &&
      figure(direct, 1) !== figure(judged, 1) &&
      `${figure(direct, 1)} dB against the direct bleed alone`,
  ]);
}

/** Enough of them to hold this share of the bleed, and no more than `MOST`, are the main ones. */
const MAIN_SHARE = 0.9;
const MOST = 4;

/** The sources that spill most into a microphone, loudest first, in the octaves it is judged in; on a page, all that reaches it. */
function levelTable(mic: MicRow, { detail, lengths }: Scope): Table[] {
  const bleeders = loudestFirst(mic.levels.filter(isBleed));
  if (detail !== 'page' && mic.purpose !== 'parts') return [];
  const own = energySum(mic.levels.filter(({ wanted }) => wanted));
  const rows =
    detail === 'page' ? loudestFirst(mic.levels) : detail === 'all' ? bleeders : mainOnes(bleeders);
  const left = bleeders.filter((level) => !rows.includes(level));
  const together = relative(energySum(left), own);
  const said = together === 'silent' ? together : `together ${together} dB`;
  return table(
    `What reaches ${mic.name}, in its own octaves`,
    rows,
    [
      names('bleeds in', ({ source }) => source, { label: 'source' }),
      words('', roleOf, { from: ENDLESS, label: 'role' }),
      numbers(own > 0 ? 'dB re signal' : 'dB SPL', (level) => relative(energy(level), own)),
      numbers('dB SPL', ({ judgedLevel }) => (own > 0 ? figureOr(judgedLevel, 1, 'silent') : ''), {
        from: ENDLESS,
      }),
      numbers('distance', ({ distance }) => (distance === null ? 'unknown' : lengths.away(distance))),
      numbers('off aim', ({ offAxis }) => (offAxis === null ? 'unknown' : `${figure(offAxis, 0)}°`)),
      words('mostly', ({ shares }) => mostly(shares, 'nothing'), { from: WIDE }),
    ],
    left.length > 0 ? { rest: { text: `and ${counted(left.length, 'other')}, ${said}` } } : {},
  );
}

const isBleed = ({ wanted, ignored }: LevelRow): boolean => !wanted && !ignored;

const roleOf = ({ wanted, ignored }: LevelRow): string =>
  wanted ? 'own' : ignored ? 'mate, not counted' : 'bleed';

/** Name of what spills most into it, a kit as a whole; empty where nothing does. */
function loudestBleeder(mic: MicRow | null): string {
  const bleeding = loudestFirst((mic?.levels ?? []).filter((level) => isBleed(level) && energy(level) > 0));
  const whole = new Map<string, number>();
  for (const level of bleeding) {
    // no name holds a dot of its own
    const [kit = ''] = level.source.split('.');
    whole.set(kit, (whole.get(kit) ?? 0) + energy(level));
  }
  const [loudest] = [...whole].sort(([, a], [, b]) => b - a);
  return loudest?.[0] ?? '';
}

const loudestFirst = (levels: readonly LevelRow[]): LevelRow[] =>
  [...levels].sort((a, b) => energy(b) - energy(a) || a.source.localeCompare(b.source, 'en'));

function mainOnes(bleeders: readonly LevelRow[]): LevelRow[] {
  const whole = energySum(bleeders);
  let held = 0;
  const enough = bleeders.findIndex((level) => {
    held += energy(level);
    return held >= MAIN_SHARE * whole;
  });
  return bleeders.slice(0, Math.min(MOST, enough + 1));
}

/** Level over the signal in the same octaves, or as it stands where there is no signal. */
const relative = (bleed: number, own: number): string =>
  figureOr(bleed > 0 ? decibels(bleed / (own > 0 ? own : 1)) : null, 1, 'silent');

const energy = ({ judgedLevel }: LevelRow): number => (judgedLevel === null ? 0 : energyOf(judgedLevel));

const energySum = (levels: readonly LevelRow[]): number =>
  levels.reduce((sum, level) => sum + energy(level), 0);

/** Per microphone, worst first: its signal, the bleed, their difference and every source, dB SPL by octave. */
export function byOctave(report: Report): Block[] {
  const mics = worstFirst(report).flatMap(({ row, capsules }) => (capsules.length > 0 ? capsules : [row]));
  return mics.length === 0 ? [] : [...prose('notes', [OCTAVES_LEGEND]), ...mics.flatMap(octaveTable)];
}

const OCTAVES_LEGEND = 'dB SPL; * an octave the microphone is judged in; all of it unweighted';

function octaveTable({ name, levels, judgedBands }: MicRow): Table[] {
  const own = bandSums(levels.filter(({ wanted }) => wanted));
  const bleed = bandSums(levels.filter(isBleed));
  const ratio = own.map((level, band) => {
    const other = bleed[band] ?? null;
    return level === null || other === null ? null : level - other;
  });
  const rows = [
    { about: 'own sound', byBand: own },
    { about: 'bleed', byBand: bleed },
    { about: 'S/B', byBand: ratio },
    ...levels.map(({ source, wanted, ignored, byBand }) => ({
      about: source + (wanted ? ' (own)' : ignored ? ' (mate)' : ''),
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

/** Pairs of microphones shown in full, without `--all`. */
const CLOSEST = 6;

/** The 3:1 rule, closest pairs first: a reason behind the bleed more than a goal. */
export function spacing({ threeToOne }: Report, { detail, lengths }: Scope): Block[] {
  if (threeToOne.length === 0) return [];
  const closest = [...threeToOne].sort((a, b) => a.ratio - b.ratio);
  const shown = detail === 'all' ? closest : closest.slice(0, CLOSEST);
  const left = closest.length - shown.length;
  return [
    ...prose('notes', [SPACING_LEGEND]),
    ...table(
      'Closest microphones',
      shown,
      [
        names('microphone', ({ mics: [first] }: SpacingRow) => first),
        names('and', ({ mics: [, second] }) => second),
        numbers('ratio', ({ ratio }) => `${figure(ratio, 1)}:1`),
        numbers('apart', ({ micToMic }) => lengths.away(micToMic)),
        numbers('to source', ({ micToSource }) => lengths.away(micToSource)),
        numbers('dB', ({ margin }) => figure(margin, 1)),
        words('verdict', (row) => verdictCell(row, { text: 'not judged', is: 'unjudged' })),
      ],
      left > 0 ? { rest: { text: `and ${counted(left, 'pair')} further apart`, ask: '--all' } } : {},
    ),
  ];
}

const SPACING_LEGEND =
  'A reason for bleed, no measure of it: how far two microphones are apart over the larger of their distances ' +
  'to their own sources. Levels, patterns and the room are not in it.';

/** Every source at every microphone, dB over that microphone's signal. */
export function matrix({ mics }: Report, { detail }: Scope): Block[] {
  const heard = mics.filter(({ signal }) => signal !== null);
  const deaf = mics.filter(({ signal }) => signal === null);
  if (heard.length === 0) return [];
  const sources = [...new Set(heard.flatMap(({ levels }) => levels.map(({ source }) => source)))];
  return [
    {
      kind: 'matrix',
      caption: 'Every source at every microphone',
      notes: [
        "dB over the microphone's own sound, all octaves, unweighted.",
        'The first row is the own sound itself, dB SPL.',
      ],
      key: {
        own: 'is its own sound',
        mate: 'a mate of the same kit or part, which counts neither as signal nor as bleed',
      },
      columns: heard.map(({ name }) => name),
      first: {
        name: 'own sound, dB SPL',
        cells: heard.map(({ signal }) => ({ text: figure(signal ?? 0, 0), is: 'none' })),
      },
      rows: sources.map((name) => ({ name, cells: heard.map((mic) => matrixCell(mic, name)) })),
      ...(detail === 'all' && { inFull: true }),
    },
    ...prose('notes', [
      deaf.length > 0 && `Nothing of its own sound: ${deaf.map(({ name }) => name).join(', ')}`,
    ]),
  ];
}

function matrixCell({ signal, levels }: MicRow, source: string): MatrixCell {
  const row = levels.find((level) => level.source === source);
  if (row?.level == null || signal === null) return { text: 'none', is: 'none' };
  const text = figure(row.level - signal, 0);
  return { text, is: row.wanted ? 'own' : row.ignored ? 'mate' : 'bleed', over: Number(text) };
}

/** What each microphone brings to its input: where a pad is wanted, and where noise comes near. */
export function inputs({ inputs: rows }: Pick<Report, 'inputs'>): Block[] {
  if (rows.length === 0) return [];
  const noise = rows.some(({ overNoise }) => overNoise !== null);
  const selfNoise = rows.some(({ overSelfNoise }) => overSelfNoise !== null);
  const noises = given([noise && 'of the room', selfNoise && 'of the microphone itself']);
  const over = noises.length > 0 ? `; over the noise ${noises.join(' and ')}, dB` : '';
  const guessed = rows.some(({ peak }) => peak?.guessed) ? ' ~ a crest that is a guess.' : '';
  return [
    ...table('What each microphone brings', rows, [
      names('input', ({ mic }: InputRow) => mic),
      numbers('peak dB', ({ peak }) =>
        peak ? `${peak.guessed ? '~' : ''}${figure(peak.level, 0)}` : 'silent',
      ),
      names('of', ({ peak }) => peak?.source ?? ''),
      words('', ({ pad }) => pad ?? '', { label: 'pad' }),
      numbers('softest dBA', ({ signal }) => figureOr(signal, 1, 'none')),
      ...given([
        noise && numbers('over room', ({ overNoise }: InputRow) => figureOr(overNoise, 1, 'unknown')),
        selfNoise && numbers('over mic', (row: InputRow) => figureOr(row.overSelfNoise, 1, 'unknown')),
      ]),
    ]),
    ...prose('notes', [`Softest: its own sound in the passage with least of it${over}.${guessed}`]),
  ];
}

/** What microphones for everyone and for the room make of the ensemble: balance, dryness, where each stands. */
export const mainPairs = ({ mainPairs: rows }: Pick<Report, 'mainPairs'>): Block[] =>
  rows.flatMap((row) => [
    ...prose('statements', [pairWords(row)]),
    ...table(`The ensemble in ${row.name}`, row.parts, [
      names('part', ({ part }) => part),
      numbers('dB re loudest', ({ level }) => figureOr(level, 1, 'silent')),
      numbers('direct to room dB', ({ directToRoom }) => figureOr(directToRoom, 1, 'none')),
      numbers('angle', ({ angle }) => (angle === null ? 'elsewhere' : bearing(angle))),
    ]),
  ]);

function pairWords({ name, purpose, stereo, ensemble, ...row }: MainPairRow): string {
  const made = [stereo ?? 'one microphone', ...(purpose === 'room' ? ['for the room'] : [])].join(', ');
  const wide = ensemble
    ? `; the ensemble reaches from ${bearing(ensemble.left)} to ${bearing(ensemble.right)}`
    : '';
  return `${name} (${made})${wide}${angleWords(row)}`;
}

type Angled = Pick<MainPairRow, 'recordingAngle' | 'fits' | 'spare' | 'outside'>;

function angleWords({ recordingAngle, fits, spare, outside }: Angled): string {
  if (!recordingAngle) return '';
  const one = (degrees: number | null) => (degrees === null ? 'open' : `${figure(degrees, 0)}°`);
  const angle = `; recording angle ${one(recordingAngle.left)} left, ${one(recordingAngle.right)} right (±10°)`;
  if (fits === null || spare === null) return angle;
  const word = fits ? `fits with ${figure(spare, 0)}° to spare` : `too narrow by ${figure(-spare, 0)}°`;
  return `${angle}: ${word}${outside.length > 0 ? `, outside it ${outside.join(', ')}` : ''}`;
}

/** "12° left" of the aim. */
function bearing(degrees: number): string {
  const size = `${figure(Math.abs(degrees), 0)}°`;
  if (size === '0°') return 'ahead';
  return `${size} ${degrees < 0 ? 'left' : 'right'}`;
}

/** Combs that matter, deepest first, and the delays that bring spots to pairs. */
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

/** Combs that are shown. */
const COMBS = { brief: 12, full: 12, page: 40, all: Number.POSITIVE_INFINITY } as const;

function combs(rows: readonly TimingRow[], { detail }: Scope): Block[] {
  const deep =
    detail === 'all' ? rows : rows.filter(({ ripple, notches }) => ripple >= RIPPLE && notches !== null);
  const shown = deep.slice(0, COMBS[detail]);
  if (detail === 'page' && rows.length === 0) return [];
  if (shown.length === 0) return prose('notes', [`No two microphones comb by ${RIPPLE} dB or more.`]);
  const rest = (detail === 'page' ? rows : deep).length - shown.length;
  return table(
    'Combs, deepest first',
    shown,
    [
      names('on', ({ part }) => part, { label: 'part' }),
      names('own', ({ own }) => own),
      names('other', ({ other }) => other),
      numbers('later', ({ late }) => inMilliseconds(late)),
      numbers('ripple', ({ over, ripple }) =>
        over ? `over ${figure(ripple, 0)} dB` : `${figure(ripple, 1)} dB`,
      ),
      numbers('first dip', ({ notches }) =>
        notches ? hertzName(Math.round(notches[0] > 0 ? notches[0] : notches[1])) : 'none',
      ),
      names(
        'together with',
        ({ align }) => (align ? `${align.mic} delayed by ${inMilliseconds(align.by)}` : 'they are'),
        { from: WIDE },
      ),
    ],
    rest > 0 ? { rest: { text: `and ${counted(rest, 'shallower comb')}`, ask: '--all' } } : {},
  );
}

const inMilliseconds = (seconds: number): string => `${figure(1000 * seconds, 2)} ms`;

const spotTable = (name: string, spots: readonly SpotDelay[], sampleRate: number): Table[] =>
  table(
    `Spots brought to ${name}`,
    spots,
    [
      names('spot', ({ spot }) => spot),
      names('by its', ({ source }) => source),
      numbers('delay', ({ late }) => inMilliseconds(late)),
      numbers(`at ${hertzName(sampleRate)}`, ({ samples }) => counted(Math.round(samples), 'sample')),
    ],
    { captioned: true },
  );

function snareWords({ pair, snare }: OverheadRow, { lengths }: Scope): string[] {
  if (!snare) return [];
  const { source, nearer, apart, late } = snare;
  const how =
    nearer === null
      ? 'as far from both capsules: it stands in the middle'
      : `${lengths.tape(apart)} nearer to ${nearer}, ${inMilliseconds(late)} early there`;
  return [`${source} under ${pair}: ${how}`];
}
