/** What resolving a plan has to say: faults and cautions, and every assumption made on the way. */
import type { Finding, FindingCode, Path } from '../finding.ts';

/** A default, a guess, an interpolation or a clamp: what the plan did not say and what was taken instead. */
export type Assumption = {
  readonly path: Path;
  readonly kind: 'default' | 'guess' | 'interpolated' | 'clamped';
  readonly text: string;
};

/** Filled while a plan is resolved; the only thing there that grows. */
export type Notes = { readonly findings: Finding[]; readonly assumptions: Assumption[] };

export const emptyNotes = (): Notes => ({ findings: [], assumptions: [] });

export function fault(notes: Notes, code: FindingCode, path: Path, message: string, mend?: string): void {
  notes.findings.push({ code, severity: 'error', path, message, ...(mend === undefined ? {} : { mend }) });
}

export function caution(notes: Notes, path: Path, message: string, mend?: string): void {
  notes.findings.push({
    code: 'CAUTION',
    severity: 'warning',
    path,
    message,
    ...(mend === undefined ? {} : { mend }),
  });
}

export function assume(notes: Notes, kind: Assumption['kind'], path: Path, text: string): void {
  notes.assumptions.push({ path, kind, text });
}
