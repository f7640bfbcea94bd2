/** A limit in one sentence: whom it is about, what is reached, what is wanted, and the verdict. */
import type { LimitKind, LimitRow } from '../../judge/limits.ts';
import { figure, round, verdictWords } from '../words.ts';

export function sentence(row: LimitRow): string {
  const verdict = row.verdict === null ? 'not judged' : verdictWords(row.verdict, row.margin);
  const parts = [row.about.join(' and '), reached(row), verdict];
  return parts.filter((part) => part !== '').join(': ');
}

function reached(row: LimitRow): string {
  if (row.reached === null || row.limit === null) return row.remark ?? '';
  const figures = FIGURES[row.kind](row.reached, row.limit);
  return row.remark === null ? figures : `${figures} (${row.remark})`;
}

const FIGURES: Readonly<Record<LimitKind, (reached: number, limit: number) => string>> = {
  'signal-to-bleed': (reached, limit) =>
    `${figure(reached, 1)} dB signal to bleed, ${round(limit)} dB wanted`,
  'three-to-one': (reached, limit) => `${figure(reached, 1)}:1 apart, ${round(limit)}:1 wanted`,
};
