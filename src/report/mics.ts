/** S/B, bleeders, octaves, spacing, matrix, inputs as sections. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import type { InputRow } from '../judge/inputs.ts';
import type { LineRow, Report } from '../judge/report.ts';
import type { LevelRow, MicRow } from '../judge/signal-to-bleed.ts';
import type { SpacingRow } from '../judge/spacing.ts';
import type { Verdict } from '../judge/verdict.ts';
import {
  type Html,
  html,
  listMarkup,
  number,
  paragraphs,
  tableMarkup,
  verdictMark,
  words,
} from '../layout/html.ts';
import {
  type Cell,
  type Column,
  displayWidth,
  head,
  heading,
  type InUnits,
  isWide,
  type Layout,
  plain,
  type ReportLayout,
  table,
  verdictPaint,
  wrap,
} from '../layout/text.ts';
import { type Lengths, METRES } from '../plan/units.ts';
import { type Answer, type Entry, urgency, worstFirst } from './answer.ts';
import { movesBlock } from './moves.ts';
import { cutTogether, later } from './parts.ts';
import { ears } from './people.ts';
import { sentencesOf } from './rooms.ts';
import { type PagePart, part, type Section, textOf } from './view.ts';
import {
  basisWords,
  counted,
  cures,
  figure,
  figureOr,
  hertzName,
  kindsIn,
  micVerdict,
  octaves,
  percent,
  readingsLines,
  round,
  verdictWords,
} from './words.ts';

// Signal to bleed of every microphone, and what is behind each figure.
/** A pair, then its capsules where these are judged too. */
function rowsOf(answer: Answer): MicRow[] {
  return worstFirst(answer).flatMap(({ row, capsules }) => [
    row,
    ...(row.purpose === 'parts' ? capsules : []),
  ]);
}

export function microphones(answer: Answer, lengths: Lengths): PagePart | null {
  const rows = rowsOf(answer);
  const hasBasis = answer.levelBasis !== null;
  const lines = answer.lines.map((line) => [
    line.name,
    line.for.join(', '),
    '',
    '',
    '',
    'line, no bleed',
    ...(hasBasis ? [''] : []),
  ]);
  if (rows.length + lines.length === 0) return null;
  const heads = [
    ...['microphone', 'for', 'pattern'].map(words),
    number('S/B dB'),
    number('limit dB'),
    words('verdict'),
    ...(hasBasis ? [words('basis')] : []),
  ];
  return part(
    'microphones',
    'Signal to bleed, worst first',
    tableMarkup('Every microphone', heads, [
      ...rows.map((mic) => pageMicrophonesCells(mic, hasBasis)),
      ...lines,
    ]),
    html`<h3>Behind each figure</h3>\n`,
    ...rows.map((mic, i) => pageMicrophonesDetails(mic, i, lengths)),
  );
}

function pageMicrophonesCells(mic: MicRow, hasBasis: boolean): (string | Html)[] {
  const isJudged = mic.purpose === 'parts';
  return [
    mic.name,
    isJudged ? mic.for.join(', ') : mic.purpose,
    mic.pattern,
    isJudged ? figureOr(mic.signalToBleed, 1, 'none') : '',
    mic.limit === null ? '' : round(mic.limit),
    verdictMark(mic.verdict, micVerdict(mic)),
    ...(hasBasis ? [basisWords(mic.basis)] : []),
  ];
}

function pageMicrophonesDetails(mic: MicRow, place: number, lengths: Lengths): Html {
  const helps = [...facts(mic), ...cures(mic)];
  return html`<details id="mic-${place}"><summary>${mic.name}: ${micVerdict(mic)}</summary>
${listMarkup(helps)}${levels(mic, lengths)}${pageMicrophonesByBand(mic)}</details>\n`;
}

function facts(mic: MicRow): string[] {
  const { signalToBleed, signalToBleedUnweighted: whole, signalToDirectBleed: direct, passage, remark } = mic;
  const judged = signalToBleed === null ? [] : [`judged in ${octaves(mic.judgedBands, NOMINAL_BANDS)}`];
  return [
    ...(passage === null ? [] : [`worst passage: ${passage}`]),
    ...judged,
    ...(whole === null ? [] : [`${figure(whole, 1)} dB over all octaves, unweighted`]),
    ...(direct === null ? [] : [`${figure(direct, 1)} dB against the direct bleed alone`]),
    ...(remark === null ? [] : [remark]),
  ];
}

