/** What readings of the day hold of a way beyond the plan: taken as a factor on all that goes that way. */
import type { Capsule, ReadWay, Source } from '../scene/scene.ts';
import { BAND_COUNT } from './bands.ts';
import type { SoundPath } from './path.ts';

/** Null where the pair was not read; a source whose level was not read has no ways that were. */
export const wayRead = (source: Source | undefined, receiver: Capsule): ReadWay | null =>
  (source?.read && receiver.read?.get(source.name)) ?? null;

export function takeReading({ energy }: SoundPath, { factor }: ReadWay): void {
  for (let band = 0; band < BAND_COUNT; band++)
    energy[band] = (energy[band] as number) * (factor[band] as number);
}
