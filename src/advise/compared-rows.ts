/** Rows that several reports have, matched by what they are about. */
import { limitBasis } from '../judge/limits/limit-basis.ts';
import type { LimitKind } from '../judge/limits/limit-row.ts';
import type { Report } from '../judge/report.ts';
import type { ComparedKind, ComparedRow, Reached } from './compared-row.ts';

export type Told = { readonly about: readonly string[]; readonly reached: Omit<Reached, 'basis'> };

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
    const reached = found.map((row, i) =>
      row ? { ...row.reached, basis: basisOf(kind, reports[i], row.about) } : null,
    );
    const about = found.find((row) => row !== undefined)?.about ?? [];
    return { kind, about, reached, changes: changesOf(reached) };
  });
}

/** Judged by the limit of its kind; what is seen goes by places alone. */
const LIMITS: Readonly<Record<ComparedKind, LimitKind>> = {
  'signal-to-bleed': 'signal-to-bleed',
  'three-to-one': 'three-to-one',
  ghost: 'ghost',
  editable: 'editable',
  hears: 'hear',
  sees: 'see-each-other',
  session: 'session-length',
};

const basisOf = (kind: ComparedKind, report: Report | undefined, about: readonly string[]) =>
  report ? limitBasis(report, { kind: LIMITS[kind], about }) : null;

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
