/** Judging by what holds on most days instead of by the plain figure: `limits.confidence`. */
import type { Finding } from '../../finding.ts';
import type { PartRow } from '../parts/parts.ts';
import type { Verdict } from '../verdict.ts';
import { verdictOf } from '../verdict.ts';
import type { Gauge } from './gauge.ts';
import { percentile } from './percentile.ts';
import type { ToleranceRow, Tolerances } from './tolerance.ts';

type Judged = {
  readonly margin: number | null;
  readonly verdict: Verdict | null;
  readonly remark?: string | null;
};

/** Puts the margin and verdict of a confidence in place of the plain ones; leaves alone what was not judged. */
export type Resettle = <Row extends Judged>(row: Row, kind: Gauge['kind'], name: string) => Row;

/** Without a confidence every row stays as it is. */
export function resettler(tolerances: Tolerances | null, confidence: number | null): Resettle {
  if (!tolerances || confidence === null) return (row) => row;
  return (row, kind, name) => {
    const known = tolerances.rows.find((one) => one.kind === kind && one.name === name);
    const margin = known && row.margin !== null ? marginAt(known, confidence) : null;
    if (!known || margin === null || row.verdict === null) return row;
    const settled = { ...row, margin, verdict: verdictOf(margin) };
    return row.remark === null ? { ...settled, remark: remarkOf(known, margin, confidence) } : settled;
  };
}

/** The figure that the margin goes by, since the row shows the plain one. */
function remarkOf({ limit, limitIs }: ToleranceRow, margin: number, confidence: number): string {
  const figure = (limit ?? 0) + (limitIs === 'least' ? margin : -margin);
  const side = limitIs === 'least' ? 'at least' : 'at most';
  return `${side} ${figure.toFixed(1)} dB in ${percent(confidence)} of the draws, by which it is judged`;
}

const percent = (share: number): string => `${Number((100 * share).toFixed(1))} %`;

/** A part is judged twice: for what stays of it, and for being edited alone. */
export const settlePart = (row: PartRow, settle: Resettle): PartRow => ({
  ...settle(row, 'ghost', row.name),
  editable: settle(row.editable, 'editable', row.name),
});

/** How far a limit is met, dB, in all but the unluckiest draws; null where there is no limit or no finite figure. */
export function marginAt({ limit, limitIs, sorted }: ToleranceRow, confidence: number): number | null {
  if (limit === null || sorted.length === 0) return null;
  const margin =
    limitIs === 'least' ? percentile(sorted, 1 - confidence) - limit : limit - percentile(sorted, confidence);
  return Number.isFinite(margin) ? margin : null;
}

/** Says once what the margins of a report then are. */
export function confidenceNote({ draws }: Tolerances, confidence: number): Finding {
  return {
    code: 'CAUTION',
    severity: 'warning',
    path: ['limits', 'confidence'],
    message: `margins and verdicts are those that hold in ${percent(confidence)} of ${draws} draws within the tolerance; the figures beside them are the plain ones`,
  };
}
