/** Rows that several reports have, matched by what they are about. */
import type { Report } from '../judge/report.ts';
import type { ComparedKind, ComparedRow, Reached } from './compare.ts';

export type Told = { readonly about: readonly string[]; readonly reached: Reached };

/** In the order of the first report, then of the others. Names hold no line break. */
export function comparedRows(
  kind: ComparedKind,
  reports: readonly Report[],
  tell: (report: Report) => readonly Told[],
): ComparedRow[] {
  const told = reports.map((report) => new Map(tell(report).map((row) => [row.about.join('\n'), row])));
  const keys = new Set(told.flatMap((rows) => [...rows.keys()]));
  return [...keys].map((key) => {
    const found = told.map((rows) => rows.get(key));
    const reached = found.map((row) => row?.reached ?? null);
    const about = found.find((row) => row !== undefined)?.about ?? [];
    return { kind, about, reached, changes: changesOf(reached) };
  });
}

function changesOf(reached: readonly (Reached | null)[]): (number | null)[] {
  const first = reached[0]?.figure ?? null;
  return reached.map((one) =>
    first === null || one === null || one.figure === null ? null : one.figure - first,
  );
}

/** Worst first. */
const VERDICTS = ['short', 'marginal', 'clear'] as const;

export const verdictRank = (verdict: Reached['verdict']): number | null =>
  verdict === null ? null : VERDICTS.indexOf(verdict);

/** Where there is no figure: nothing at all in the way, or nothing to be had. */
export function rankOfWord(verdict: Reached['verdict']): number | null {
  if (verdict === null) return null;
  return verdict === 'short' ? -Number.MAX_VALUE : Number.MAX_VALUE;
}
