/** What one capsule hears, or a pair's two together as an energy sum, of every source. */
import { BAND_COUNT, type Bands } from '../acoustics/bands.ts';
import { PAIR_SIZE, SHARES, type Share, type Transfer } from '../acoustics/transfer.ts';
import type { Mic, Passage } from '../scene/scene.ts';

export type Listening = {
  readonly mic: Mic;
  /** Energies before the channel's filters, packed [source][share][band]. */
  readonly energy: Float64Array;
};

export function listenAt(result: Transfer, mic: Mic, capsules: readonly number[]): Listening {
  const energy = new Float64Array(result.sources * PAIR_SIZE);
  for (let source = 0; source < result.sources; source++) {
    for (const capsule of capsules) {
      const from = (source * result.capsules + capsule) * PAIR_SIZE;
      const at = source * PAIR_SIZE;
      for (let i = 0; i < PAIR_SIZE; i++) {
        energy[at + i] = (energy[at + i] as number) + (result.energy[from + i] as number);
      }
    }
  }
  return { mic, energy };
}

/** Sum by band of some sources, of one share or all; after the channel's filters where `filtered`. */
export function heard(
  { mic, energy }: Listening,
  sources: readonly number[],
  { filtered, share }: { readonly filtered: boolean; readonly share?: Share },
): Bands {
  const sum = new Float64Array(BAND_COUNT);
  const first = share ? SHARES.indexOf(share) * BAND_COUNT : 0;
  const end = share ? first + BAND_COUNT : PAIR_SIZE;
  for (const source of sources) {
    for (let i = first; i < end; i++) {
      const band = i % BAND_COUNT;
      sum[band] = (sum[band] as number) + (energy[source * PAIR_SIZE + i] as number);
    }
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
