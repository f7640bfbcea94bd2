/** Hears and sees, headphones, ears. */
import type { ExposureRow } from '../judge/exposure.ts';
import type { CueRow, HeadphoneLeakRow, HearLimitRow, HearsRow } from '../judge/hearing.ts';
import type { Report } from '../judge/report.ts';
import type { SightRow } from '../judge/sight.ts';
import {
  type Cell,
  type Html,
  html,
  listMarkup,
  number,
  paragraphs,
  tableMarkup,
  verdictMark,
  words,
} from '../layout/html.ts';
import { type Column, heading, isWide, plain, type ReportLayout, table, wrap } from '../layout/text.ts';
import type { Answer } from './answer.ts';
import { sentencesOf } from './rooms.ts';
import { type PagePart, part } from './view.ts';
import { counted, duration, figure, figureOr, tooLoud, USUAL_CAUTION, verdictWords } from './words.ts';

// Who hears and sees whom, what headphones must carry, and what ears may bear.
export function players(answer: Answer): PagePart | null {
  const { hearing, sight, exposure } = answer;
  if (hearing.rows.length + sight.rows.length + exposure.length === 0) return null;
  return part(
    'players',
    'Players',
    html`<h3>Hears and sees</h3>\n`,
    paragraphs(sentencesOf(people, { hearing: { rows: [], limits: hearing.limits }, sight }, 'full')),
    ...hearingBlock(hearing.rows),
    ...headphoneBlock(answer),
    exposure.length > 0 ? html`<h3>Ears</h3>\n${earTable(answer)}` : null,
  );
}

/** Who wears closed headphones hears nobody by air, and is told of in one line. */
function hearingBlock(rows: readonly HearsRow[]): Html[] {
  const isShut = ({ remark }: HearsRow): boolean => remark?.startsWith('wears ') === true;
  const shut = new Map(rows.filter(isShut).map(({ player, remark }) => [player, remark]));
  const byAir = rows.filter((row) => !isShut(row));
  return [
    ...(byAir.length > 0 ? [hearingTable(byAir)] : []),
    listMarkup([...shut].map(([player, remark]) => `${player} ${remark}: hears nobody by air`)),
  ];
}

/** Listeners down, players across: the word and the figure. */
function hearingTable(rows: readonly HearsRow[]): Html {
  const names = [...new Set(rows.map(({ player }) => player))];
  const whom = [...new Set(rows.map((row) => row.whom))];
  return tableMarkup(
    'Who hears whom by air, dB against everything else at that ear',
    [words(''), ...whom.map(words)],
    names.map((name) => [
      name,
      ...whom.map((one) => heard(rows.find((row) => row.player === name && row.whom === one))),
    ]),
  );
}

function heard(row: HearsRow | undefined): Cell {
  if (!row) return '';
  const verdict = { hears: 'clear', 'strains to hear': 'marginal', 'does not hear': 'short' } as const;
  const word = { hears: 'hears', 'strains to hear': 'strains', 'does not hear': 'does not' } as const;
  const ratio = row.ratio === null ? 'silent' : figure(row.ratio, 0);
  return verdictMark(verdict[row.hears], `${word[row.hears]} ${ratio}`);
}

function headphoneBlock(answer: Answer): Html[] {
  const said = sentencesOf(headphones, answer, 'full');
  return said.length > 0 ? [html`<h3>Headphones</h3>\n`, listMarkup(said)] : [];
}

function earTable({ exposure }: Answer): Html {
  const order = [...exposure].sort((a, b) => (a.minutes ?? 1e9) - (b.minutes ?? 1e9));
  const heads = [
    words('player'),
    number('a day by NIOSH'),
    number('by OSHA'),
    number('dBA'),
    words('for the session'),
    words('remark'),
  ];
  const table = tableMarkup(
    'How long ears may bear it, without a break',
    heads,
    order.map(({ player, minutes, minutesOsha, level, verdict, margin, remark }) => [
      player,
      minutes === null ? 'silent' : duration(minutes),
      minutesOsha === null ? '' : duration(minutesOsha),
      figureOr(level, 1, ''),
      verdict === null ? '' : verdictMark(verdict, verdictWords(verdict, margin)),
      remark ?? '',
    ]),
  );
  return html`${table}<p>By NIOSH: ${USUAL_CAUTION} By OSHA: 90 dBA for 8 hours and half the time for every 5 dB more.</p>\n`;
}

