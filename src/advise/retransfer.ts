/** Energies of a scene that differs little from one already computed: only what changed is computed anew. */
import { pairEnergy } from '../acoustics/pair.ts';
import { type Speaker, type Stage, speakerOf, stageOf } from '../acoustics/stage.ts';
import { surroundingsOf } from '../acoustics/surroundings.ts';
import { PAIR_SIZE, type Transfer, transferOn } from '../acoustics/transfer.ts';
import type { Capsule, Scene } from '../scene/scene.ts';
import { alike } from './alike.ts';

export type Known = { readonly scene: Scene; readonly result: Transfer };

/** The same as `transfer(scene)`, to the last bit. A mic that turns costs one column, a player that moves his rows. */
export function retransfer({ scene: before, result }: Known, scene: Scene): Transfer {
  const { stage: known } = result;
  if (!alike(scene.air, before.air) || !alike(scene.partitions, before.partitions))
    return transferOn(stageOf(scene));
  if (!alike(scene.rooms, before.rooms)) return transferOn(stageOf(scene));
  const speakers = speakersOf(scene, before, known);
  if (!alike(scene.panels, before.panels)) {
    const surroundings = surroundingsOf(scene, known.absorptions);
    return transferOn({ ...known, scene, speakers, surroundings });
  }
  const stage = { ...known, scene, speakers };
  const sameSize = result.sources === scene.sources.length && result.capsules === scene.capsules.length;
  return sameSize ? patched(stage, before, result) : transferOn(stage);
}

const speakersOf = (scene: Scene, before: Scene, known: Stage): Speaker[] =>
  scene.sources.map((source, i) => {
    const old = known.speakers[i];
    return old && alike(source, before.sources[i]) ? old : speakerOf(source, known);
  });

function patched(stage: Stage, before: Scene, result: Transfer): Transfer {
  const { scene } = stage;
  const newSource = scene.sources.map((source, i) => !alike(source, before.sources[i]));
  const newCapsule = scene.capsules.map(
    (capsule, i) => !isSameAt(scene, capsule, before, before.capsules[i]),
  );
  const energy = result.energy.slice();
  for (let source = 0; source < result.sources; source++) {
    for (let capsule = 0; capsule < result.capsules; capsule++) {
      if (!newSource[source] && !newCapsule[capsule]) continue;
      const from = (source * result.capsules + capsule) * PAIR_SIZE;
      pairEnergy(energy.subarray(from, from + PAIR_SIZE), stage, source, capsule);
    }
  }
  return { ...result, energy, stage };
}

/** A capsule under a cover hears others through it: whose cover that is counts, and what it is. */
function isSameAt(scene: Scene, capsule: Capsule, before: Scene, old: Capsule | undefined): boolean {
  if (capsule === old) return true;
  if (!old || !alike(capsule, old)) return false;
  const inside = scene.mics[capsule.mic]?.inside ?? null;
  if (inside !== (before.mics[old.mic]?.inside ?? null)) return false;
  return inside === null || alike(scene.sources[inside]?.cover, before.sources[inside]?.cover);
}
