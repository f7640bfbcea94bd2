/** What main mics pick up of everyone: balance of groups against each other, and direct against reverberant sound. */
import { allBands, decibels } from '../acoustics/bands.ts';
import type { Passage, Scene } from '../scene/scene.ts';
import { type MicEnergies, pickedUp } from './signal-to-bleed.ts';

/** dB; ±∞ where one side is silent. */
export type MainRatio = {
  readonly ratio: number;
  /** The passage that counts, the worst; null where the plan has none. */
  readonly passage: string | null;
};

/** Energy of some sources in all octaves, after the channel's filters: all of it, and what came straight. */
export function soundOf(
  atMic: MicEnergies,
  sources: readonly number[],
): Readonly<Record<'whole' | 'direct', number>> {
  return {
    whole: allBands(pickedUp(atMic, sources, { filtered: true })),
    direct: allBands(pickedUp(atMic, sources, { filtered: true, share: 'direct' })),
  };
}

/** A smaller share than this is a matter of rounding. */
const ROUNDING = 1e-12;

/** Direct sound over all that came by reflections, the room and walls; null where nothing arrives. */
export function directToRest({ whole, direct }: ReturnType<typeof soundOf>): number | null {
  if (whole <= 0) return null;
  if (whole - direct <= ROUNDING * whole) return Number.POSITIVE_INFINITY;
  return direct > 0 ? decibels(direct / (whole - direct)) : Number.NEGATIVE_INFINITY;
}

type Groups = Readonly<Record<'of' | 'over', readonly number[]>>;

/** Level of one group of sources over another's, where it is least; null where they never sound together. */
export function balanceAt({ passages }: Pick<Scene, 'passages'>, atMic: MicEnergies, groups: Groups) {
  return least(passages, ({ sounds }) => {
    const [of, over] = [groups.of, groups.over].map((group) => group.filter((source) => sounds[source]));
    if (!of?.length || !over?.length) return null;
    const [own, other] = [soundOf(atMic, of).whole, soundOf(atMic, over).whole];
    return own <= 0 ? Number.NEGATIVE_INFINITY : decibels(own / other);
  });
}

/** Of all that is played, where it is least; loudspeakers that repeat a part are left out. Null where nothing ever sounds. */
export function directToReverberant({ passages, sources }: Scene, atMic: MicEnergies): MainRatio | null {
  return least(passages, ({ sounds }) =>
    directToRest(
      soundOf(
        atMic,
        sources.flatMap(({ repeats }, i) => (sounds[i] && !repeats ? [i] : [])),
      ),
    ),
  );
}

function least(passages: readonly Passage[], ratioIn: (passage: Passage) => number | null): MainRatio | null {
  const all = passages.flatMap((passage): MainRatio[] => {
    const ratio = ratioIn(passage);
    return ratio === null ? [] : [{ ratio, passage: passage.name }];
  });
  return all.reduce<MainRatio | null>((a, b) => (a === null || b.ratio < a.ratio ? b : a), null);
}