/** Loudest first, as the microphone is judged. */
function levels(mic: MicRow, lengths: Lengths): Html {
  const order = [...mic.levels].sort((a, b) => (b.judgedLevel ?? -1e3) - (a.judgedLevel ?? -1e3));
  const heads = [
    words('source'),
    words(''),
    number('dB SPL'),
    number('distance'),
    number('off aim'),
    words('mostly'),
  ];
  return tableMarkup(
    `What reaches ${mic.name}, in its own octaves`,
    heads,
    order.map((level) => levelCells(level, lengths)),
  );
}

const levelCells = (level: LevelRow, { away }: Lengths): string[] => [
  level.source,
  roleOf(level),
  figureOr(level.judgedLevel, 1, 'silent'),
  level.distance === null ? '' : away(level.distance),
  level.offAxis === null ? '' : `${figure(level.offAxis, 0)}°`,
  pageMicrophonesMostly(level),
];

function roleOf({ wanted, ignored }: LevelRow): string {
  if (wanted) return 'own';
  return ignored ? 'mate, not counted' : 'bleed';
}

function pageMicrophonesMostly({ shares, judgedLevel }: LevelRow): string {
  const [largest] = judgedLevel === null ? [] : kindsIn(shares);
  return largest ? `${largest.name} ${percent(shares[largest.key])}` : '';
}

function pageMicrophonesByBand({ name, levels: rows, judgedBands }: MicRow): Html {
  const heads = NOMINAL_BANDS.map((hertz) =>
    number(hertzName(hertz) + (judgedBands.includes(hertz) ? ' *' : '')),
  );
  return tableMarkup(
    `${name} by octave, dB SPL; * an octave it is judged in`,
    [words('source'), ...heads],
    rows.map(({ source, byBand: bands }) => [source, ...bands.map((level) => figureOr(level, 0, 'none'))]),
  );
}

// Every source at every microphone, as figures on shades: the shade says again what the figure says.

/** Lower ends of the shades, dB over the own sound; below the last there is none. */
const SHADES = [0, -10, -20, -30, -40] as const;

export function heatMap({ mics }: Answer): PagePart | null {
  const heard = mics.filter(({ signal }) => signal !== null);
  const deaf = mics.filter(({ signal }) => signal === null);
  if (heard.length === 0) return null;
  const sources = [...new Set(heard.flatMap(({ levels }) => levels.map(({ source }) => source)))];
  const rows = sources.map(
    (source) =>
      html`<tr><th scope="row">${source}</th>${heard.map((mic) =>
        heatMapCell(
          mic,
          mic.levels.find((one) => one.source === source),
        ),
      )}</tr>\n`,
  );
  const own = heard.map(({ signal }) => html`<td>${figure(signal ?? 0, 0)}</td>`);
  return part(
    'matrix',
    'Every source at every microphone',
    html`<p>Decibels over the microphone's own sound, all octaves, unweighted. ${heatMapLegend()}</p>\n`,
    html`<div class="scroll" role="region" tabindex="0" aria-label="Every source at every microphone"><table class="heat">
<thead><tr><td></td>${heard.map(({ name }) => html`<th scope="col">${breaking(name)}</th>`)}</tr></thead>
<tbody>
<tr class="own-level"><th scope="row">own sound, dB SPL</th>${own}</tr>
${rows}</tbody>
</table></div>\n`,
    deaf.length > 0
      ? html`<p>Nothing of its own sound: ${deaf.map(({ name }) => name).join(', ')}.</p>\n`
      : null,
  );
}

function heatMapCell({ signal }: MicRow, level: LevelRow | undefined): Html {
  if (level?.level == null || signal === null) return html`<td>none</td>`;
  const over = figure(level.level - signal, 0);
  if (level.wanted) return html`<td class="heat-own">${over}<span class="role"> own</span></td>`;
  if (level.ignored) return html`<td class="heat-mate">${over}<span class="role"> mate</span></td>`;
  const shade = SHADES.findIndex((from) => Number(over) >= from);
  return html`<td class="heat-${shade < 0 ? SHADES.length : shade}">${over}</td>`;
}

/** A name that may go on below after its own separators. */
const breaking = (name: string): Html =>
  html`${name.split(/(?<=[-_. ])/u).map((piece, i) => (i === 0 ? html`${piece}` : html`<wbr/>${piece}`))}`;

function heatMapLegend(): Html {
  const ends = SHADES.map((from, i) => html`<span class="heat-${i} swatch">from ${from}</span> `);
  return html`Bleed ${ends}dB. <span class="heat-own swatch">own</span> what the microphone is for; <span class="heat-mate swatch">mate</span> of the same kit or part, neither signal nor bleed.`;
}

// What one should know first: how the microphones stand, what cannot be mended later, what to look out for.

