/** High-pass and low-pass filters of a channel: Butterworth magnitude squared at mid-band. */
import { type Bands, bands, MID_BANDS } from './bands.ts';

/** Cut-off in Hz and slope in dB an octave; 6 dB for each order. */
export type Filter = { readonly at: number; readonly slope: number };

const orderOf = ({ slope }: Filter): number => slope / 6;

/** |H|² of a Butterworth high-pass of order n: 1/(1 + (f_c/f)^2n). */
export const highPass = (filter: Filter, hertz: number): number =>
  1 / (1 + (filter.at / hertz) ** (2 * orderOf(filter)));

/** |H|² of a Butterworth low-pass of order n: 1/(1 + (f/f_c)^2n). */
export const lowPass = (filter: Filter, hertz: number): number =>
  1 / (1 + (hertz / filter.at) ** (2 * orderOf(filter)));

/** Energy factor of a channel's filters by band; null where there is none. */
export function filterByBand(high: Filter | null, low: Filter | null): Bands | null {
  if (!high && !low) return null;
  return bands((band) => {
    const hertz = MID_BANDS[band] ?? 0;
    return (high ? highPass(high, hertz) : 1) * (low ? lowPass(low, hertz) : 1);
  });
}
