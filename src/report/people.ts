/** Hearing and sight lines, headphones and cue, noise exposure. */
import { DAY, type ExposureRow } from '../judge/exposure.ts';
import type { CueNeed, CueRow, HeadphoneLeakRow, HearLimitRow, HearsRow } from '../judge/hearing.ts';
import type { Report } from '../judge/report.ts';
import type { SightRow } from '../judge/sight.ts';
import { groupBy } from '../statistics.ts';
import { duration, figure } from '../text.ts';
import type { Scope } from './answer.ts';
import {
  type Block,
  given,
  names,
  numbers,
  prose,
  type Table,
  table,
  WIDE,
  type Words,
  words,
} from './view.ts';
import {
  counted,
  exposureWords,
  figureOr,
  inPassage,
  NIOSH_RULE,
  overDose,
  signed,
  unknownDose,
  verdictCell,
  verdictWords,
} from './words.ts';

/** So many lines of a kind on a brief page. */
const PEOPLE_SHOWN = 2;

/** Who hears and sees whom: in brief, who cannot. */
export function hearing({ hearing: heard, sight }: Pick<Report, 'hearing' | 'sight'>, scope: Scope): Block[] {
  if (heard.rows.length + sight.rows.length === 0) return [];
  const isBrief = scope.detail === 'brief';
  const demands = [
    ...heard.limits.filter((row) => !isBrief || row.verdict !== 'clear').map(demand),
    ...sight.limits.filter(({ verdict }) => !isBrief || verdict === 'short').map(sightDemand),
  ];
  const sees = sightLines(sight.rows, isBrief);
  return isBrief
    ? prose('statements', inOne([...demands, ...deafIn(heard.rows), ...sees]))
    : [...prose('statements', demands), ...heardBlocks(heard.rows, scope), ...prose('statements', sees)];
}

/** That everyone can see everyone needs no line of its own on a brief page. */
function inOne(said: readonly string[]): readonly string[] {
  const last = said.at(-2);
  if (last === undefined || said.at(-1) !== ALL_SEE) return said;
  return [...said.slice(0, -2), `${last.replace(/\.$/, '')}. ${ALL_SEE}`];
}

function demand({ player, whom, passage, verdict, ratio, margin, remark }: HearLimitRow): string {
  const word = verdict === null ? '' : `, ${verdictWords(verdict, margin)}`;
  const how = ratio === null ? '' : ` ${signed(ratio, 0)} dB re everything else${word}`;
  const note = remark === null ? '' : ` (${remark})`;
  return `${player} must hear ${whom}${inPassage(passage)}:${how === '' ? ` ${verdict ?? 'not judged'}` : how}${note}`;
}

const sightDemand = ({ players, sees, hiddenBy }: SightRow): string =>
  `${players.join(' and ')} must see each other: ${sees ? 'they can' : `blocked by ${hiddenBy.join(', ')}`}`;

/** Who wears closed headphones hears nobody by air. */
const isShut = ({ remark }: HearsRow): boolean => remark?.startsWith('wears ') === true;

/** By air; those who wear closed headphones are in the cue list. */
function deafIn(rows: readonly HearsRow[]): string[] {
  const byAir = rows.filter((row) => !isShut(row));
  const deaf = byAir.filter(({ hears }) => hears === 'cannot hear');
  const worst = [...deaf].sort((a, b) => (a.ratio ?? -1e3) - (b.ratio ?? -1e3));
  const players = [...new Set(worst.map(({ player }) => player))];
  const told = players.slice(0, PEOPLE_SHOWN).map((name) => {
    const whom = worst.filter(({ player }) => player === name).map(withRatio);
    return `${name} cannot hear ${shortened(whom)}`;
  });
  const all = new Set(byAir.map(({ player }) => player)).size;
  if (players.length > PEOPLE_SHOWN)
    return [`${players.length} of ${all} players cannot hear someone; worst: ${told[0]}.`];
  if (players.length > 0) return [`${told.join('; ')}.`];
  return byAir.length > 0 ? ['Everyone without closed headphones hears everyone, or barely does.'] : [];
}

const MOST_NAMED = 2;

const shortened = (whom: readonly string[]): string =>
  whom.length <= MOST_NAMED
    ? whom.join(', ')
    : `${whom.slice(0, MOST_NAMED).join(', ')} and ${counted(whom.length - MOST_NAMED, 'other')}`;

