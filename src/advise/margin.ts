/** How far one limit is met. */
import type { LimitKind } from '../judge/limits/limit-row.ts';

export type MarginRow = {
  readonly kind: LimitKind;
  /** Microphone, part or player; two of them joined by a line break. */
  readonly name: string;
  /** How far a limit is met, dB; ±∞ where one side of a ratio is silent. */
  readonly margin: number;
};

/** What counts for a mic or part that gets nothing of its own, or whose part stays as a whole: worse than any figure, dB. */
export const LOST = 100;

/** What counts for people who do not see or hear each other though they must, dB. */
export const APART = 20;
