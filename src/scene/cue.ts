/** Headphones on someone's ears: what the plan says of them, joined with what their kind does. */
import { decibels, energyOf, sameInAllBands } from '../acoustics/bands.ts';
import { WEIGHTS, type Weighting, weightedSum } from '../acoustics/weighting.ts';
import type { CueEntry } from '../plan/plan-players.ts';
import type { Catalogue } from './catalogue.ts';
import type { Cue } from './scene.ts';

/** The kinds are the format's own words: one that the catalogue lacks is our bug and throws. */
export function cueOf(entry: CueEntry | undefined, kinds: Catalogue['headphones']): Cue {
  const wearing = entry?.wearing ?? 'none';
  const kind = kinds.get(wearing);
  if (!kind) throw new Error(`the catalogue has no headphones ${wearing}`);
  return {
    wearing,
    level: entry?.level ? levelInA(entry.level.spl, entry.level.weighting) : null,
    leak: kind.leak?.map(energyOf) ?? null,
    passes: kind.attenuation.map((loss) => energyOf(-loss)),
    hearsByAir: kind.hearsByAir,
  };
}

/** What a reading of music that is alike in every octave would be in dBA. A guess: nobody knows what the cue will carry. */
function levelInA(spl: number, weighting: Weighting): number {
  const even = sameInAllBands(1);
  return spl + decibels(weightedSum(even, WEIGHTS.A) / weightedSum(even, WEIGHTS[weighting]));
}
