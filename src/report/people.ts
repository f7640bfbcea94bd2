/** Who hears and sees whom, what headphones must carry, and what ears may bear. */
import type { ExposureRow } from '../judge/exposure.ts';
import type { CueRow, HeadphoneLeakRow, HearLimitRow, HearsRow } from '../judge/hearing.ts';
import type { Report } from '../judge/report.ts';
import type { SightRow } from '../judge/sight.ts';
import { figure } from '../text.ts';
import type { Scope } from './answer.ts';
import { type Block, names, numbers, prose, type Table, table, WIDE, type Words, words } from './view.ts';
import {
  counted,
  duration,
  figureOr,
  signed,
  tooLoud,
  USUAL_CAUTION,
  verdictCell,
  verdictWords,
} from './words.ts';

/** So many lines of a kind on a brief page. */
const PEOPLE_SHOWN = 2;

/** Who hears and sees whom: in brief, who does not. */
export function people({ hearing, sight }: Pick<Report, 'hearing' | 'sight'>, scope: Scope): Block[] {
  if (hearing.rows.length + sight.rows.length === 0) return [];
  const isBrief = scope.detail === 'brief';
  const demands = [
    ...hearing.limits.filter((row) => !isBrief || row.verdict !== 'clear').map(demand),
    ...sight.limits.filter(({ verdict }) => !isBrief || verdict === 'short').map(sightDemand),
  ];
  const sees = sightLines(sight.rows, isBrief);
  return isBrief
    ? prose('statements', inOne([...demands, ...deafIn(hearing.rows), ...sees]))
    : [...prose('statements', demands), ...heardBlocks(hearing.rows, scope), ...prose('statements', sees)];
}

/** That everyone sees everyone needs no line of its own on a brief page. */
function inOne(said: readonly string[]): readonly string[] {
  const last = said.at(-2);
  if (last === undefined || said.at(-1) !== ALL_SEE) return said;
  return [...said.slice(0, -2), `${last.replace(/\.$/, '')}. ${ALL_SEE}`];
}

function demand({ player, whom, verdict, ratio, margin, remark }: HearLimitRow): string {
  const word = verdict === null ? '' : `, ${verdictWords(verdict, margin)}`;
  const how = ratio === null ? '' : ` ${signed(ratio, 0)} dB re all else there${word}`;
  const note = remark === null ? '' : ` (${remark})`;
  return `${player} must hear ${whom}:${how === '' ? ` ${verdict ?? 'not judged'}` : how}${note}`;
}

const sightDemand = ({ players, sees, hiddenBy }: SightRow): string =>
  `${players.join(' and ')} must see each other: ${sees ? 'they do' : `short, hidden by ${hiddenBy.join(', ')}`}`;

/** Who wears closed headphones hears nobody by air. */
const isShut = ({ remark }: HearsRow): boolean => remark?.startsWith('wears ') === true;

/** By air; who wears headphones is shown with the cue list. */
function deafIn(rows: readonly HearsRow[]): string[] {
  const byAir = rows.filter((row) => !isShut(row));
  const deaf = byAir.filter(({ hears }) => hears === 'does not hear');
  const worst = [...deaf].sort((a, b) => (a.ratio ?? -1e3) - (b.ratio ?? -1e3));
  const players = [...new Set(worst.map(({ player }) => player))];
  const told = players.slice(0, PEOPLE_SHOWN).map((name) => {
    const whom = worst.filter(({ player }) => player === name).map(withRatio);
    return `${name} does not hear ${shortened(whom)}`;
  });
  const others = players.length - PEOPLE_SHOWN;
  const rest =
    others > 0 ? [`nor ${others === 1 ? 'does' : 'do'} ${counted(others, 'other')} hear everyone`] : [];
  if (players.length > 0) return [[...told, ...rest].join('; ')];
  return byAir.length > 0 ? ['Everyone without closed headphones hears everyone, or strains to.'] : [];
}

const MOST_NAMED = 2;

const shortened = (whom: readonly string[]): string =>
  whom.length <= MOST_NAMED
    ? whom.join(', ')
    : `${whom.slice(0, MOST_NAMED).join(', ')} and ${counted(whom.length - MOST_NAMED, 'other')}`;

/** By how well, dB re all else at that ear: one line a player, or all of them in a table. */
function heardBlocks(rows: readonly HearsRow[], { detail }: Scope): Block[] {
  const byAir = detail === 'page' ? hearingTable(rows.filter((row) => !isShut(row))) : [];
  const players = [...new Set(rows.map(({ player }) => player))];
  const lines = players.flatMap((name) => {
    const own = rows.filter(({ player }) => player === name);
    const shut = own.find(isShut);
    if (shut) return [`${name} ${shut.remark}: hears nobody by air`];
    return detail === 'page' ? [] : [heardBy(name, own)];
  });
  if (rows.length === 0) return [];
  return [
    ...byAir,
    ...prose(detail === 'page' ? 'list' : 'statements', lines),
    ...prose('statements', [HEARING_LEGEND]),
  ];
}

function heardBy(name: string, rows: readonly HearsRow[]): string {
  const ways = (['hears', 'strains to hear', 'does not hear'] as const).flatMap((how) => {
    const whom = rows.filter(({ hears }) => hears === how);
    return whom.length === 0 ? [] : [`${how} ${whom.map(withRatio).join(', ')}`];
  });
  return `${name} ${ways.join('; ')}`;
}

const HEARING_LEGEND =
  'dB against everything else at that ear, own instrument included: heard from -8, hardly from -15.';

