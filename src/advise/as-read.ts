/** A plan laid over with readings that were made in another: what was moved since is no reading any more. */
import type { Capsule, ReadWay, Scene, Source } from '../scene/scene.ts';
import { alike } from './alike.ts';

/** `first` is the scene of the plan that was read. Factors stay, as what readings held beyond the plan. */
export function movedSince(scene: Scene, first: Scene): Scene {
  const stands = standing(scene, first);
  return {
    ...scene,
    capsules: scene.capsules.map((capsule) => {
      if (!capsule.read) return capsule;
      const isAsRead = stands(capsule);
      const read = [...capsule.read].map(([name, way]): [string, ReadWay] => [
        name,
        isAsRead(name) ? way : { ...way, moved: true },
      ]);
      return { ...capsule, read: new Map(read) };
    }),
  };
}

type ByName = (name: string) => boolean;

/** Whether a source and a microphone, and the rooms about them, are as they were read. */
function standing(scene: Scene, first: Scene): (capsule: Capsule) => ByName {
  const isBuilt = (['air', 'rooms', 'partitions', 'panels'] as const).every((of) =>
    alike(scene[of], first[of]),
  );
  const sources = named(first.sources);
  const own = named(scene.sources);
  return (capsule) => {
    const old = first.capsules.find(({ name }) => name === capsule.name);
    const isMicAsRead =
      old !== undefined &&
      alike({ ...capsule, mic: 0, read: null }, { ...old, mic: 0, read: null }) &&
      alike(scene.mics[capsule.mic]?.filter, first.mics[old.mic]?.filter);
    return (name) => isBuilt && isMicAsRead && alike(placeOf(own.get(name)), placeOf(sources.get(name)));
  };
}

const named = (sources: readonly Source[]): Map<string, Source> =>
  new Map(sources.map((source) => [source.name, source]));

const placeOf = (source: Source | undefined) => source && { ...source, path: null, player: null, part: 0 };