/** How many stand how, and the worst of them. */
export function headlines(answer: Answer): string[] {
  return sentencesOf(headline, { ...answer, title: 'title' }, 'brief');
}

export function answers(answer: Answer): PagePart | null {
  return part(
    'answers',
    'What to know first',
    ...movesBlock(answer),
    ...block('Cannot be fixed later', sentencesIn(later(answer, BRIEF))),
    ...block('Cut these together', sentencesIn(cutTogether(answer, BRIEF))),
    ...block('Ears', sentencesOf(ears, answer, 'brief')),
    ...pitfallBlock(answer),
  );
}

const BRIEF = { detail: 'brief', lengths: METRES, listAssumptions: false } as const;

const sentencesIn = (section: Section | null): string[] =>
  (section?.blocks ?? []).flatMap((one) => ('items' in one ? one.items.map(textOf) : []));

const block = (title: string, sentences: readonly string[]): Html[] =>
  sentences.length > 0 ? [html`<h3>${title}</h3>\n`, paragraphs(sentences)] : [];

/** The worst are in sight, the others a key away. */
const IN_SIGHT = 6;

function pitfallBlock({ pitfalls }: Answer): Html[] {
  if (pitfalls.length === 0) return [];
  const told = pitfalls.map(
    ({ sentence, mend }) => html`${sentence}. <span class="mend">Mend: ${mend}</span>`,
  );
  const rest = told.slice(IN_SIGHT);
  return [
    html`<h3>Pitfalls, most serious first</h3>\n`,
    listMarkup(told.slice(0, IN_SIGHT)),
    ...(rest.length > 0
      ? [html`<details><summary>${rest.length} more</summary>\n${listMarkup(rest)}</details>\n`]
      : []),
  ];
}

/** Pairs of microphones shown without `all`. */
const SHOWN = 6;

const COLUMNS: readonly Column[] = [
  { head: 'microphone', align: 'left', flexible: true },
  { head: 'and', align: 'left', flexible: true },
  { head: 'ratio', align: 'right' },
  { head: 'apart', align: 'right' },
  { head: 'to source', align: 'right' },
  { head: 'dB', align: 'right' },
  { head: 'verdict', align: 'left' },
];

/** The 3:1 rule, closest pairs first: a reason behind the bleed more than a goal. */
export function spacing({ threeToOne }: Report, layout: ReportLayout & InUnits): string[] {
  if (threeToOne.length === 0) return [];
  const closest = [...threeToOne].sort((a, b) => a.ratio - b.ratio);
  const shown = layout.all ? closest : closest.slice(0, SHOWN);
  const [head = '', ...rows] = table(
    COLUMNS,
    shown.map((row) => spacingCells(row, layout)),
    layout.width,
  );
  const left = closest.length - shown.length;
  return [
    heading('3:1 rule', layout, 'three-to-one'),
    ...wrap(SPACING_LEGEND, layout.width, '  '),
    layout.paint.faint(head),
    ...rows,
    ...(left > 0 ? [`  and ${counted(left, 'pair')} further apart: --all`] : []),
  ];
}

const SPACING_LEGEND =
  'A reason for bleed, no measure of it: how far two microphones are apart over the larger of their distances ' +
  'to their own sources. Levels, patterns and the room are not in it.';

function spacingCells(row: SpacingRow, { paint, lengths }: ReportLayout & InUnits): Cell[] {
  const [first, second] = row.mics;
  const verdict = row.verdict === null ? 'not judged' : verdictWords(row.verdict, row.margin);
  return [
    plain(first),
    plain(second),
    plain(`${figure(row.ratio, 1)}:1`),
    plain(lengths.away(row.micToMic)),
    plain(lengths.away(row.micToSource)),
    plain(figure(row.margin, 1)),
    { text: verdict, paint: verdictPaint(row.verdict, paint) },
  ];
}

const COLUMN = 9;

const LONGEST_NAME = 24;

/** Every source at every microphone, dB over that microphone's own sound, in strips as wide as the page. */
export function matrix(report: Report, layout: Layout): string[] {
  const mics = report.mics.filter((mic) => mic.signal !== null);
  const deaf = report.mics.filter((mic) => mic.signal === null);
  if (mics.length === 0) return [];
  const names = Math.max(...mics.flatMap((mic) => mic.levels.map((level) => displayWidth(level.source))), 17);
  const room = layout.width - 2 - (layout.all ? names : Math.min(names, LONGEST_NAME));
  const perStrip = Math.max(1, Math.floor(room / (COLUMN + 2)));
  const strips = Array.from({ length: Math.ceil(mics.length / perStrip) }, (_, i) =>
    strip(mics.slice(i * perStrip, (i + 1) * perStrip), layout),
  );
  return [
    layout.paint.strong('Every source at every microphone'),
    ...wrap(LEGEND, layout.width, '  '),
    ...strips.flat(),
    ...(deaf.length > 0
      ? wrap(`Nothing of its own sound: ${deaf.map((m) => m.name).join(', ')}`, layout.width, '  ')
      : []),
  ];
}

