/** From a scene to energies: every source at every capsule, by share and band. */
import type { Scene } from '../scene/scene.ts';
import { BAND_COUNT } from './bands.ts';
import { adderTo, addPair } from './pair.ts';
import { SHARES, type Share } from './path.ts';
import { type Stage, stageOf } from './stage.ts';

export { SHARES, type Share };

/** Numbers a pair takes in the packed table. */
export const PAIR_SIZE = SHARES.length * BAND_COUNT;

export type Transfer = {
  readonly sources: number;
  readonly capsules: number;
  /** Energies p² re (20 µPa)², packed [source][capsule][share][band]. */
  readonly energy: Float64Array;
  readonly stage: Stage;
};

export function transfer(scene: Scene): Transfer {
  return transferOn(stageOf(scene));
}

/** The same for a stage already made: for other capsules in the same rooms, with the same sources. */
export function transferOn(stage: Stage): Transfer {
  const sources = stage.scene.sources.length;
  const capsules = stage.scene.capsules.length;
  const energy = new Float64Array(sources * capsules * PAIR_SIZE);
  const adder = adderTo(energy);
  for (let source = 0; source < sources; source++) {
    for (let capsule = 0; capsule < capsules; capsule++) {
      adder.from = (source * capsules + capsule) * PAIR_SIZE;
      addPair(adder, stage, source, capsule);
    }
  }
  return { sources, capsules, energy, stage };
}

/** Energy of one pair in one band: of one share, or of all. */
export function energyAt(
  result: Transfer,
  source: number,
  capsule: number,
  band: number,
  share?: Share,
): number {
  const from = (source * result.capsules + capsule) * PAIR_SIZE + band;
  if (share) return result.energy[from + SHARES.indexOf(share) * BAND_COUNT] ?? 0;
  let sum = 0;
  for (let i = 0; i < SHARES.length; i++) sum += result.energy[from + i * BAND_COUNT] ?? 0;
  return sum;
}