/** dB re everything else at that ear: one line a player, or all of them in a table. */
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
  const heard = (['hears', 'barely hears', 'cannot hear'] as const).flatMap((how) => {
    const whom = rows.filter(({ hears }) => hears === how);
    return whom.length === 0 ? [] : [`${how} ${whom.map(withRatio).join(', ')}`];
  });
  return `${name} ${heard.join('; ')}`;
}

const HEARING_LEGEND =
  'dB re everything else at that ear, own instrument included: above -8 heard, -8 to -15 barely.';

/** Listeners down, players across: the word and the value. */
function hearingTable(rows: readonly HearsRow[]): Table[] {
  const listeners = [...new Set(rows.map(({ player }) => player))];
  const whom = [...new Set(rows.map((row) => row.whom))];
  return table('Hearing by air', listeners, [
    names('', (name: string) => name, { label: 'player' }),
    ...whom.map((one) =>
      words(one, (name: string) => heardCell(rows.find((row) => row.player === name && row.whom === one))),
    ),
  ]);
}

const HEARD = {
  hears: ['clear', 'hears'],
  'barely hears': ['marginal', 'barely'],
  'cannot hear': ['short', "can't"],
} as const;

function heardCell(row: HearsRow | undefined): Words {
  if (!row) return '';
  const [is, word] = HEARD[row.hears];
  return { is, text: `${word} ${row.ratio === null ? 'silent' : figure(row.ratio, 0)}` };
}

const withRatio = ({ whom, ratio, passage }: HearsRow): string =>
  `${whom} (${ratio === null ? 'silent' : signed(ratio, 0)}${inPassage(passage)})`;

const ALL_SEE = 'Everyone can see everyone.';

function sightLines(rows: readonly SightRow[], isBrief: boolean): string[] {
  if (rows.length === 0) return [];
  const hidden = rows.filter(({ sees }) => !sees);
  if (hidden.length === 0) return [ALL_SEE];
  const shown = isBrief ? hidden.slice(0, PEOPLE_SHOWN) : hidden;
  const told = shown.map(({ players, hiddenBy }) => `${players.join(' and ')} (${hiddenBy.join(', ')})`);
  const rest = hidden.length > shown.length ? `; ${hidden.length - shown.length} more` : '';
  return [`No sight line: ${told.join('; ')}${rest}`];
}

/** The cue list and headphone leakage; in brief, only of those who wear headphones. */
export function headphones({ cues, phones }: Pick<Report, 'cues' | 'phones'>, { detail }: Scope): Block[] {
  const isBrief = detail === 'brief';
  const leaks = phones.filter(({ audible, leak }) => leak !== null && (audible || detail === 'all'));
  const isCalm = !isBrief && phones.length > 0 && !phones.some(({ audible }) => audible);
  return prose('statements', [
    ...(isBrief
      ? cuesInShort(cues.filter(({ wearing, own }) => wearing !== 'none' || own === 'elsewhere'))
      : cues.map(cue)),
    ...leaks.map(leakLine),
    isCalm && 'All headphone leakage is at least 40 dB below the signal.',
  ]);
}

/** Those with the same headphones who need everyone else share a line. */
function cuesInShort(cues: readonly CueRow[]): string[] {
  const everyone = new Set(
    cues.flatMap(({ player, mustHave }) => [player, ...mustHave.map(({ whom }) => whom)]),
  );
  const needsAll = ({ mustHave, niceToHave, own, hearsByAir }: CueRow) =>
    !hearsByAir &&
    mustHave.length > 1 &&
    mustHave.length === everyone.size - 1 &&
    niceToHave.length === 0 &&
    own !== null;
  return cues.flatMap((one) => {
    const alike = needsAll(one)
      ? cues.filter((other) => needsAll(other) && other.wearing === one.wearing)
      : [];
    if (alike.length < 2) return [cue(one)];
    if (alike[0] !== one) return [];
    return [
      `${alike.map(({ player }) => player).join(', ')} (${wearingWords(one)}): must have everyone else and own part`,
    ];
  });
}

function cue(row: CueRow): string {
  const { player, wearing, hearsByAir, mustHave, niceToHave, own } = row;
  const whom = (needs: CueRow['mustHave']) => needs.map((need) => (hearsByAir ? needWords(need) : need.whom));
  const needed = [...whom(mustHave), ...(own === null ? [] : [OWN_PART[own]])];
  const must = wearing === 'none' ? 'must hear' : 'must have';
  const needs = needed.length > 0 ? `${must} ${needed.join(', ')}` : 'needs nothing';
  const more = niceToHave.length > 0 ? `; nice to have: ${whom(niceToHave).join(', ')}` : '';
  return `${player} (${wearingWords(row)}): ${needs}${more}`;
}