/** So many lines of a kind without asking for more. */
const PEOPLE_SHOWN = 2;

/** Who hears and sees whom: in brief, who does not. */
export function people(
  { hearing, sight }: Pick<Report, 'hearing' | 'sight'>,
  layout: ReportLayout,
): string[] {
  if (hearing.rows.length + sight.rows.length === 0) return [];
  const demands = [
    ...hearing.limits.filter((row) => !layout.brief || row.verdict !== 'clear').map(demand),
    ...sight.limits.filter(({ verdict }) => !layout.brief || verdict === 'short').map(sightDemand),
  ];
  const hears = layout.brief ? deafIn(hearing.rows) : byPlayer(hearing.rows);
  const said = inOne([...demands, ...hears, ...sightLines(sight.rows, layout)], layout);
  return [
    heading('Hears and sees', layout, 'people'),
    ...said.flatMap((line) => wrap(line, layout.width, '  ', '    ')),
  ];
}

/** That everyone sees everyone needs no line of its own on a brief page. */
function inOne(said: readonly string[], { brief }: ReportLayout): readonly string[] {
  const last = said.at(-2);
  if (!brief || last === undefined || said.at(-1) !== ALL_SEE) return said;
  return [...said.slice(0, -2), `${last.replace(/\.$/, '')}. ${ALL_SEE}`];
}

function demand({ player, whom, verdict, ratio, margin, remark }: HearLimitRow): string {
  const word = verdict === null ? '' : `, ${verdictWords(verdict, margin)}`;
  const how = ratio === null ? '' : ` ${signed(ratio)} dB re all else there${word}`;
  const note = remark === null ? '' : ` (${remark})`;
  return `${player} must hear ${whom}:${how === '' ? ` ${verdict ?? 'not judged'}` : how}${note}`;
}

const sightDemand = ({ players, sees, hiddenBy }: SightRow): string =>
  `${players.join(' and ')} must see each other: ${sees ? 'they do' : `short, hidden by ${hiddenBy.join(', ')}`}`;

/** By air; who wears headphones is told of with the cue list. */
function deafIn(rows: readonly HearsRow[]): string[] {
  const byAir = rows.filter(({ remark }) => !remark?.startsWith('wears '));
  const deaf = byAir.filter(({ hears }) => hears === 'does not hear');
  const worst = [...deaf].sort((a, b) => (a.ratio ?? -1e3) - (b.ratio ?? -1e3));
  const names = [...new Set(worst.map(({ player }) => player))];
  const told = names.slice(0, PEOPLE_SHOWN).map((name) => {
    const whom = worst.filter(({ player }) => player === name).map(withRatio);
    return `${name} does not hear ${shortened(whom)}`;
  });
  const others = names.length - PEOPLE_SHOWN;
  const rest =
    others > 0 ? [`nor ${others === 1 ? 'does' : 'do'} ${counted(others, 'other')} hear everyone`] : [];
  if (names.length > 0) return [[...told, ...rest].join('; ')];
  return byAir.length > 0 ? ['Everyone without closed headphones hears everyone, or strains to.'] : [];
}

const MOST = 2;

const shortened = (names: readonly string[]): string =>
  names.length <= MOST
    ? names.join(', ')
    : `${names.slice(0, MOST).join(', ')} and ${counted(names.length - MOST, 'other')}`;

