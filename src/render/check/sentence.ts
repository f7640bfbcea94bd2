/** A limit in one sentence: whom it is about, what is reached, what is wanted, and the verdict. */
import type { LimitKind, LimitRow } from '../../judge/limits/limit-row.ts';
import { basisWords } from '../readings-words.ts';
import { figure, round, verdictWords } from '../words.ts';

export function sentence(row: LimitRow): string {
  const known = reached(row);
  const verdict = row.verdict === null ? 'not judged' : verdictWords(row.verdict, row.margin);
  const told = [who(row), known, known.endsWith(verdict) ? '' : verdict]
    .filter((part) => part !== '')
    .join(': ');
  return row.basis === null ? told : `${told}; ${basisWords(row.basis)}`;
}

function who({ kind, about }: LimitRow): string {
  if (kind === 'ghost') return `ghost of ${about.join()}`;
  if (kind === 'editable') return `editing ${about.join()} alone`;
  return about.join(kind === 'hear' ? ' to hear ' : ' and ');
}

function reached({ kind, reached: value, limit, remark }: LimitRow): string {
  if (kind === 'see-each-other' || value === null || limit === null) return remark ?? '';
  const figures = FIGURES[kind](value, limit);
  return remark === null ? figures : `${figures} (${remark})`;
}

type Figured = Exclude<LimitKind, 'see-each-other'>;

const FIGURES: Readonly<Record<Figured, (reached: number, limit: number) => string>> = {
  'signal-to-bleed': (reached, limit) =>
    `${figure(reached, 1)} dB signal to bleed, ${round(limit)} dB wanted`,
  'three-to-one': (reached, limit) => `${figure(reached, 1)}:1 apart, ${round(limit)}:1 wanted`,
  ghost: (reached, limit) => `${figure(reached, 1)} dB stays of it, at most ${round(limit)} dB wanted`,
  editable: (reached, limit) => `${figure(reached, 1)} dB signal to bleed, ${round(limit)} dB wanted`,
  hear: (reached, limit) => `${figure(reached, 1)} dB against all else there, ${round(limit)} dB wanted`,
  'session-length': (reached, limit) => `ears bear ${duration(reached)}, ${duration(limit)} wanted`,
};

const DAY = 24 * 60;

function duration(minutes: number): string {
  if (minutes < 1) return 'under a minute';
  if (minutes >= DAY) return 'a whole day';
  return minutes < 90 ? `${figure(minutes, 0)} min` : `${round(minutes / 60)} h`;
}
