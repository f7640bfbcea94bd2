/** A scene as some of its mics alone would have it, with their share of its energies. */
import { PAIR_SIZE, type Transfer } from '../acoustics/transfer.ts';
import type { Scene } from '../scene/scene.ts';

/** Mics and capsules are numbered anew, in the order of `which`; sources, parts and limits stay. */
export function onlyMics(
  scene: Scene,
  result: Transfer,
  which: readonly number[],
): { readonly scene: Scene; readonly result: Transfer } {
  const columns = which.flatMap((mic) => scene.mics[mic]?.capsules ?? []);
  const mics = which.flatMap((index) => {
    const mic = scene.mics[index];
    return mic ? { ...mic, capsules: mic.capsules.map((column) => columns.indexOf(column)) } : [];
  });
  const capsules = columns.flatMap((column) => {
    const capsule = scene.capsules[column];
    return capsule ? { ...capsule, mic: which.indexOf(capsule.mic) } : [];
  });
  const energy = new Float64Array(result.sources * columns.length * PAIR_SIZE);
  for (let source = 0; source < result.sources; source++) {
    columns.forEach((column, i) => {
      const from = (source * result.capsules + column) * PAIR_SIZE;
      energy.set(result.energy.subarray(from, from + PAIR_SIZE), (source * columns.length + i) * PAIR_SIZE);
    });
  }
  return {
    scene: { ...scene, mics, capsules },
    result: { ...result, capsules: columns.length, energy },
  };
}
