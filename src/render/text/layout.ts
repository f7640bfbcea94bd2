import type { Paint } from '../paint.ts';

/** What every section of the text report is laid out by. */
export type Layout = {
  readonly width: number;
  readonly paint: Paint;
  /** Nothing left out or shortened. */
  readonly all: boolean;
};

export const verdictPaint = (verdict: 'clear' | 'marginal' | 'short' | null, paint: Paint) =>
  verdict === null ? paint.faint : paint[verdict];

/** Whether there is room for columns that can be done without. */
export const isWide = ({ width }: Layout): boolean => width >= 110;
