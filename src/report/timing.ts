/** Delays, main pairs. */
import { RIPPLE } from '../judge/pitfalls.ts';
import type { Report } from '../judge/report.ts';
import type { MainPairRow } from '../judge/stereo.ts';
import type { OverheadRow, SpotDelay, TimingRow } from '../judge/timing.ts';
import { type Html, html, number, tableMarkup, words } from '../layout/html.ts';
import {
  type Column,
  heading,
  type InUnits,
  isWide,
  plain,
  type ReportLayout,
  table,
  wrap,
} from '../layout/text.ts';
import type { Answer } from './answer.ts';
import { sentencesOf } from './rooms.ts';
import { type PagePart, part } from './view.ts';
import { counted, figure, figureOr, hertzName } from './words.ts';

/** Shallower combs are hardly heard: as in the pitfalls, dB. */
const DEEP = 6;

const MOST = 40;

export function timing({ timing: { rows, overheads, sampleRate }, mainPairs }: Answer): PagePart | null {
  const deep = rows.filter(({ ripple }) => ripple >= DEEP);
  const pairs = [
    ...mainPairs.filter(({ purpose }) => purpose === 'all').map(({ name, spots }) => ({ name, spots })),
    ...overheads.map(({ pair, spots }) => ({ name: pair, spots })),
  ].filter(({ spots }) => spots.length > 0);
  if (rows.length + pairs.length === 0) return null;
  const left = rows.length - Math.min(deep.length, MOST);
  return part(
    'timing',
    'Delays',
    deep.length > 0
      ? combTable(deep.slice(0, MOST))
      : html`<p>No two microphones comb by ${DEEP} dB or more.</p>\n`,
    left > 0 && deep.length > 0 ? html`<p>And ${left} shallower.</p>\n` : null,
    ...pairs.map(({ name, spots }) => pageTimingSpotTable({ name, spots, sampleRate })),
  );
}

const combTable = (rows: readonly TimingRow[]): Html =>
  tableMarkup(
    'Combs, deepest first',
    [
      ...['part', 'own', 'other'].map(words),
      number('later'),
      number('ripple'),
      number('first dip'),
      words('brought together by'),
    ],
    rows.map(({ part: name, own, other, late, over, ripple, notches, align }) => [
      name,
      own,
      other,
      `${figure(1000 * late, 2)} ms`,
      over ? `over ${figure(ripple, 0)} dB` : `${figure(ripple, 1)} dB`,
      notches ? hertzName(Math.round(notches[0] > 0 ? notches[0] : notches[1])) : 'none',
      align === null ? 'they are together' : `${align.mic} delayed by ${figure(1000 * align.by, 2)} ms`,
    ]),
  );

const pageTimingSpotTable = ({ name, spots, sampleRate }: Spots): Html =>
  tableMarkup(
    `Spots brought to ${name}`,
    [words('spot'), words('by its'), number('delay'), number(`samples at ${hertzName(sampleRate)}`)],
    spots.map(({ spot, source, late, samples }) => [
      spot,
      source,
      `${figure(1000 * late, 2)} ms`,
      figure(Math.round(samples), 0),
    ]),
  );

// What microphones for everyone and for the room make of the ensemble.

export const pageMainPairs = ({ mainPairs: rows }: Answer): PagePart | null =>
  rows.length === 0 ? null : part('main', 'Main pairs', ...rows.map(pageOnePair));

function pageOnePair(row: MainPairRow): Html {
  const [summary = ''] = sentencesOf(mainPairsText, { mainPairs: [row] }, 'full');
  return html`<p>${summary}</p>\n${tableMarkup(
    `The ensemble in ${row.name}`,
    [words('part'), number('dB re loudest'), number('direct to room dB'), number('angle')],
    row.parts.map(({ part: name, level, directToRoom, angle }) => [
      name,
      figureOr(level, 1, 'silent'),
      figureOr(directToRoom, 1, 'none'),
      angle === null ? 'elsewhere' : sideOf(angle),
    ]),
  )}`;
}

const sideOf = (angle: number): string =>
  Math.abs(angle) < 0.5 ? 'ahead' : `${figure(Math.abs(angle), 0)}° ${angle < 0 ? 'left' : 'right'}`;

const COLUMNS: readonly Column[] = [
  { head: 'part', align: 'left', flexible: true },
  { head: 'dB re loudest', align: 'right' },
  { head: 'direct to room dB', align: 'right' },
  { head: 'angle', align: 'right' },
];

/** What microphones for everyone and for the room make of the ensemble: balance, dryness, where each stands. */
export function mainPairsText(
  { mainPairs: rows }: Pick<Report, 'mainPairs'>,
  layout: ReportLayout,
): string[] {
  if (rows.length === 0) return [];
  return [heading('Main pairs', layout, 'main'), ...rows.flatMap((row) => onePair(row, layout))];
}

function onePair(row: MainPairRow, layout: ReportLayout): string[] {
  const cells = row.parts.map(({ part, level, directToRoom, angle }) => [
    part,
    figureOr(level, 1, 'silent'),
    figureOr(directToRoom, 1, 'none'),
    angle === null ? 'elsewhere' : side(angle),
  ]);
  const [head = '', ...lines] = table(
    COLUMNS,
    cells.map((one) => one.map(plain)),
    layout.width,
  );
  return [...wrap(summary(row), layout.width, '  ', '    '), layout.paint.faint(head), ...lines];
}

