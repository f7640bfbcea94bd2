/** What lies over a source: a duvet, a case, a lid. */
import type { Bands } from '../acoustics/bands.ts';
import type { Called } from '../plan/called.ts';
import { eightBands, type RawBands } from './eight-bands.ts';
import { type Claim, originOf, type WithOrigin } from './origin.ts';

/** Loss in dB by band, off everything of the source but the way to a mic inside. */
export type Cover = WithOrigin<{ readonly loss: Bands }> & Called & { readonly about: string };

export type RawCover = {
  readonly about: string;
  readonly also?: readonly string[];
  readonly loss: RawBands;
  readonly from: readonly Claim[];
};

/** One cover of the parsed catalogue. */
export function toCover(name: string, { about, also = [], loss, from }: RawCover): Cover {
  return { name, about, also, loss: eightBands(loss), from: { loss: originOf(from, 'loss', name) } };
}
