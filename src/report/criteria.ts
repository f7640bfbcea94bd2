/** Words of every kind of limit: in a sentence, in a comparison, in a suggestion, in tables and as a rule for build servers. */
import { type ComparedKind, CRITERIA, type Criterion, type CriterionKind } from '../judge/criteria.ts';
import type { ComparedRow, Reached, Regression } from '../suggest/compare.ts';
import { figure } from '../text.ts';
import { basisWords, round, verdictWords } from './words.ts';

type About = (about: readonly string[]) => string;

type CriterionWords = {
  /** Whom a limit is about, in the sentence of `check`. */
  readonly subject: About;
  /** The same where plans are compared, and where a move has improved it. */
  readonly compared: About;
  readonly improved: About;
  /** What is reached and what is wanted, in the unit of the criterion. */
  readonly reached: (reached: number, limit: number) => string;
  /** What is judged, as a rule that a machine can list. */
  readonly rule: string;
  /** In a table of tolerances. */
  readonly short: string;
  /** Head and first column where plans are compared; null where no table is shown. */
  readonly table: readonly [head: string, about: string] | null;
};

const name: About = (about) => about.join();
const both: About = (about) => about.join(' and ');
const hearing: About = (about) => about.join(' hearing ');

const WORDS: Readonly<Record<CriterionKind, CriterionWords>> = {
  'signal-to-bleed': {
    subject: name,
    compared: (about) => `S/B of ${name(about)}`,
    improved: ([mic]) => `S/B of ${mic}`,
    reached: (reached, limit) => `${figure(reached, 1)} dB signal to bleed, ${round(limit)} dB wanted`,
    rule: 'Every microphone hears its own source louder than the bleed, by its limit.',
    short: 'S/B',
    table: ['Signal to bleed, dB', 'microphone'],
  },
  'three-to-one': {
    subject: both,
    compared: (about) => `3:1 rule of ${both(about)}`,
    improved: (about) => `3:1 rule of ${both(about)}`,
    reached: (reached, limit) => `${figure(reached, 1)}:1 apart, ${round(limit)}:1 wanted`,
    rule: 'Microphones for different sources are several times as far apart as from their sources.',
    short: '3:1',
    table: null,
  },
  ghost: {
    subject: (about) => `ghost of ${name(about)}`,
    compared: (about) => `ghost of ${name(about)}`,
    improved: ([part]) => `ghost of ${part}`,
    reached: (reached, limit) => `${figure(reached, 1)} dB stays of it, at most ${round(limit)} dB wanted`,
    rule: 'Little enough stays of a part once its own microphones are muted.',
    short: 'ghost',
    table: ['What stays of a part when its own microphones are muted, dB', 'part'],
  },
  isolation: {
    subject: (about) => `editing ${name(about)} alone`,
    compared: (about) => `editing ${name(about)} alone`,
    improved: ([part]) => `${part} alone`,
    reached: (reached, limit) => `${figure(reached, 1)} dB signal to bleed, ${round(limit)} dB wanted`,
    rule: 'Every microphone for a part hears it alone enough for it to be edited alone.',
    short: 'alone',
    table: ['Parts edited alone, dB', 'part'],
  },
  'see-each-other': {
    subject: both,
    compared: both,
    improved: both,
    reached: () => '',
    rule: 'Those who must see each other do.',
    short: 'sees',
    table: ['Who sees whom', 'players'],
  },
  hear: {
    subject: (about) => about.join(' to hear '),
    compared: hearing,
    improved: hearing,
    reached: (reached, limit) => `${figure(reached, 1)} dB against all else there, ${round(limit)} dB wanted`,
    rule: 'Those who must hear somebody do, by air.',
    short: 'hears',
    table: ['Who hears whom, dB against everything else there', 'player'],
  },
  'session-length': {
    subject: both,
    compared: (about) => `ears of ${name(about)}`,
    improved: ([player]) => `session of ${player}`,
    reached: (reached, limit) => `ears bear ${duration(reached)}, ${duration(limit)} wanted`,
    rule: 'The session is no longer than ears should bear it.',
    short: 'ears',
    table: ['Minutes that ears bear', 'player'],
  },
};

export const criterionWords = (kind: CriterionKind): CriterionWords => WORDS[kind];

export const LIMIT_RULES: Readonly<Record<string, string>> = Object.fromEntries(
  Object.entries(WORDS).map(([kind, { rule }]) => [kind, rule]),
);

function duration(minutes: number): string {
  if (minutes < 1) return 'under a minute';
  if (minutes >= 24 * 60) return 'a whole day';
  return minutes < 90 ? `${figure(minutes, 0)} min` : `${round(minutes / 60)} h`;
}

/** A limit in one sentence: whom it is about, what is reached, what is wanted, and the verdict. */
export function limitSentence(row: Criterion): string {
  const known = reached(row);
  const verdict = row.verdict === null ? 'not judged' : verdictWords(row.verdict, row.margin);
  const told = [WORDS[row.kind].subject(row.about), known, known.endsWith(verdict) ? '' : verdict]
    .filter((part) => part !== '')
    .join(': ');
  return row.basis === null ? told : `${told}; ${basisWords(row.basis)}`;
}

function reached({ kind, reached: value, limit, remark }: Criterion): string {
  if (value === null || limit === null) return remark ?? '';
  const figures = WORDS[kind].reached(value, limit);
  return remark === null ? figures : `${figures} (${remark})`;
}

/** "12.3 clear"; words where there is no value. */
export function reachedWords(kind: ComparedKind, one: Reached | null): string {
  if (one === null) return '–';
  const { figure: value, verdict, words } = one;
  if (kind === 'sees') return words ?? '';
  const number = value === null ? '' : figure(value, kind === 'session' ? 0 : 1);
  const plain = value === null ? (words ?? '').split(':')[0] : '';
  const word = kind === 'hears' ? (HEARD.get(words ?? '') ?? '') : (verdict ?? plain);
  return [number, word].filter((part) => part !== '').join(' ');
}

const HEARD = new Map([
  ['hears', 'hears'],
  ['barely hears', 'barely'],
  ['cannot hear', "can't"],
]);

const comparedSubject = ({ kind, about }: Pick<ComparedRow, 'kind' | 'about'>): string =>
  CRITERIA.filter(({ comparedAs }) => comparedAs === kind)
    .map((criterion) => WORDS[criterion.kind].compared(about))
    .join();

/** "S/B of voice-mic: 12.3 clear, now 8.1 marginal". */
export function regressionWords({ kind, about, before, after }: Regression): string {
  const now = after === null ? 'gone' : reachedWords(kind, after);
  return `${comparedSubject({ kind, about })}: ${reachedWords(kind, before)}, now ${now}`;
}
