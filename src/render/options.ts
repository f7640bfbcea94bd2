import type { Assumption } from '../scene/notes.ts';

/** How an answer is shown. What a format has no use for it leaves aside. */
export type RenderOptions = {
  /** Columns of the page. */
  readonly width: number;
  readonly colour: boolean;
  /** Everything by octave as well. */
  readonly bands: boolean;
  /** Every microphone and every bleeder, nothing shortened. */
  readonly all: boolean;
  /** What the plan does not say and the answer rests on. */
  readonly assumptions: readonly Assumption[];
  /** Whether the assumptions are listed or only counted. */
  readonly listAssumptions: boolean;
};
