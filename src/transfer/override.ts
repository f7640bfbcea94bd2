/** Covers and measured factors as one multiplier on a pair. */
import { BAND_COUNT, type Bands } from '../acoustics/bands.ts';
import type { Capsule, ReadWay, Scene, Source } from '../scene/scene.ts';
import type { SoundPath } from './path-energy.ts';

// Lids, quilts and cases over sources.
/** Energy factors by band on the ways of one pair, each null where it is 1. */
export type Cover = {
  /** Over the source: off everything but the direct way to mics inside. */
  readonly own: Bands | null;
  /** Over the mic with another source: off everything. */
  readonly over: Bands | null;
  /** The mic is inside with the source: its direct way is spared. */
  readonly inside: boolean;
};

/** What covers lie between a source and a capsule, or null where there is none. */
export function coverBetween(scene: Scene, source: number, receiver: Capsule): Cover | null {
  const inside = scene.mics[receiver.mic]?.inside ?? null;
  const own = scene.sources[source]?.cover ?? null;
  const over = inside === null || inside === source ? null : (scene.sources[inside]?.cover ?? null);
  return own || over ? { own, over, inside: inside === source } : null;
}

export function takeCover(path: SoundPath, { own, over, inside }: Cover): void {
  const spared = inside && path.share === 'direct';
  for (let band = 0; band < BAND_COUNT; band++) {
    if (own && !spared) path.energy[band] = (path.energy[band] as number) * (own[band] as number);
    if (over) path.energy[band] = (path.energy[band] as number) * (over[band] as number);
  }
}

// What readings of the day hold of a way beyond the plan: taken as a factor on all that goes that way.

/** Null where the pair was not read; a source whose level was not read has no ways that were. */
export const readPath = (source: Source | undefined, receiver: Capsule): ReadWay | null =>
  (source?.read && receiver.read?.get(source.name)) ?? null;

export function takeReading({ energy }: SoundPath, { factor }: ReadWay): void {
  for (let band = 0; band < BAND_COUNT; band++)
    energy[band] = (energy[band] as number) * (factor[band] as number);
}
