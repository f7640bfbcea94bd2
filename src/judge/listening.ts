/** What one capsule hears, or a pair's two together as an energy sum, of every source. */
import { BAND_COUNT, type Bands } from '../acoustics/bands.ts';
import { energyAt, type Share, type Transfer } from '../acoustics/transfer.ts';
import type { Mic, Passage } from '../scene/scene.ts';

export type Listening = {
  readonly mic: Mic;
  /** Energy of a source in a band: of one share, or of all; before the channel's filters. */
  readonly energy: (source: number, band: number, share?: Share) => number;
};

export function listenAt(result: Transfer, mic: Mic, capsules: readonly number[]): Listening {
  return {
    mic,
    energy: (source, band, share) =>
      capsules.reduce((sum, capsule) => sum + energyAt(result, source, capsule, band, share), 0),
  };
}

/** Sum by band of some sources, of one share or all; after the channel's filters where `filtered`. */
export function heard(
  { mic, energy }: Listening,
  sources: readonly number[],
  { filtered, share }: { readonly filtered: boolean; readonly share?: Share },
): Bands {
  const sum = new Float64Array(BAND_COUNT);
  for (const source of sources) {
    for (let band = 0; band < BAND_COUNT; band++) sum[band] = (sum[band] ?? 0) + energy(source, band, share);
  }
  return filtered && mic.filter ? sum.map((one, band) => one * (mic.filter?.[band] ?? 1)) : sum;
}

/** Sources that a mic is for, and those that are bleed at it, as far as they sound in the passage. */
export function sidesOf(
  mic: Mic,
  passage: Passage,
): { readonly wanted: number[]; readonly bleeders: number[] } {
  const spared = new Set([...mic.wanted, ...mic.ignored]);
  const sounding = passage.sounds.flatMap((sounds, source) => (sounds ? [source] : []));
  return {
    wanted: mic.wanted.filter((source) => passage.sounds[source]),
    bleeders: sounding.filter((source) => !spared.has(source)),
  };
}