const LEGEND =
  "dB over the microphone's own sound, all octaves, unweighted. * is its own sound, ~ a mate of the same kit " +
  'or part, which counts neither as signal nor as bleed. The first row is the own sound itself, dB SPL.';

function strip(mics: readonly MicRow[], layout: Layout): string[] {
  const heads = mics.map((mic) => headLines(mic.name));
  const height = Math.max(...heads.map((lines) => lines.length));
  const headRows = Array.from({ length: height }, (_, line) => [
    '',
    ...heads.map((lines) => lines[line - height + lines.length] ?? ''),
  ]);
  const sources = [...new Set(mics.flatMap((mic) => mic.levels.map((level) => level.source)))];
  const rows = [
    ['own sound, dB SPL', ...mics.map((mic) => `${figure(mic.signal ?? 0, 0)} `)],
    ...sources.map((source) => [source, ...mics.map((mic) => cell(mic, source))]),
  ];
  const columns = [
    { head: '', align: 'left', flexible: true } as const,
    ...mics.map(() => ({ head: '', align: 'right' }) as const),
  ];
  const lines = table(
    columns,
    [...headRows, ...rows].map((row) => row.map(plain)),
    layout.width,
  ).slice(1);
  return ['', ...lines.slice(0, height).map(layout.paint.faint), ...lines.slice(height)];
}

function cell(mic: MicRow, source: string): string {
  const row = mic.levels.find((level) => level.source === source);
  if (!row || row.level === null || mic.signal === null) return 'none ';
  return figure(row.level - mic.signal, 0) + mark(row);
}

function mark(row: LevelRow): string {
  if (row.wanted) return '*';
  return row.ignored ? '~' : ' ';
}

/** A name over several lines, broken after its own separators, within a column. */
function headLines(name: string): string[] {
  const lines: string[] = [];
  for (const piece of name.split(/(?<=[-_. ])/u).flatMap(fitting)) {
    const last = lines.at(-1);
    if (last !== undefined && displayWidth(last + piece) <= COLUMN) lines[lines.length - 1] = last + piece;
    else lines.push(piece);
  }
  return lines;
}

function fitting(piece: string): string[] {
  if (displayWidth(piece) <= COLUMN) return [piece];
  const start = head(piece, COLUMN);
  return start === '' ? [piece] : [start, ...fitting(piece.slice(start.length))];
}

type Told = { readonly noise: boolean; readonly selfNoise: boolean };

const inputsColumns = ({ noise, selfNoise }: Told): Column[] => [
  { head: 'input', align: 'left', flexible: true },
  { head: 'peak dB', align: 'right' },
  { head: 'of', align: 'left', flexible: true },
  { head: '', align: 'left' },
  { head: 'softest dBA', align: 'right' },
  ...(noise ? [{ head: 'over room', align: 'right' } as const] : []),
  ...(selfNoise ? [{ head: 'over mic', align: 'right' } as const] : []),
];

const SOFTEST = 'Softest: its own sound in the passage with least of it';

/** Of the columns that are there. */
function legend(rows: readonly InputRow[], { noise, selfNoise }: Told): string {
  const noises = [...(noise ? ['of the room'] : []), ...(selfNoise ? ['of the microphone itself'] : [])];
  const over = noises.length > 0 ? `; over the noise ${noises.join(' and ')}, dB` : '';
  return `${SOFTEST}${over}.${rows.some(({ peak }) => peak?.guessed) ? ' ~ a crest that is a guess.' : ''}`;
}

/** What each microphone brings to its input: where a pad is wanted, and where noise comes near. */
export function inputs({ inputs: rows }: Pick<Report, 'inputs'>, layout: ReportLayout): string[] {
  if (rows.length === 0) return [];
  const told = {
    noise: rows.some(({ overNoise }) => overNoise !== null),
    selfNoise: rows.some(({ overSelfNoise }) => overSelfNoise !== null),
  };
  const [head = '', ...lines] = table(
    inputsColumns(told),
    rows.map((row) => cells(row, told).map(plain)),
    layout.width,
  );
  return [
    heading('Inputs', layout, 'inputs'),
    layout.paint.faint(head),
    ...lines,
    ...wrap(legend(rows, told), layout.width, '  '),
  ];
}