/** Listeners down, players across: the word and the value. */
function hearingTable(rows: readonly HearsRow[]): Table[] {
  const listeners = [...new Set(rows.map(({ player }) => player))];
  const whom = [...new Set(rows.map((row) => row.whom))];
  return table('Who hears whom by air', listeners, [
    names('', (name: string) => name, { label: 'who' }),
    ...whom.map((one) =>
      words(one, (name: string) => heard(rows.find((row) => row.player === name && row.whom === one))),
    ),
  ]);
}

const HEARD = {
  hears: ['clear', 'hears'],
  'strains to hear': ['marginal', 'strains'],
  'does not hear': ['short', 'does not'],
} as const;

function heard(row: HearsRow | undefined): Words {
  if (!row) return '';
  const [is, word] = HEARD[row.hears];
  return { is, text: `${word} ${row.ratio === null ? 'silent' : figure(row.ratio, 0)}` };
}

const withRatio = ({ whom, ratio }: HearsRow): string =>
  ratio === null ? `${whom} (silent)` : `${whom} (${signed(ratio, 0)})`;

const ALL_SEE = 'Everyone sees everyone.';

function sightLines(rows: readonly SightRow[], isBrief: boolean): string[] {
  if (rows.length === 0) return [];
  const hidden = rows.filter(({ sees }) => !sees);
  if (hidden.length === 0) return [ALL_SEE];
  const shown = isBrief ? hidden.slice(0, PEOPLE_SHOWN) : hidden;
  const told = shown.map(({ players, hiddenBy }) => `${players.join(' and ')} (${hiddenBy.join(', ')})`);
  const rest = hidden.length > shown.length ? `; and ${hidden.length - shown.length} more` : '';
  return [`Do not see each other: ${told.join('; ')}${rest}`];
}

/** The cue list, and what leaks out of headphones; in brief, only of those who wear some. */
export function headphones({ cues, phones }: Pick<Report, 'cues' | 'phones'>, { detail }: Scope): Block[] {
  const isBrief = detail === 'brief';
  const leaks = phones.filter(({ audible, leak }) => leak !== null && (audible || detail === 'all'));
  const isCalm = !isBrief && phones.length > 0 && !phones.some(({ audible }) => audible);
  return prose('statements', [
    ...(isBrief ? cuesInShort(cues.filter(({ wearing }) => wearing !== 'none')) : cues.map(cue)),
    ...leaks.map(leakLine),
    isCalm && 'No leak comes within 40 dB of what a microphone is for.',
  ]);
}

/** Those who wear alike and need all the others are shown together. */
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

/** Players named on a brief page. */
const LOUD_SHOWN = 4;

/** How long everyone's ears may bear it, shortest first; the minutes before the levels. */
export function ears(report: Pick<Report, 'exposure'>, { detail }: Scope): Block[] {
  if (report.exposure.length === 0) return [];
  if (detail !== 'brief') return everyEar(report.exposure);
  return [
    ...prose('statements', earsInShort(report)),
    ...prose('notes', ['By NIOSH, without a break; local rules, and a meter at the ear, go before it.']),
  ];
}

function earsInShort(report: Pick<Report, 'exposure'>): Words[] {
  const loud = tooLoud(report);
  const over = report.exposure.filter(({ verdict }) => verdict === 'short');
  const who = loud
    .slice(0, LOUD_SHOWN)
    .map(({ player, minutes, level }) => `${player} ${duration(minutes)} (${figure(level, 0)} dBA)`);
  const rest = loud.length > LOUD_SHOWN ? `, ${counted(loud.length - LOUD_SHOWN, 'other')} under 8 h` : '';
  const line =
    who.length === 0 ? 'Nobody sits too loud for eight hours of playing.' : `${who.join(', ')}${rest}`;
  if (over.length === 0) return [line];
  const short = over.map(({ player, margin }) => `${player} ${verdictWords('short', margin)}`);
  return [line, `For the session that the plan asks for: ${short.join(', ')}.`].map((text) => ({
    text,
    is: 'short',
  }));
}

function everyEar(exposure: readonly ExposureRow[]): Block[] {
  const order = [...exposure].sort((a, b) => (a.minutes ?? 1e9) - (b.minutes ?? 1e9));
  const remarks = order.flatMap(({ player, remark }) => (remark === null ? [] : [`${player}: ${remark}`]));
  return [
    ...table('How long ears may bear it, without a break', order, [
      names('player', ({ player }) => player),
      numbers('NIOSH', ({ minutes }) => (minutes === null ? 'silent' : duration(minutes)), {
        label: 'a day by NIOSH',
      }),
      numbers('OSHA', ({ minutesOsha }) => (minutesOsha === null ? '' : duration(minutesOsha)), {
        label: 'by OSHA',
      }),
      numbers('dBA', ({ level }) => figureOr(level, 1, '')),
      words('session', (row) => verdictCell(row), { label: 'for the session' }),
      names('loudest', ({ loudest }) => loudestIn(loudest), { from: WIDE }),
    ]),
    ...prose('statements', remarks),
    ...prose('notes', [
      'By OSHA, 90 dBA for 8 hours and half the time for every 5 dB more. One ear may get some dB more: heads are left out.',
      `By NIOSH, without a break: ${USUAL_CAUTION}`,
    ]),
  ];
}

const loudestIn = (loudest: ExposureRow['loudest']): string =>
  loudest === null || loudest.passage === null ? '' : `${loudest.passage}, ${figure(loudest.level, 1)} dBA`;
