/** What players wear on their ears. */
import type { Bands } from '../acoustics/bands.ts';
import type { Called } from '../plan/called.ts';
import { eightBands, type RawBands } from './eight-bands.ts';
import { type Claim, originOf, type WithOrigin } from './origin.ts';

export type Headphones = WithOrigin<{
  /** Level at 1 m re the level at the wearer's ear, dB by band; null where nothing leaks. */
  readonly leak: Bands | null;
  /** What the wearer loses of the sound in the room, dB by band. */
  readonly attenuation: Bands;
  /** False where the wearer is taken to hear nobody by air. */
  readonly hearsByAir: boolean;
}> &
  Called & { readonly about: string };

export type RawHeadphones = {
  readonly about: string;
  readonly also?: readonly string[];
  readonly 'hears-by-air': boolean;
  readonly leak: RawBands | null;
  readonly attenuation: RawBands;
  readonly from: readonly Claim[];
};

/** One kind of the parsed catalogue. */
export function toHeadphones(name: string, raw: RawHeadphones): Headphones {
  const { about, also = [], leak, attenuation, from } = raw;
  return {
    name,
    about,
    also,
    leak: leak === null ? null : eightBands(leak),
    attenuation: eightBands(attenuation),
    hearsByAir: raw['hears-by-air'],
    from: {
      leak: originOf(from, 'leak', name),
      attenuation: originOf(from, 'attenuation', name),
      hearsByAir: originOf(from, 'hears-by-air', name),
    },
  };
}
