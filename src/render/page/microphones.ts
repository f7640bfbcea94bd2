/** Signal to bleed of every microphone, and what is behind each figure. */
import { NOMINAL_BANDS } from '../../acoustics/bands.ts';
import type { LevelRow, MicRow } from '../../judge/report.ts';
import type { Lengths } from '../../plan/lengths.ts';
import type { Answer } from '../answer.ts';
import { worstFirst } from '../order.ts';
import { basisWords } from '../readings-words.ts';
import { kindsIn } from '../shares.ts';
import { cures } from '../text/cures.ts';
import { figure, figureOr, hertzName, micVerdict, octaves, percent, round } from '../words.ts';
import { type Html, html } from './html.ts';
import { type PagePart, part } from './part.ts';
import { listMarkup, number, tableMarkup, verdictMark, words } from './tables.ts';

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
    tableMarkup('Every microphone', heads, [...rows.map((mic) => cells(mic, hasBasis)), ...lines]),
    html`<h3>Behind each figure</h3>\n`,
    ...rows.map((mic, i) => details(mic, i, lengths)),
  );
}

function cells(mic: MicRow, hasBasis: boolean): (string | Html)[] {
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

function details(mic: MicRow, place: number, lengths: Lengths): Html {
  const helps = [...facts(mic), ...cures(mic)];
  return html`<details id="mic-${place}"><summary>${mic.name}: ${micVerdict(mic)}</summary>
${listMarkup(helps)}${levels(mic, lengths)}${byBand(mic)}</details>\n`;
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
  mostly(level),
];

function roleOf({ wanted, ignored }: LevelRow): string {
  if (wanted) return 'own';
  return ignored ? 'mate, not counted' : 'bleed';
}

function mostly({ shares, judgedLevel }: LevelRow): string {
  const [largest] = judgedLevel === null ? [] : kindsIn(shares);
  return largest ? `${largest.name} ${percent(shares[largest.key])}` : '';
}

function byBand({ name, levels: rows, judgedBands }: MicRow): Html {
  const heads = NOMINAL_BANDS.map((hertz) =>
    number(hertzName(hertz) + (judgedBands.includes(hertz) ? ' *' : '')),
  );
  return tableMarkup(
    `${name} by octave, dB SPL; * an octave it is judged in`,
    [words('source'), ...heads],
    rows.map(({ source, byBand: bands }) => [source, ...bands.map((level) => figureOr(level, 0, 'none'))]),
  );
}
