import type { Report } from '../judge/report.ts';
import type { MapNode } from '../plan/tree.ts';
import { micRows } from './compare-mics.ts';
import { partRows } from './compare-parts.ts';
import { peopleRows } from './compare-people.ts';
import type { ComparedRow } from './compared-row.ts';
import { differingEntries, type EntryRow } from './entries.ts';

/** A plan that has been judged. */
export type Side = {
  readonly name: string;
  /** The plan as written, laid over its studio. */
  readonly tree: MapNode;
  readonly report: Report;
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
