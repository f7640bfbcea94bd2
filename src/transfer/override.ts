/** What acts on all paths of a pair alike: covers over source or mic, and levels that were measured. */
import type { Bands } from '../acoustics/bands.ts';
import type { Capsule, ReadWay, Scene, Source } from '../scene/scene.ts';
import type { Share } from './path-energy.ts';

/** Energy factors by band on the paths of one pair, each null where it is 1. */
export type Cover = {
  /** Over the source: off everything but the direct path to mics inside. */
  readonly own: Bands | null;
  /** Over the mic with another source: off everything. */
  readonly over: Bands | null;
  /** The mic is inside with the source: its direct path is spared. */
  readonly inside: boolean;
};

/** What covers lie between a source and a capsule, or null where there is none. */
export function coverBetween(scene: Scene, source: number, receiver: Capsule): Cover | null {
  const inside = scene.mics[receiver.mic]?.inside ?? null;
  const own = scene.sources[source]?.cover ?? null;
  const over = inside === null || inside === source ? null : (scene.sources[inside]?.cover ?? null);
  return own || over ? { own, over, inside: inside === source } : null;
}

/** Energy factor of covers on a path of a share, by band; null where they spare it. */
export function coverFactor({ own, over, inside }: Cover, share: Share): Bands | null {
  const off = inside && share === 'direct' ? null : own;
  return off && over ? off.map((factor, band) => factor * (over[band] as number)) : (off ?? over);
}

/** What measured levels say of a pair beyond the plan: null where it was not read, or the level of the source was not. */
export const readPath = (source: Source | undefined, receiver: Capsule): ReadWay | null =>
  (source?.read && receiver.read?.get(source.name)) ?? null;