const cells = ({ mic, peak, pad, signal, ...over }: InputRow, told: Told): string[] => [
  mic,
  peak ? `${peak.guessed ? '~' : ''}${figure(peak.level, 0)}` : 'silent',
  peak?.source ?? '',
  pad ?? '',
  figureOr(signal, 1, 'none'),
  ...(told.noise ? [figureOr(over.overNoise, 1, 'unknown')] : []),
  ...(told.selfNoise ? [figureOr(over.overSelfNoise, 1, 'unknown')] : []),
];

/** The answer in two lines: how many microphones stand how, what else is missed, and the worst microphone. */
export function headline(report: Answer, layout: Layout): string[] {
  const { title, passage } = report;
  const named = title === '' ? [] : wrap(title, layout.width).map(layout.paint.strong);
  const [judgedBy = '', ...measured] = readAs(report);
  const only = passage === null ? [] : wrap(`Only the passage ${passage}`, layout.width);
  const inLines = (lines: readonly string[]) =>
    lines.flatMap((line) => (line === '' ? [] : wrap(line, layout.width)));
  return [
    ...named,
    ...inLines([judgedBy]),
    ...only,
    ...wrap(count(report), layout.width),
    ...worst(report.mics, layout),
    ...inLines(measured),
  ];
}

/** What it was judged by, what of that was measured, and what its other figures rest on; none without readings. */
function readAs({ readings, mics, pairs, parts, levelBasis }: Answer): string[] {
  if (levelBasis === null) return [];
  const bases = [...mics, ...pairs, ...parts].map(({ basis }) => basis);
  return [
    ...readingsLines(readings, [...bases, levelBasis]),
    `Who hears whom, ears and inputs: ${basisWords(levelBasis)}. Places, timing and what moves change: predicted.`,
  ];
}

/** Limits that are missed and are no S/B of a microphone: of parts and of people. */
function missedBesides({ parts, hearing, sight, exposure }: Report): string {
  const others = [
    ...parts,
    ...parts.map(({ editable }) => editable),
    ...hearing.limits,
    ...sight.limits,
    ...exposure,
  ];
  const missed = others.filter(({ verdict }) => verdict === 'short').length;
  return missed > 0 ? `; ${counted(missed, 'other limit')} missed` : '';
}

function count(report: Report): string {
  const { mics, lines } = report;
  const judged = mics.filter((mic) => mic.verdict !== null);
  const rest = mics.length - judged.length;
  const parts = [
    ...tally(judged),
    ...(rest > 0 ? [`${rest} not judged`] : []),
    ...(lines.length > 0 ? [counted(lines.length, 'line')] : []),
  ];
  if (mics.length === 0) return lines.length > 0 ? `${parts.join()}, no microphones` : 'No microphones';
  return `${counted(mics.length, 'microphone')}: ${parts.join(', ')}${missedBesides(report)}`;
}

function tally(judged: readonly MicRow[]): string[] {
  const order: readonly Verdict[] = ['short', 'marginal', 'clear'];
  const counts = order.map((verdict) => ({ verdict, n: judged.filter((m) => m.verdict === verdict).length }));
  return counts.filter(({ n }) => n > 0).map(({ verdict, n }) => `${n} ${verdict}`);
}

function worst(mics: readonly MicRow[], layout: Layout): string[] {
  const [first] = mics.filter(hasPlace).sort((a, b) => urgency(a) - urgency(b));
  if (!first) return [];
  const basis = first.basis === null ? '' : `; ${basisWords(first.basis)}`;
  const label = first.verdict === 'short' ? 'Worst' : 'Closest to its limit';
  const lines = wrap(
    `${label}: ${first.name} (for ${first.for.join(', ')}), ${micVerdict(first)}${basis}`,
    layout.width,
  );
  return lines.map(verdictPaint(first.verdict, layout.paint));
}

/** A microphone without a margin, since nothing spills into it, is no nearer to its limit than any other. */
const hasPlace = ({ verdict, margin }: MicRow): boolean => verdict === 'short' || margin !== null;

/** Per microphone, worst first: its own sound, the bleed, their difference and every source, dB SPL by octave. */
export function byBand(report: Report, layout: Layout): string[] {
  const mics = worstFirst(report).flatMap(({ row, capsules }) => (capsules.length > 0 ? capsules : [row]));
  if (mics.length === 0) return [];
  const legend = '  dB SPL; * an octave the microphone is judged in; all of it unweighted';
  return [
    layout.paint.strong('By octave'),
    legend,
    ...mics.flatMap((mic) => ['', ...bandTable(mic, layout)]),
  ];
}