function summary({ name, purpose, stereo, ensemble, ...row }: MainPairRow): string {
  const made = [stereo ?? 'one microphone', ...(purpose === 'room' ? ['for the room'] : [])].join(', ');
  const wide = ensemble
    ? `; the ensemble reaches from ${side(ensemble.left)} to ${side(ensemble.right)}`
    : '';
  return `${name} (${made})${wide}${angleOf(row)}`;
}

function angleOf({ recordingAngle, fits, spare, outside }: Picked): string {
  if (!recordingAngle) return '';
  const one = (degrees: number | null) => (degrees === null ? 'open' : `${figure(degrees, 0)}°`);
  const angle = `; recording angle ${one(recordingAngle.left)} left, ${one(recordingAngle.right)} right (±10°)`;
  if (fits === null || spare === null) return angle;
  const word = fits ? `fits with ${figure(spare, 0)}° to spare` : `too narrow by ${figure(-spare, 0)}°`;
  return `${angle}: ${word}${outside.length > 0 ? `, outside it ${outside.join(', ')}` : ''}`;
}

type Picked = Pick<MainPairRow, 'recordingAngle' | 'fits' | 'spare' | 'outside'>;

/** "12° left" of the aim. */
function side(degrees: number): string {
  const size = `${figure(Math.abs(degrees), 0)}°`;
  if (size === '0°') return 'ahead';
  return `${size} ${degrees < 0 ? 'left' : 'right'}`;
}

/** Combs shown without `all`. */
const SHOWN = 12;

/** Combs that matter, deepest first, and the delays that bring spots to pairs. */
export function delays(
  { timing, mainPairs }: Pick<Report, 'timing' | 'mainPairs'>,
  layout: ReportLayout & InUnits,
): string[] {
  const pairs = [
    ...mainPairs.filter(({ purpose }) => purpose === 'all').map(({ name, spots }) => ({ name, spots })),
    ...timing.overheads.map(({ pair, spots }) => ({ name: pair, spots })),
  ];
  const body = [
    ...combs(timing.rows, layout),
    ...pairs.flatMap((pair) => spotTable({ ...pair, sampleRate: timing.sampleRate }, layout)),
    ...timing.overheads.flatMap((row) => snareLine(row, layout)),
  ];
  return body.length === 0 ? [] : [heading('Delays', layout, 'delays'), ...body];
}

function combColumns(layout: ReportLayout): Column[] {
  return [
    { head: 'on', align: 'left', flexible: true },
    { head: 'own', align: 'left', flexible: true },
    { head: 'other', align: 'left', flexible: true },
    { head: 'later', align: 'right' },
    { head: 'ripple', align: 'right' },
    { head: 'first dip', align: 'right' },
    ...(isWide(layout) ? [{ head: 'together with', align: 'left', flexible: true } as const] : []),
  ];
}

function combs(rows: readonly TimingRow[], layout: ReportLayout): string[] {
  const deep = layout.all ? rows : rows.filter(({ ripple, notches }) => ripple >= RIPPLE && notches !== null);
  const shown = layout.all ? deep : deep.slice(0, SHOWN);
  if (shown.length === 0) return wrap('No two microphones comb by 6 dB or more.', layout.width, '  ');
  const [head = '', ...lines] = table(
    combColumns(layout),
    shown.map((row) => combCells(row, layout).map(plain)),
    layout.width,
  );
  const rest = deep.length - shown.length;
  return [
    layout.paint.faint(head),
    ...lines,
    ...(rest > 0 ? [`  and ${counted(rest, 'shallower comb')}: --all`] : []),
  ];
}

function combCells(row: TimingRow, layout: ReportLayout): string[] {
  const { part, own, other, late, over, ripple, notches, align } = row;
  const dip = notches ? (notches[0] > 0 ? notches[0] : notches[1]) : null;
  const mend = align === null ? 'they are' : `${align.mic} delayed by ${figure(1000 * align.by, 2)} ms`;
  return [
    part,
    own,
    other,
    `${figure(1000 * late, 2)} ms`,
    over ? `over ${figure(ripple, 0)} dB` : `${figure(ripple, 1)} dB`,
    dip === null ? 'none' : hertzName(Math.round(dip)),
    ...(isWide(layout) ? [mend] : []),
  ];
}

const spotColumns = (sampleRate: number): Column[] => [
  { head: 'spot', align: 'left', flexible: true },
  { head: 'by its', align: 'left', flexible: true },
  { head: 'delay', align: 'right' },
  { head: `at ${hertzName(sampleRate)}`, align: 'right' },
];

type Spots = { readonly name: string; readonly spots: readonly SpotDelay[]; readonly sampleRate: number };

function spotTable({ name, spots, sampleRate }: Spots, layout: ReportLayout): string[] {
  if (spots.length === 0) return [];
  const rows = spots.map(({ spot, source, late, samples }) => [
    spot,
    source,
    `${figure(1000 * late, 2)} ms`,
    counted(Math.round(samples), 'sample'),
  ]);
  const [head = '', ...lines] = table(
    spotColumns(sampleRate),
    rows.map((row) => row.map(plain)),
    layout.width,
  );
  return [...wrap(`Spots brought to ${name}:`, layout.width, '  '), layout.paint.faint(head), ...lines];
}

function snareLine({ pair, snare }: OverheadRow, { width, lengths }: ReportLayout & InUnits): string[] {
  if (!snare) return [];
  const { source, nearer, apart, late } = snare;
  const how =
    nearer === null
      ? 'as far from both capsules: it stands in the middle'
      : `${lengths.tape(apart)} nearer to ${nearer}, ${figure(1000 * late, 2)} ms early there`;
  return wrap(`${source} under ${pair}: ${how}`, width, '  ', '    ');
}
