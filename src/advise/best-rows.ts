/** The best rows of any number of them, however many go by. */
import type { TrialRow } from './try-all.ts';

export type BestRows = {
  readonly add: (row: TrialRow) => void;
  /** Best first; of equals the one that came first. Rows without the figure are never among them. */
  readonly rows: () => readonly TrialRow[];
};

export function bestRows(most: number, column: number, moreIsBetter: boolean): BestRows {
  const kept: { readonly rank: number; readonly row: TrialRow }[] = [];
  const add = (row: TrialRow): void => {
    const figure = row.figures[column] ?? null;
    if (figure === null) return;
    const rank = moreIsBetter ? -figure : figure;
    if (kept.length === most && rank >= (kept.at(-1)?.rank ?? 0)) return;
    const place = kept.findIndex((other) => other.rank > rank);
    kept.splice(place < 0 ? kept.length : place, 0, { rank, row });
    if (kept.length > most) kept.pop();
  };
  return { add, rows: () => kept.map(({ row }) => row) };
}