/** One line a player, by how well; dB re all else at that ear. */
function byPlayer(rows: readonly HearsRow[]): string[] {
  const players = [...new Set(rows.map(({ player }) => player))];
  const lines = players.map((name) => {
    const own = rows.filter(({ player }) => player === name);
    const wears = own.find(({ remark }) => remark?.startsWith('wears '))?.remark;
    if (wears) return `${name} ${wears}: hears nobody by air`;
    const ways = (['hears', 'strains to hear', 'does not hear'] as const).flatMap((how) => {
      const whom = own.filter(({ hears }) => hears === how);
      return whom.length === 0 ? [] : [`${how} ${whom.map(withRatio).join(', ')}`];
    });
    return `${name} ${ways.join('; ')}`;
  });
  return [...lines, ...(lines.length > 0 ? [LEGEND] : [])];
}

const LEGEND =
  'dB against everything else at that ear, own instrument included: heard from -8, hardly from -15.';

const withRatio = ({ whom, ratio }: HearsRow): string =>
  ratio === null ? `${whom} (silent)` : `${whom} (${signed(ratio)})`;

function signed(ratio: number): string {
  const text = figure(ratio, 0);
  return ratio >= 0.5 ? `+${text}` : text;
}

const ALL_SEE = 'Everyone sees everyone.';

function sightLines(rows: readonly SightRow[], layout: ReportLayout): string[] {
  if (rows.length === 0) return [];
  const hidden = rows.filter(({ sees }) => !sees);
  if (hidden.length === 0) return [ALL_SEE];
  const shown = layout.brief ? hidden.slice(0, PEOPLE_SHOWN) : hidden;
  const told = shown.map(({ players, hiddenBy }) => `${players.join(' and ')} (${hiddenBy.join(', ')})`);
  const rest = hidden.length > shown.length ? `; and ${hidden.length - shown.length} more` : '';
  return [`Do not see each other: ${told.join('; ')}${rest}`];
}

/** The cue list, and what leaks out of headphones; in brief, only of those who wear some. */
export function headphones(
  { cues, phones }: Pick<Report, 'cues' | 'phones'>,
  layout: ReportLayout,
): string[] {
  const told = layout.brief ? cues.filter(({ wearing }) => wearing !== 'none') : cues;
  const leaks = phones.filter(({ audible, leak }) => leak !== null && (audible || layout.all));
  const said = [
    ...(layout.brief ? cuesInShort(told) : told.map(cue)),
    ...leaks.map(leakLine),
    ...(layout.brief ? [] : calm(phones)),
  ];
  if (said.length === 0) return [];
  return [
    heading('Headphones', layout, 'headphones'),
    ...said.flatMap((line) => wrap(line, layout.width, '  ', '    ')),
  ];
}

/** Those who wear alike and need all the others are told of together. */
function cuesInShort(cues: readonly CueRow[]): string[] {
  const everyone = new Set(cues.flatMap(({ player, carries }) => [player, ...carries]));
  const needsAll = ({ carries, helps, himself }: CueRow) =>
    carries.length > 1 && carries.length === everyone.size - 1 && helps.length === 0 && himself;
  return cues.flatMap((one) => {
    const alike = needsAll(one)
      ? cues.filter((other) => needsAll(other) && other.wearing === one.wearing)
      : [];
    if (alike.length < 2) return [cue(one)];
    if (alike[0] !== one) return [];
    return [`${alike.map(({ player }) => player).join(', ')}, ${one.wearing}: all the others, the own sound`];
  });
}

function cue({ player, wearing, carries, helps, himself }: CueRow): string {
  const needed = [...carries, ...(himself ? ['the own sound'] : [])];
  const needs = needed.length > 0 ? needed.join(', ') : 'nothing needed';
  const more = helps.length > 0 ? `; some ${helps.join(', ')} helps` : '';
  return `${player}, ${wearing === 'none' ? 'wearing none, would need' : wearing}: ${needs}${more}`;
}

function leakLine({ player, mic, leak, passage, cueLevel, guessed }: HeadphoneLeakRow): string {
  const where = passage === null ? '' : ` in ${passage}`;
  const cueAt = `${figure(cueLevel, 0)} dBA${guessed ? ', a guess' : ''}`;
  return `${player} leaks into ${mic}: ${figureOr(leak, 1, 'none')} dB re its own sound${where}, cue at ${cueAt}`;
}

