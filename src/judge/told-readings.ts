/** What readings of the day gave for a plan: what a reader has to know to judge figures by it. */
import type { Weighting } from '../acoustics/weighting.ts';

export type ToldReadings = {
  /** As they were named. */
  readonly files: readonly string[];
  /** Octaves by number; one null for all together. */
  readonly layers: readonly (number | null)[];
  readonly weighting: Weighting;
  /** Who was measured, each as it was read: dB against the plan, in relation to the others of its group. */
  readonly measured: readonly {
    readonly name: string;
    readonly group: number;
    readonly level: { readonly value: number; readonly error: number };
    /** Several sources that were read as one: between these nothing is known. */
    readonly asOne: boolean;
  }[];
  /** Sources whose level is the plan's. */
  readonly predicted: readonly string[];
  /** Of what neither levels nor gains explain, dB. */
  readonly rms: number;
  /** Readings that stand out so far that levels go without them, and all that count. */
  readonly aside: number;
  readonly count: number;
  /** Of these, how many are left when levels and gains have taken theirs: with none nothing holds them against the plan. */
  readonly spare: number;
  /** Readings too near to the noise to count. */
  readonly drowned: number;
};
