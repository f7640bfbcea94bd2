/** Stereo pairs by textbook geometry as capsules of a scene. */
import { sameInAllBands } from '../../src/acoustics/bands.ts';
import type { Vec3 } from '../../src/geometry.ts';
import type { StereoEntry } from '../../src/plan/values.ts';
import { pairHalves } from '../../src/scene/mics.ts';
import type { Capsule } from '../../src/scene/scene.ts';
import { capsuleOf } from '../build-scene.ts';

type Standing = { readonly at?: Vec3; readonly aim?: Vec3; readonly facing?: number; readonly mic?: number };

/** `a` is the A of its pattern in every band; it looks up the page from the origin unless said otherwise. */
export function pairOf(stereo: StereoEntry, a: number, standing: Standing = {}): [Capsule, Capsule] {
  const { at = [0, 0, 0], aim = [0, 1, 0], facing = 0, mic = 0 } = standing;
  const pattern = { name: 'custom', a: sameInAllBands(a), table: null };
  const halves = pairHalves(stereo, { at, aim, pattern, facing });
  const made = halves.map((half) =>
    capsuleOf(half.at, half.aim, { name: `pair.${half.side}`, pattern: half.pattern, mic }),
  );
  return made as [Capsule, Capsule];
}