function bandTable(mic: MicRow, layout: Layout): string[] {
  const columns: Column[] = [
    { head: mic.name, align: 'left', flexible: true },
    ...NOMINAL_BANDS.map((hertz) => ({ head: bandHead(mic, hertz), align: 'right' }) as const),
  ];
  const own = bandSums(mic.levels.filter((level) => level.wanted));
  const bleed = bandSums(mic.levels.filter((level) => !level.wanted && !level.ignored));
  const rows = [
    row('own sound', own),
    row('bleed', bleed),
    row(
      'S/B',
      own.map((level, band) => difference(level, bleed[band] ?? null)),
    ),
    ...mic.levels.map((level) => row(label(level), level.byBand)),
  ];
  const [head = '', ...lines] = table(
    columns,
    rows.map((cells) => cells.map(plain)),
    layout.width,
  );
  return [layout.paint.faint(head), ...lines];
}

const bandHead = (mic: MicRow, hertz: number): string =>
  hertzName(hertz).replace(' ', '').replace('Hz', '') + (mic.judgedBands.includes(hertz) ? '*' : '');

const row = (name: string, levels: readonly (number | null)[]): string[] => [
  name,
  ...levels.map((level) => figureOr(level, 1, 'none')),
];

function label(level: LevelRow): string {
  if (level.wanted) return `${level.source} (own)`;
  return level.ignored ? `${level.source} (mate)` : level.source;
}

/** Energy sum by octave; null where nothing sounds. */
function bandSums(levels: readonly LevelRow[]): (number | null)[] {
  return NOMINAL_BANDS.map((_, band) => {
    const energies = levels
      .map((level) => level.byBand[band] ?? null)
      .map((db) => (db === null ? 0 : 10 ** (db / 10)));
    const sum = energies.reduce((a, b) => a + b, 0);
    return sum > 0 ? 10 * Math.log10(sum) : null;
  });
}

const difference = (a: number | null, b: number | null): number | null =>
  a === null || b === null ? null : a - b;

type Block = { readonly rows: readonly (readonly Cell[])[]; readonly details: readonly string[] };

/** Signal to bleed of every microphone, worst first; in full, each with what spills into it and what helps. */
export function bleed(report: Report, layout: ReportLayout & InUnits): string[] {
  const withMost = layout.brief ? laidOut(report, layout, true) : null;
  const { head, body } = withMost && withMost.cut === 0 ? withMost : laidOut(report, layout, false);
  if (body.length === 0) return [];
  const { others } = inSight(report, layout);
  return [
    heading('Signal to bleed, worst first', layout, 'bleed'),
    layout.paint.faint(head),
    ...body,
    ...othersLine(others, layout),
  ];
}

/** Clear ones that a brief page shows, and how many more are told of in one line. */
const CLEAR = 3;

const TOGETHER = 3;

function inSight(
  report: Report,
  { brief }: ReportLayout,
): { entries: readonly Entry[]; others: readonly Entry[] } {
  const entries = worstFirst(report);
  const clear = entries.filter(isClear);
  const others = brief && clear.length >= CLEAR + TOGETHER ? clear.slice(CLEAR) : [];
  return { entries: entries.filter((entry) => !others.includes(entry)), others };
}

const isClear = ({ row, capsules }: Entry): boolean =>
  [row, ...capsules].every(({ verdict }) => verdict === 'clear');

function othersLine(others: readonly Entry[], { width }: ReportLayout): string[] {
  const [first] = others;
  if (!first) return [];
  const least = first.row.margin === null ? 'clear' : `clear by ${figure(first.row.margin, 1)} dB or more`;
  const names = others.map(({ row }) => row.name).join(', ');
  return wrap(`${others.length} others ${least}: ${names}`, width, '  ', '    ');
}

/** `cut` counts the rows whose names the columns had no room for. */
function laidOut(report: Report, layout: ReportLayout & InUnits, most: boolean) {
  const extra = { most, basis: report.levelBasis !== null };
  const { entries, others } = inSight(report, layout);
  const blocks = [
    ...entries.map((entry) => micBlock(entry, layout, extra)),
    ...(others.length > 0 ? [] : report.lines).map((line) => ({
      rows: [lineRow(line, layout)],
      details: [],
    })),
  ];
  const cells = blocks.flatMap((block) => block.rows);
  const [head = '', ...lines] = table(micColumns(layout, extra), cells, layout.width);
  const whole = lines.map((line, i) => uncut(cells[i] ?? [], line));
  const rows = lines.map((line, i) => [line, ...inFull(whole[i] ?? null, layout)]);
  const body = blocks.flatMap((block) => [...rows.splice(0, block.rows.length).flat(), ...block.details]);
  return { head, body, cut: whole.filter((one) => one !== null).length };
}

