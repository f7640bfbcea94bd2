import type { Lengths } from '../../plan/lengths.ts';
import type { Paint } from '../paint.ts';
import type { Section } from '../sections.ts';

/** What every page is laid out by. */
export type Layout = {
  readonly width: number;
  readonly paint: Paint;
  /** Nothing left out or shortened. */
  readonly all: boolean;
};

/** What says lengths lays them out in the plan's own units. */
export type InUnits = { readonly lengths: Lengths };

/** What every section of the report is laid out by. */
export type ReportLayout = Layout & {
  /** Only what one should know. */
  readonly brief: boolean;
};

export const verdictPaint = (verdict: 'clear' | 'marginal' | 'short' | null, paint: Paint) =>
  verdict === null ? paint.faint : paint[verdict];

/** Whether there is room for columns that can be done without. */
export const isWide = ({ width }: Layout): boolean => width >= 110;

/** A section's title; where it is cut down, with the way to the rest. */
export function heading(title: string, { paint, brief }: ReportLayout, rest: Section): string {
  return paint.strong(title) + (brief ? paint.faint(`  (more: --show ${rest})`) : '');
}
