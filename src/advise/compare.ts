/** Plans side by side: what each reaches, what changes against the first, and the entries that make the difference. */
import type { Basis } from '../judge/basis.ts';
import type { Report, Verdict } from '../judge/report.ts';
import type { MapNode } from '../plan/tree.ts';
import { micRows } from './compare-mics.ts';
import { partRows } from './compare-parts.ts';
import { peopleRows } from './compare-people.ts';
import { differingEntries, type EntryRow } from './entries.ts';

/** A plan that has been judged. */
export type Side = {
  readonly name: string;
  /** The plan as written, laid over its studio. */
  readonly tree: MapNode;
  readonly report: Report;
};

export type ComparedKind =
  | 'signal-to-bleed'
  | 'three-to-one'
  | 'ghost'
  | 'editable'
  | 'hears'
  | 'sees'
  | 'session';

/** What one plan reaches. */
export type Reached = {
  /** dB, a ratio for `three-to-one`, minutes for `session`; null where there is none. */
  readonly figure: number | null;
  readonly verdict: Verdict | null;
  /** Says it where no figure does, or beside the figure. */
  readonly words: string | null;
  /** The lower the worse, for what has no figure that tells; null where it cannot be told. */
  readonly rank: number | null;
  /** Whether what it rests on was measured; null without readings of the day. */
  readonly basis: Basis | null;
};

export type ComparedRow = {
  readonly kind: ComparedKind;
  /** Whom it is about, as the plans name them. */
  readonly about: readonly string[];
  /** By plan; null where a plan has nothing of the kind. */
  readonly reached: readonly (Reached | null)[];
  /** Figure less that of the first plan; null where one of the two has none. The first is 0 or null. */
  readonly changes: readonly (number | null)[];
};

export type Comparison = {
  readonly plans: readonly { readonly name: string; readonly title: string }[];
  readonly mics: readonly ComparedRow[];
  readonly parts: readonly ComparedRow[];
  readonly people: readonly ComparedRow[];
  readonly entries: readonly EntryRow[];
};

export function compare(sides: readonly Side[]): Comparison {
  const reports = sides.map(({ report }) => report);
  return {
    plans: sides.map(({ name, report }) => ({ name, title: report.title })),
    mics: micRows(reports),
    parts: partRows(reports),
    people: peopleRows(reports),
    entries: differingEntries(sides.map(({ tree }) => tree)),
  };
}