const inFull = (text: string | null, layout: ReportLayout): string[] =>
  text === null ? [] : wrap(text, layout.width, INDENT, `${INDENT}  `);

function micBlock({ row, capsules }: Entry, layout: ReportLayout & InUnits, extra: Extra): Block {
  const shown = layout.brief ? capsules.filter(({ verdict }) => verdict !== row.verdict) : capsules;
  const rows = [
    micRow(row, row.name, layout, extra),
    ...(row.purpose === 'parts' ? shown : []).map((one) => micRow(one, `  ${side(one)}`, layout, extra)),
  ];
  if (layout.brief) return { rows, details: [] };
  const each = layout.all ? capsules.flatMap((capsule) => details(capsule, layout, capsule.name)) : [];
  return { rows, details: [...details(row, layout), ...each] };
}

/** "left" of "overheads.left". */
const side = (capsule: MicRow): string => capsule.name.slice((capsule.pair?.length ?? -1) + 1);

/** Columns that are not always there: what spills most, where nothing stands under the rows; whether it was measured. */
type Extra = { readonly most: boolean; readonly basis: boolean };

const micColumns = (layout: ReportLayout, { most, basis }: Extra): Column[] => [
  { head: 'microphone', align: 'left', flexible: true },
  { head: 'for', align: 'left', flexible: true },
  ...(isWide(layout) ? [{ head: 'pattern', align: 'left', flexible: true } as const] : []),
  { head: 'S/B dB', align: 'right' },
  { head: 'limit', align: 'right' },
  { head: 'verdict', align: 'left' },
  ...(basis ? [{ head: 'basis', align: 'left' } as const] : []),
  ...(most ? [{ head: 'most from', align: 'left', flexible: true } as const] : []),
  ...(most && isWide(layout) ? [{ head: 'made of', align: 'left' } as const] : []),
];

function micRow(mic: MicRow, label: string, layout: ReportLayout, { most, basis }: Extra): Cell[] {
  const judged = mic.purpose === 'parts';
  return [
    { text: label, paint: layout.paint.strong },
    plain(judged ? mic.for.join(', ') : mic.purpose),
    ...(isWide(layout) ? [plain(mic.pattern)] : []),
    plain(judged ? figureOr(mic.signalToBleed, 1, 'none') : ''),
    plain(mic.limit === null ? '' : round(mic.limit)),
    { text: micVerdict(mic), paint: verdictPaint(mic.verdict, layout.paint) },
    ...(basis ? [plain(basisWords(mic.basis))] : []),
    ...(most ? [plain(judged ? loudestBleeder(mic) : '')] : []),
    ...(most && isWide(layout) ? [plain(judged ? micRowMostly(mic) : '')] : []),
  ];
}

/** "room 62%": the share that makes the most of the bleed. */
function micRowMostly({ bleedShares }: MicRow): string {
  const [kind] = bleedShares ? kindsIn(bleedShares) : [];
  return kind && bleedShares ? `${kind.name} ${percent(bleedShares[kind.key])}` : '';
}

function lineRow(line: LineRow, layout: ReportLayout): Cell[] {
  const pattern = isWide(layout) ? [''] : [];
  return [line.name, line.for.join(', '), ...pattern, '', '', 'line, no bleed'].map(plain);
}

/** What the columns had no room for, in full; null where nothing was cut. */
function uncut(cells: readonly Cell[], line: string): string | null {
  const [name, what] = cells;
  if (!name || !what || (line.includes(name.text) && line.includes(what.text))) return null;
  return `${name.text.trim()}, for ${what.text}`;
}

/** Own octaves and all octaves that differ by less need no telling apart, dB. */
const SAME_FIGURE = 3;

/** What stands under a row is set in by this. */
const INDENT = '      ';

/** What stands under a microphone's row: its other figures, what spills into it, what that is made of and what helps. */
function details(mic: MicRow, layout: Layout & InUnits, heading?: string): string[] {
  const phrases = [...basis(mic), ...(mic.remark === null ? [] : [mic.remark])];
  const title = heading === undefined ? '' : `${heading}: `;
  const about = phrases.length > 0 ? wrap(title + phrases.join('; '), layout.width, INDENT) : [];
  const helps = cures(mic).flatMap((phrase) => wrap(phrase, layout.width, INDENT, `${INDENT}  `));
  return [...about, ...bleederLines(mic, layout, INDENT), ...helps];
}

