/** What a suggestion is to better: the missed margins of a whole plan, or of one mic or part. */

import { CLEAR } from '../judge/verdict.ts';
import type { MarginRow } from './margin.ts';
import { LOST } from './margin.ts';
import type { Standing } from './standing.ts';

export type Goal = {
  /** Whether a row counts. */
  readonly counts: (row: MarginRow) => boolean;
  /** Margin up to which a limit is worth bettering: 0, or where none is missed what makes it clear. */
  readonly upTo: number;
};

export function goalFor(standing: Standing, counts: Goal['counts'] = () => true): Goal {
  const missed = standing.rows.some((row) => counts(row) && row.margin < 0);
  return { counts, upTo: missed ? 0 : CLEAR };
}

/** Sum of what is wanting, dB. */
export const wanting = ({ rows }: Standing, { counts, upTo }: Goal): number =>
  rows.reduce((sum, row) => (counts(row) ? sum + Math.max(0, upTo - Math.max(row.margin, -LOST)) : sum), 0);