function calm(phones: readonly HeadphoneLeakRow[]): string[] {
  const isCalm = phones.length > 0 && !phones.some(({ audible }) => audible);
  return isCalm ? ['No leak comes within 40 dB of what a microphone is for.'] : [];
}

const IN_SHORT = 'By NIOSH, without a break; local rules, and a meter at the ear, go before it.';

/** Players named without asking for more. */
const SHOWN = 4;

/** How long everyone's ears may bear it, shortest first; the minutes before the levels. */
export function ears(report: Pick<Report, 'exposure'>, layout: ReportLayout): string[] {
  if (report.exposure.length === 0) return [];
  const title = heading('Ears', layout, 'ears');
  const body = layout.brief ? inBrief(report, layout) : everyone(report.exposure, layout);
  const caution = layout.brief ? IN_SHORT : `By NIOSH, without a break: ${USUAL_CAUTION}`;
  return [title, ...body, ...wrap(caution, layout.width, '  ')];
}

function inBrief(report: Pick<Report, 'exposure'>, { width, paint }: ReportLayout): string[] {
  const loud = tooLoud(report);
  const over = report.exposure.filter(({ verdict }) => verdict === 'short');
  const who = loud
    .slice(0, SHOWN)
    .map(({ player, minutes, level }) => `${player} ${duration(minutes)} (${figure(level, 0)} dBA)`);
  const rest = loud.length > SHOWN ? `, ${counted(loud.length - SHOWN, 'other')} under 8 h` : '';
  const line =
    who.length === 0 ? 'Nobody sits too loud for eight hours of playing.' : `${who.join(', ')}${rest}`;
  const short = over.map(({ player, margin }) => `${player} ${verdictWords('short', margin)}`);
  const session = short.length > 0 ? [`For the session that the plan asks for: ${short.join(', ')}.`] : [];
  return [line, ...session]
    .flatMap((one) => wrap(one, width, '  ', '    '))
    .map(over.length > 0 ? paint.short : same);
}

const same = (line: string): string => line;

function columns(layout: ReportLayout): Column[] {
  return [
    { head: 'player', align: 'left', flexible: true },
    { head: 'NIOSH', align: 'right' },
    { head: 'OSHA', align: 'right' },
    { head: 'dBA', align: 'right' },
    { head: 'session', align: 'left' },
    ...(isWide(layout) ? [{ head: 'loudest', align: 'left', flexible: true } as const] : []),
  ];
}

function everyone(exposure: readonly ExposureRow[], layout: ReportLayout): string[] {
  const order = [...exposure].sort((a, b) => (a.minutes ?? 1e9) - (b.minutes ?? 1e9));
  const [head = '', ...rows] = table(
    columns(layout),
    order.map((row) => cells(row, layout).map(plain)),
    layout.width,
  );
  const remarks = order.flatMap(({ player, remark }) => (remark === null ? [] : [`${player}: ${remark}`]));
  return [
    layout.paint.faint(head),
    ...rows,
    ...remarks.flatMap((line) => wrap(line, layout.width, '  ', '    ')),
    ...wrap(`${OSHA} One ear may get some dB more: heads are left out.`, layout.width, '  '),
  ];
}

const OSHA = 'By OSHA, 90 dBA for 8 hours and half the time for every 5 dB more.';

function cells(row: ExposureRow, layout: ReportLayout): string[] {
  const { player, minutes, minutesOsha, level, verdict, margin, loudest } = row;
  return [
    player,
    minutes === null ? 'silent' : duration(minutes),
    minutesOsha === null ? '' : duration(minutesOsha),
    figureOr(level, 1, ''),
    verdict === null ? '' : verdictWords(verdict, margin),
    ...(isWide(layout) ? [loudestIn(loudest)] : []),
  ];
}

const loudestIn = (loudest: ExposureRow['loudest']): string =>
  loudest === null || loudest.passage === null ? '' : `${loudest.passage}, ${figure(loudest.level, 1)} dBA`;
