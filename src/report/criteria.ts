/** Words of every kind of limit: in sentences, comparisons, fixes, tables, and as a rule for build servers. */
import { type ComparedKind, CRITERIA, type Criterion, type CriterionKind } from '../judge/criteria.ts';
import type { Reached, Regression } from '../suggest/compare.ts';
import { duration, figure } from '../text.ts';
import { basisWords, round, signed, verdictWords } from './words.ts';

type About = (about: readonly string[]) => string;

type CriterionWords = {
  /** Whom a limit is about, in the sentence of `check`. */
  readonly subject: About;
  /** The same where plans are compared, and where a fix has improved it. */
  readonly compared: About;
  readonly improved: About;
  /** Value and limit, in the unit of the criterion. */
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

/** "choir over strings at main". */
export const balanceName: About = ([of, over, mic]) => `${of} over ${over} at ${mic}`;

const WORDS: Readonly<Record<CriterionKind, CriterionWords>> = {
  'signal-to-bleed': {
    subject: name,
    compared: (about) => `${name(about)} S/B`,
    improved: ([mic]) => `${mic} S/B`,
    reached: (reached, limit) => `S/B ${figure(reached, 1)} dB, limit ${round(limit)}`,
    rule: 'Every mic picks up its signal louder than the bleed, by its limit.',
    short: 'S/B',
    table: ['Signal to bleed, dB', 'mic'],
  },
  'three-to-one': {
    subject: both,
    compared: (about) => `3:1 of ${both(about)}`,
    improved: (about) => `3:1 of ${both(about)}`,
    reached: (reached, limit) => `${figure(reached, 1)}:1, limit ${round(limit)}:1`,
    rule: 'Mics for different sources obey the 3:1 rule, or the ratio set in limits.',
    short: '3:1',
    table: null,
  },
  ghost: {
    subject: (about) => `ghost of ${name(about)}`,
    compared: (about) => `ghost of ${name(about)}`,
    improved: ([part]) => `ghost of ${part}`,
    reached: (reached, limit) => `${figure(reached, 1)} dB, limit ${round(limit)}`,
    rule: 'The ghost of a part, heard in other mics with its own muted, is quiet enough.',
    short: 'ghost',
    table: ['Ghosts, dB', 'part'],
  },
  isolation: {
    subject: (about) => `isolation of ${name(about)}`,
    compared: (about) => `isolation of ${name(about)}`,
    improved: ([part]) => `${part} isolation`,
    reached: (reached, limit) => `S/B ${figure(reached, 1)} dB, limit ${round(limit)}`,
    rule: 'Every mic for a part isolates it enough for it to be edited alone.',
    short: 'isolation',
    table: ['Isolation, dB', 'part'],
  },
  balance: {
    subject: (about) => `balance of ${balanceName(about)}`,
    compared: (about) => `balance of ${balanceName(about)}`,
    improved: balanceName,
    reached: (reached, limit) => `${signed(reached, 1)} dB, limit ${signed(limit, 1)}`,
    rule: 'One group is loud enough over another at the main mics.',
    short: 'balance',
    table: ['Balance, dB', 'balance'],
  },
  'direct-to-reverberant': {
    subject: (about) => `direct-to-reverberant ratio at ${name(about)}`,
    compared: (about) => `direct-to-reverberant ratio at ${name(about)}`,
    improved: ([mic]) => `${mic} direct-to-reverberant`,
    reached: (reached, limit) => `${signed(reached, 1)} dB, limit ${signed(limit, 1)}`,
    rule: 'The main mics pick up enough direct sound over reverberation.',
    short: 'direct/reverb',
    table: ['Direct-to-reverberant ratio, dB', 'mic'],
  },
  'see-each-other': {
    subject: both,
    compared: both,
    improved: both,
    reached: () => '',
    rule: 'Players who must see each other have a sight line.',
    short: 'sees',
    table: ['Sight lines', 'players'],
  },
  hear: {
    subject: (about) => about.join(' to hear '),
    compared: hearing,
    improved: hearing,
    reached: (reached, limit) =>
      `${figure(reached, 1)} dB re everything else at that ear, limit ${round(limit)}`,
    rule: 'Players who must hear somebody do, without headphones.',
    short: 'hears',
    table: ['Hearing, dB re everything else at that ear', 'player'],
  },
  'session-length': {
    subject: both,
    compared: (about) => `noise exposure of ${name(about)}`,
    improved: ([player]) => `noise exposure of ${player}`,
    reached: (reached, limit) => `NIOSH limit ${duration(reached)}, session ${duration(limit)}`,
    rule: 'No player exceeds the daily noise dose in the session.',
    short: 'exposure',
    table: ['NIOSH limit', 'player'],
  },
};

export const criterionWords = (kind: CriterionKind): CriterionWords => WORDS[kind];

export const LIMIT_RULES: Readonly<Record<string, string>> = Object.fromEntries(
  Object.entries(WORDS).map(([kind, { rule }]) => [kind, rule]),
);

/** A limit in one sentence: whom it is about, value, limit and verdict. */
export function limitSentence(row: Criterion): string {
  const known = reached(row);
  const verdict = row.verdict === null ? 'not judged' : verdictWords(row.verdict, row.margin);
  const judged = [known, known.endsWith(verdict) ? '' : verdict].filter((part) => part !== '').join(', ');
  const sentence = [WORDS[row.kind].subject(row.about), judged].filter((part) => part !== '').join(': ');
  return row.basis === null ? sentence : `${sentence}; ${basisWords(row.basis)}`;
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
  const number = value === null ? '' : valueWords(kind, value);
  const plain = value === null ? (words ?? '').split(':')[0] : '';
  const word = kind === 'hears' ? (HEARD.get(words ?? '') ?? '') : (verdict ?? plain);
  return [number, word].filter((part) => part !== '').join(' ');
}

const valueWords = (kind: ComparedKind, value: number): string =>
  kind === 'session' ? duration(value) : figure(value, 1);

const HEARD = new Map([
  ['hears', 'hears'],
  ['barely hears', 'barely'],
  ['cannot hear', "can't"],
]);

/** "voice-mic S/B 12.3 → 8.1 dB (now short)"; in words where a value is not in dB. */
export function regressionWords({ kind, about, before, after }: Regression): string {
  const criteria = CRITERIA.filter(({ comparedAs }) => comparedAs === kind);
  const subject = criteria.map((criterion) => WORDS[criterion.kind].compared(about)).join();
  const from = before.figure === null ? '' : valueWords(kind, before.figure);
  if (from === '' || after === null || after.figure === null)
    return `${subject}: ${reachedWords(kind, before)} → ${after === null ? 'absent' : reachedWords(kind, after)}`;
  const [was, is] = [before, after].map(({ verdict, words }) => verdict ?? words ?? '');
  const verdict = is === '' ? '' : ` (${is === was ? 'still' : 'now'} ${is})`;
  const to = `${valueWords(kind, after.figure)}${kind === 'session' ? '' : ' dB'}`;
  return `${subject} ${from} → ${to}${verdict}`;
}