/** In which octaves it is judged, and the figures that stand beside the judged one. */
function basis(mic: MicRow): string[] {
  const { signalToBleed: judged, signalToBleedUnweighted: whole, signalToDirectBleed: direct } = mic;
  if (judged === null) return [];
  const differs = whole !== null && Math.abs(whole - judged) >= SAME_FIGURE;
  return [
    `judged in ${octaves(mic.judgedBands, NOMINAL_BANDS)}`,
    ...limitPhrase(mic.limitFrom),
    ...(differs ? [`${figure(whole, 1)} dB unweighted`] : []),
    ...(direct === null || figure(direct, 1) === figure(judged, 1)
      ? []
      : [`${figure(direct, 1)} dB against the direct bleed alone`]),
  ];
}

/** "limits" where the plan sets it, else what is to be done with the part later. */
function limitPhrase(from: string | null): string[] {
  if (from === null) return [];
  return [from === 'limits' ? 'limit set in the plan' : `limit for later: ${from}`];
}

/** Enough of them to hold this share of the bleed, and no more than `MOST`, are the main ones. */
const MAIN_SHARE = 0.9;

const MOST = 4;

/** The sources that spill most into a microphone, loudest first, in the octaves it is judged in. */
function bleederLines(mic: MicRow, layout: Layout & InUnits, indent: string): string[] {
  const bleeders = loudestFirst(mic.levels.filter((level) => !level.wanted && !level.ignored));
  if (mic.purpose !== 'parts' || bleeders.length === 0) return [];
  const own = energySum(mic.levels.filter((level) => level.wanted));
  const main = layout.all ? bleeders : mainOnes(bleeders);
  const rows = main.map((level) => bleederRow(level, own, layout).map(plain));
  const lines = table(columns(own, layout), rows, layout.width, indent);
  return [...lines, ...remainder(bleeders.slice(main.length), own, indent)];
}

/** Name of what spills most into it, a kit as a whole; empty where nothing does. */
function loudestBleeder(mic: MicRow): string {
  const bleeding = loudestFirst(
    mic.levels.filter((level) => !level.wanted && !level.ignored && energy(level) > 0),
  );
  const names = [...new Set(bleeding.map(({ source }) => kitOf(source)))];
  const together = (name: string) => energySum(bleeding.filter(({ source }) => kitOf(source) === name));
  return names.reduce((most, name) => (together(name) > together(most) ? name : most), names[0] ?? '');
}

/** "drums" of "drums.kick": no name holds a dot of its own. */
const kitOf = (source: string): string => source.split('.')[0] ?? source;

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

function columns(own: number, layout: Layout): Column[] {
  return [
    { head: 'bleeds in', align: 'left', flexible: true },
    { head: own > 0 ? 'dB re signal' : 'dB SPL', align: 'right' },
    { head: 'distance', align: 'right' },
    { head: 'off aim', align: 'right' },
    ...(isWide(layout) ? [{ head: 'mostly', align: 'left' } as const] : []),
  ];
}

function bleederRow(level: LevelRow, own: number, layout: Layout & InUnits): string[] {
  const distance = level.distance === null ? 'unknown' : layout.lengths.away(level.distance);
  const offAxis = level.offAxis === null ? 'unknown' : `${figure(level.offAxis, 0)}°`;
  const cells = [level.source, relative(energy(level), own), distance, offAxis];
  return isWide(layout) ? [...cells, mostly(level)] : cells;
}

/** Level over the signal in the same octaves, or as it stands where there is no signal. */
const relative = (bleed: number, own: number): string =>
  figureOr(bleed > 0 ? 10 * Math.log10(bleed / (own > 0 ? own : 1)) : null, 1, 'silent');

function mostly({ shares }: LevelRow): string {
  const [largest] = kindsIn(shares);
  return largest ? `${largest.name} ${percent(shares[largest.key])}` : 'nothing';
}

function remainder(rest: readonly LevelRow[], own: number, indent: string): string[] {
  if (rest.length === 0) return [];
  const together = relative(energySum(rest), own);
  const level = together === 'silent' ? together : `together ${together} dB`;
  return [`${indent}and ${counted(rest.length, 'other')}, ${level}`];
}

const energy = ({ judgedLevel }: LevelRow): number => (judgedLevel === null ? 0 : 10 ** (judgedLevel / 10));

const energySum = (levels: readonly LevelRow[]): number =>
  levels.reduce((sum, level) => sum + energy(level), 0);