const OWN_PART = { 'shut out': 'own part', elsewhere: 'own part (not in the room)' } as const;

/** "guitar (18 dB under in verse)": re everything else at that ear. */
const needWords = ({ whom, ratio, passage }: CueNeed): string =>
  `${whom} (${ratio === null ? 'silent' : `${figure(-ratio, 0)} dB under`}${inPassage(passage)})`;

const wearingWords = ({ wearing, hearsByAir }: Pick<CueRow, 'wearing' | 'hearsByAir'>): string =>
  wearing === 'none' ? 'no headphones' : `${wearing} headphones${hearsByAir ? '' : ', hears nobody by air'}`;

function leakLine({ player, mic, leak, passage, cueLevel, guessed }: HeadphoneLeakRow): string {
  const cueAt = `${figure(cueLevel, 0)} dBA${guessed ? ', assumed' : ''}`;
  return `${player} leaks into ${mic}: ${figureOr(leak, 1, 'none')} dB re signal${inPassage(passage)} (cue at ${cueAt})`;
}

/** Players named on a brief page. */
const LOUD_SHOWN = 4;

/** The NIOSH limit per day of everyone, shortest first. */
export function exposure(report: Pick<Report, 'exposure'>, { detail }: Scope): Block[] {
  if (report.exposure.length === 0) return [];
  if (detail !== 'brief') return everyone(report.exposure);
  return [
    ...prose('statements', exposureInShort(report)),
    ...prose('notes', ['No breaks assumed. An estimate: measure, and follow local rules.']),
  ];
}

function exposureInShort(report: Pick<Report, 'exposure'>): Words[] {
  const loud = overDose(report);
  const unknown = unknownDose(report);
  const over = report.exposure.filter(({ verdict }) => verdict === 'short');
  const who = loud.slice(0, LOUD_SHOWN);
  const rest = loud.length > LOUD_SHOWN ? `, ${loud.length - LOUD_SHOWN} more below 8 h` : '';
  const nobody = `Nobody ${unknown === null ? '' : 'else '}exceeds the daily dose in 8 h.`;
  const told = given([who.length === 0 ? nobody : `NIOSH limit per day: ${who.join(', ')}${rest}`, unknown]);
  if (over.length === 0) return told;
  const short = over.map(({ player, margin }) => `${player} (${verdictWords('short', margin)})`);
  return [...told, `Session too long for ${short.join(', ')}.`].map((text) => ({
    text,
    is: 'short',
  }));
}

function everyone(rows: readonly ExposureRow[]): Block[] {
  // what is unknown may be over the dose: it comes before all that is known not to be
  const rank = ({ minutes, isLeast }: ExposureRow) => minutes ?? (isLeast ? DAY : Number.MAX_VALUE);
  const order = [...rows].sort((a, b) => rank(a) - rank(b));
  const remarks = [...groupBy(order, ({ remark }) => remark)].flatMap(([remark, whom]) =>
    remark === null ? [] : [`${whom.map(({ player }) => player).join(', ')}: ${remark}`],
  );
  return [
    ...table('NIOSH and OSHA limits per day', order, [
      names('player', ({ player }) => player),
      numbers('NIOSH', exposureWords, { label: 'NIOSH limit per day' }),
      numbers('OSHA', ({ minutesOsha }) => (minutesOsha === null ? '' : duration(minutesOsha)), {
        label: 'OSHA limit per day',
      }),
      numbers('dBA', ({ level, isLeast }) => (isLeast ? 'from ' : '') + figureOr(level, 1, '')),
      words('session', (row) => verdictCell(row), { label: 'session length' }),
      names('loudest in', ({ loudest }) => loudestIn(loudest), { from: WIDE }),
    ]),
    ...prose('statements', remarks),
    ...prose('notes', [
      NIOSH_RULE,
      'OSHA: 90 dBA for 8 h, 5 dB exchange rate. Head shadow is not modelled; one ear may get a few dB more.',
    ]),
  ];
}

const loudestIn = (loudest: ExposureRow['loudest']): string =>
  loudest === null || loudest.passage === null ? '' : `${loudest.passage}, ${figure(loudest.level, 1)} dBA`;
