import type { Lengths } from '../plan/lengths.ts';
import type { Scene } from '../scene/scene.ts';
import type { Section } from './sections.ts';

/** How an answer is shown. What a format has no use for it leaves aside. */
export type RenderOptions = {
  /** Columns of the page. */
  readonly width: number;
  readonly colour: boolean;
  /** What lengths are said in: the plan's own units. */
  readonly lengths: Lengths;
  readonly sections: readonly Section[];
  /** Every section cut down to what one should know. */
  readonly brief: boolean;
  /** Everything by octave as well. */
  readonly bands: boolean;
  /** Every microphone and every bleeder, nothing shortened. */
  readonly all: boolean;
  /** Whether the assumptions are listed or only counted. */
  readonly listAssumptions: boolean;
  /** What a small plan is drawn of; left out where none is wanted. */
  readonly scene?: Scene;
  /** What a brief page with that plan may fill. */
  readonly lines?: number;
};
