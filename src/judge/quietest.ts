/** The passage in which a mic gets least of what it is for. */
import type { Bands } from '../acoustics/bands.ts';
import { weightedSum } from '../acoustics/weighting.ts';
import type { Limits, Passage } from '../scene/scene.ts';
import { heard, type Listening, sidesOf } from './listening.ts';
import { weightsFor } from './weights.ts';

export type Quietest = {
  /** Null where the plan has no passages. */
  readonly passage: string | null;
  /** Of each band, by the weighting asked for. */
  readonly weights: Bands;
  /** Weighted energy of the wanted sound. */
  readonly energy: number;
};

type How = { readonly filtered: boolean; readonly weighting: Limits['weighting'] };

/** Null where the mic never gets anything of what it is for. */
export function quietestOf(
  listening: Listening,
  passages: readonly Passage[],
  { filtered, weighting }: How,
): Quietest | null {
  const all = passages.flatMap((passage): Quietest[] => {
    const wanted = heard(listening, sidesOf(listening.mic, passage).wanted, { filtered });
    const weights = weightsFor(weighting, wanted);
    const energy = weightedSum(wanted, weights);
    return energy > 0 ? [{ passage: passage.name, weights, energy }] : [];
  });
  return all.reduce<Quietest | null>((a, b) => (a === null || b.energy < a.energy ? b : a), null);
}
