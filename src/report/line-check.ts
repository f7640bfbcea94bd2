/** Readings against the plan. */
import { NOMINAL_BANDS } from '../acoustics/bands.ts';
import { escapeAll } from '../layout/html.ts';
import { type Column, type Layout, paint, plain, table, verdictPaint, wrap } from '../layout/text.ts';
import type { Suspect } from '../line-check/diagnose.ts';
import type { FittedRow, LineCheck } from '../line-check/line-check.ts';
import type { Layer } from '../line-check/readings.ts';
import { causeWords, counted, figure, figureOr, hertzName, howWords, round, verdictWords } from './words.ts';

type LineCheckPage = { readonly width: number; readonly colour: boolean; readonly all: boolean };

export function lineCheckText(check: LineCheck, { width, colour, all }: LineCheckPage): string {
  const safe = escapeAll(check);
  const layout = { width, paint: paint(colour), all };
  const sections = [
    [
      ...(safe.title === '' ? [] : wrap(safe.title, width).map(layout.paint.strong)),
      ...verdict(safe, layout),
    ],
    fitted('Levels', 'source', 'against the plan', safe.sources, layout),
    fitted('Channels', 'channel', 'gain', safe.channels, layout),
    measuredBleed(safe, layout),
    standingOut(safe, layout),
    unsure(safe, layout),
  ];
  return `${sections
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join('\n'))
    .join('\n\n')}\n`;
}

function headed(
  title: string,
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
  layout: Layout,
): string[] {
  const [head = '', ...lines] = table(
    columns,
    rows.map((row) => row.map(plain)),
    layout.width,
  );
  return [layout.paint.strong(title), layout.paint.faint(head), ...lines];
}

function fitted(
  title: string,
  who: string,
  what: string,
  rows: readonly FittedRow[],
  layout: Layout,
): string[] {
  const columns: Column[] = [
    { head: who, align: 'left', flexible: true },
    { head: `${what}, dB`, align: 'right' },
    { head: '±', align: 'right' },
    { head: who === 'source' ? 'heard by' : 'heard', align: 'right' },
  ];
  const cells = rows.map(({ name, overall, count }) => [
    name,
    overall ? signed(overall.value) : 'not known',
    overall ? figure(overall.error, 1) : '',
    String(count),
  ]);
  return headed(title, columns, cells, layout);
}

const signed = (value: number): string => `${value > 0.05 ? '+' : ''}${figure(value, 1)}`;

/** Residuals that the fit set aside, greatest first. */
const ASIDE = 0.5;

const MOST = 8;

function standingOut({ residuals }: LineCheck, layout: Layout): string[] {
  const aside = residuals
    .filter(({ trust }) => trust < ASIDE)
    .sort((a, b) => Math.abs(b.residual) - Math.abs(a.residual));
  if (aside.length === 0) return [];
  const shown = layout.all ? aside : aside.slice(0, MOST);
  const rows = shown.map(({ source, channel, layer, residual }) => [
    source,
    channel,
    layerName(layer),
    signed(residual),
  ]);
  const columns: Column[] = [
    { head: 'source', align: 'left', flexible: true },
    { head: 'channel', align: 'left', flexible: true },
    { head: 'octave', align: 'right' },
    { head: 'off by, dB', align: 'right' },
  ];
  const more = aside.length - shown.length;
  return [
    ...headed('Readings that stand out (they count little in the fit)', columns, rows, layout),
    ...(more > 0 ? [`  ${more} more: --all`] : []),
  ];
}

const layerName = (layer: Layer): string => (layer === null ? 'all' : hertzName(NOMINAL_BANDS[layer] ?? 0));

function unsure(check: LineCheck, layout: Layout): string[] {
  const { groups, drowned, unforeseen, passedOver, sources, asOne } = check;
  const apart = groups.map(({ sources: who, channels }) => `${who.join(', ')} at ${channels.join(', ')}`);
  const once = sources.filter(({ count }) => count === 1).map(({ name }) => name);
  const lines = [
    'Levels are in relation to one another: one amount common to all could as well be in the gains. It is taken such that the median source is as the plan has it.',
    ...(groups.length > 1
      ? [`Nothing links ${apart.join('; nor ')}: between these no levels can be compared.`]
      : []),
    ...(asOne.length > 0
      ? [`Read as one, so that what sounds in it cannot be told apart: ${asOne.join(', ')}.`]
      : []),
    ...(once.length > 0
      ? [`Heard by one microphone only, so that nothing checks the reading: ${once.join(', ')}.`]
      : []),
    ...(drowned.length > 0
      ? [
          `${counted(drowned.length, 'reading')} too near to the noise to be used: ${namesOf(drowned, layout)}.`,
        ]
      : []),
    ...(unforeseen.length > 0
      ? [
          `${counted(unforeseen.length, 'reading')} where the plan has no sound arrive: ${namesOf(unforeseen, layout)}.`,
        ]
      : []),
    ...(passedOver.length > 0
      ? [`Direct lines hear nothing by air and are passed over: ${passedOver.join(', ')}.`]
      : []),
  ];
  return [layout.paint.strong('Not sure about'), ...lines.flatMap((line) => wrap(line, layout.width, '  '))];
}

