/** What a panel parts that belongs together: an instrument from its player, a close microphone from its source. */
import type { Path } from '../finding.ts';
import { caution, type Notes } from './notes.ts';
import { crossing } from './polygon.ts';
import type { Panel, Scene } from './scene.ts';
import { distance, type Vec3 } from './vector.ts';

/** A mic up to this far from its source stands before it with nothing between, m. */
export const WITH_ITS_SOURCE = 1.5;

export type Parted = { readonly path: Path; readonly message: string };

type Reach = {
  readonly from: Vec3;
  readonly to: Vec3;
  readonly path: Path;
  readonly told: (by: string) => string;
};

/** Asked when a plan is resolved, and again by whoever holds a changed plan against it. */
const known = new WeakMap<Scene, readonly Parted[]>();

/** Each reach that a panel cuts, once, at the first panel that does. */
export function partedIn(scene: Scene): readonly Parted[] {
  const parted = known.get(scene) ?? reachesCut(scene);
  known.set(scene, parted);
  return parted;
}

function reachesCut(scene: Scene): Parted[] {
  const { panels } = scene;
  if (panels.length === 0) return [];
  return [...instruments(scene), ...closeMics(scene)].flatMap(({ from, to, path, told }) => {
    const panel = panels.find((one) => isCut(one, from, to));
    return panel ? [{ path, message: told(panel.name) }] : [];
  });
}

/** From the eyes of whoever plays it to each point from which an instrument sounds. */
function instruments({ players, sources }: Scene): Reach[] {
  return sources.flatMap(({ name, kit, player, points, path }) => {
    const body = players[player ?? -1];
    if (!body || path[0] !== 'players') return [];
    const what = kit === null ? name : `part of ${kit}`;
    const told = (by: string): string => `${what} reaches through ${by}: it sounds on the far side of it`;
    return points.map(({ at }) => ({ from: body.eyes, to: at, path, told }));
  });
}

function closeMics({ sources, mics, capsules }: Scene): Reach[] {
  return capsules.flatMap(({ name, at, mic }) => {
    const { purpose, wanted, path } = mics[mic] ?? {};
    if (purpose !== 'parts' || !wanted || !path) return [];
    return wanted.flatMap((index) => {
      const source = sources[index];
      const told = (by: string): string =>
        `${by} stands between ${name} and ${source?.name}, which it is for`;
      return (source?.points ?? [])
        .filter((point) => distance(point.at, at) < WITH_ITS_SOURCE)
        .map((point) => ({ from: point.at, to: at, path, told }));
    });
  });
}

function isCut({ a, b, low, high }: Panel, from: Vec3, to: Vec3): boolean {
  const met = crossing([from[0], from[1]], [to[0], to[1]], a, b);
  if (met === null) return false;
  const height = from[2] + (to[2] - from[2]) * met[0];
  return height > low && height < high;
}

/** A caution for each, said once. */
export function noteParted(scene: Scene, notes: Notes): void {
  const told = new Map(partedIn(scene).map((one) => [one.message, one]));
  for (const { path, message } of told.values())
    caution(notes, path, message, 'move one of the two until both are on one side');
}
