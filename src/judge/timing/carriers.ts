/** Which mics carry a part besides its own, as they stand in the mix. */
import { BAND_COUNT, decibels } from '../../acoustics/bands.ts';
import { energyAt, type Share, type Transfer } from '../../acoustics/transfer.ts';
import type { Mic, Scene } from '../../scene/scene.ts';
import type { Mix } from '../parts/mix.ts';

/** One capsule, or a line. */
export type Channel = { readonly name: string; readonly mic: number; readonly capsule: number | null };

export type Carrier = {
  readonly source: number;
  readonly own: Channel;
  readonly other: Channel;
  /** Of the source at the other re its own, by all ways, dB. */
  readonly level: number;
  /** The same of the direct sound alone, as an amplitude: what combs. Null where either gets none. */
  readonly direct: number | null;
};

/**
 * A source's own channel is that of the mic for the fewest, and of these the one that has most of it; a mic for a kit does for
 * those of its pieces that no other is for. Of the pieces that share it, the strongest at the other channel stands for all.
 */
export function carriersOf(scene: Scene, result: Transfer, mix: Mix, reach: number): Carrier[] {
  const desk = { scene, result, mix, channels: channelsOf(scene) };
  const found = new Map<string, Carrier & { readonly amount: number }>();
  scene.sources.forEach(({ part, repeats }, source) => {
    const own = repeats || !everSounds(scene, source) ? null : ownChannel(desk, source);
    if (!own) return;
    for (const carrier of othersOf(desk, source, own)) {
      const key = JSON.stringify([part, own.name, carrier.other.name]);
      const before = found.get(key);
      if (carrier.level < -reach || (before && before.amount >= carrier.amount)) continue;
      found.set(key, carrier);
    }
  });
  return [...found.values()];
}

type Desk = {
  readonly scene: Scene;
  readonly result: Transfer;
  readonly mix: Mix;
  readonly channels: readonly Channel[];
};

function channelsOf({ mics, capsules }: Scene): Channel[] {
  return mics.flatMap(({ name, line, capsules: own }, mic): Channel[] =>
    line
      ? [{ name, mic, capsule: null }]
      : own.map((capsule) => ({ name: capsules[capsule]?.name ?? name, mic, capsule })),
  );
}

const everSounds = (scene: Scene, source: number): boolean =>
  scene.passages.some(({ sounds }) => sounds[source]);

function ownChannel(desk: Desk, source: number): Channel | null {
  const { scene, channels } = desk;
  const micOf = ({ mic }: Channel) => scene.mics[mic] as Mic;
  const own = channels.filter(
    (channel) => micOf(channel).purpose === 'parts' && micOf(channel).wanted.includes(source),
  );
  const fewest = Math.min(...own.map((channel) => micOf(channel).wanted.length));
  const closest = own.filter((channel) => micOf(channel).wanted.length === fewest);
  const ranked = closest.map((channel) => ({ channel, amount: amountIn(desk, channel, source) }));
  ranked.sort((a, b) => b.amount - a.amount);
  return ranked[0] && ranked[0].amount > 0 ? ranked[0].channel : null;
}

/** Every channel of another mic that gets anything of the source. */
function othersOf(desk: Desk, source: number, own: Channel): (Carrier & { readonly amount: number })[] {
  const amount = amountIn(desk, own, source);
  const direct = amountIn(desk, own, source, 'direct');
  return desk.channels.flatMap((other) => {
    const carried = other.mic === own.mic ? 0 : amountIn(desk, other, source);
    if (carried <= 0) return [];
    const carriedDirect = amountIn(desk, other, source, 'direct');
    return [
      {
        source,
        own,
        other,
        level: decibels(carried / amount),
        direct: direct > 0 && carriedDirect > 0 ? Math.sqrt(carriedDirect / direct) : null,
        amount: carried,
      },
    ];
  });
}

/** Energy of a source in the mix by way of one channel: all bands, of one share or all. */
function amountIn(
  { scene, result, mix }: Desk,
  { mic, capsule }: Channel,
  source: number,
  share?: Share,
): number {
  if (capsule === null) return mix.held(mic, [source]);
  const filter = scene.mics[mic]?.filter;
  let sum = 0;
  for (let band = 0; band < BAND_COUNT; band++) {
    sum += energyAt(result, source, capsule, band, share) * (filter?.[band] ?? 1);
  }
  return sum * (mix.gains[mic] ?? 0);
}