function namesOf(readings: LineCheck['drowned'], { all }: Layout): string {
  const names = [...new Set(readings.map(({ source, channel }) => `${source} at ${channel}`))];
  const shown = all ? names : names.slice(0, MOST);
  return shown.join(', ') + (names.length > shown.length ? ` and ${names.length - shown.length} more` : '');
}

/** What readings say of the plan: that it stands, or what would explain them better. */
function verdict(check: LineCheck, layout: Layout): string[] {
  const { diagnosis, sources, channels, residuals, layers } = check;
  const octaves = layers[0] === null ? '' : ' by octave';
  const count = `${counted(sources.length, 'source')} at ${counted(channels.length, 'channel')}, ${counted(residuals.length, 'reading')}${octaves}.`;
  const [first] = diagnosis.suspects;
  const lines = first ? explained(check, first) : unexplained(check);
  return [...wrap(count, layout.width), ...lines.flatMap((line) => wrap(line, layout.width))].concat(
    diagnosis.suspects.flatMap((suspect) => suspectLines(suspect, layout)),
    first ? wrap(evidence(check), layout.width) : [],
  );
}

function unexplained({ diagnosis: { before, beyond, tried }, layers, spare }: LineCheck): string[] {
  if (spare === 0)
    return [
      'Levels and gains take all of them: nothing is left that could be held against the plan. Read more microphones.',
    ];
  const left = `with ${figure(before, 1)} dB rms left that neither levels nor gains explain`;
  if (!beyond)
    return [
      `They fit the plan within its tolerance, ${left}. No single cause of ${tried} tried is called for.`,
    ];
  const more = layers[0] === null ? ' Readings by octave would tell more.' : '';
  return [
    `They do not fit the plan, ${left}: more than its tolerance makes likely. No single cause of ${tried} tried explains it well enough to be named.${more}`,
  ];
}

function explained({ diagnosis: { suspects, before } }: LineCheck, { after }: Suspect): string[] {
  const set =
    suspects.length === 1
      ? 'This explains the readings better than the plan does'
      : `Each of these explains the readings better than the plan does, and they cannot be told apart by them`;
  return [`${set} (${figure(before, 1)} dB rms left before, ${figure(after, 1)} dB with the likeliest):`];
}

function suspectLines({ cause, others, after }: Suspect, layout: Layout): string[] {
  const also = [...new Set(others.map(({ how }) => howWords(how)))].filter(
    (one) => one !== '' && one !== howWords(cause.how),
  );
  const rest = also.length === 0 ? '' : ` (or ${also.join(', ')})`;
  return wrap(
    `${causeWords(cause)}${rest}: ${figure(after, 1)} dB rms left`,
    layout.width,
    '  - ',
    '    ',
  ).map((line, i) => (i === 0 ? layout.paint.marginal(line) : line));
}

function evidence({ diagnosis: { suspects, tried, days, threshold, more } }: LineCheck): string {
  const score = figure(suspects[0]?.score ?? 0, 1);
  const scored = `Score ${score}, where the best of ${tried} causes reaches ${figure(threshold, 1)} on 2 of 100 days within the tolerance (${days} drawn).`;
  return more
    ? `${scored} What is left is still more than the tolerance makes likely: look for something else as well.`
    : scored;
}

const BLEED: readonly Column[] = [
  { head: 'mic', align: 'left', flexible: true },
  { head: 'measured', align: 'right' },
  { head: '±', align: 'right' },
  { head: 'plan', align: 'right' },
  { head: 'limit', align: 'right' },
  { head: 'verdict', align: 'left' },
];

/** S/B straight from the readings, and for which microphones it is not to be had. */
function measuredBleed({ bleed, layers }: LineCheck, layout: Layout): string[] {
  const over = layers[0] === null ? ' over all octaves' : '';
  const rows = bleed
    .filter(({ measured }) => measured !== null)
    .sort((a, b) => (a.margin ?? 0) - (b.margin ?? 0));
  const lost = bleed.filter(({ measured }) => measured === null);
  if (bleed.length === 0) return [];
  const cells = rows.map((row) => [
    plain(row.name),
    ...[
      figureOr(row.measured, 1, ''),
      figureOr(row.error, 1, ''),
      figureOr(row.predicted, 1, 'none'),
      round(row.limit),
    ].map(plain),
    {
      text: row.verdict ? verdictWords(row.verdict, row.margin) : '',
      paint: verdictPaint(row.verdict, layout.paint),
    },
  ]);
  const [head = '', ...lines] = table(BLEED, cells, layout.width);
  return [
    layout.paint.strong(`Signal to bleed as measured${over}, worst first (gains cancel)`),
    ...(rows.length > 0 ? [layout.paint.faint(head), ...lines] : []),
    ...lost.flatMap(({ name, lacks }) =>
      wrap(`${name}: not measured, without ${lacks.join(', ')}`, layout.width, '  ', '    '),
    ),
  ];
}
