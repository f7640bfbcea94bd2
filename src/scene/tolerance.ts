/** How far the day may be from the plan: the bounds within which each thing varies, evenly and independently. */
import { type Bands, bands, MID_BANDS } from '../acoustics/bands.ts';
import type { ToleranceEntry } from '../plan/plan-demands.ts';

/** Half widths but for the null depth: degrees, metres, dB, and shares of one. */
export type Tolerance = {
  /** Of a mic's aim, in any direction. Common practice, no source. */
  readonly aim: number;
  /** Of a player, and of what stands by itself. Common practice, no source. */
  readonly facing: number;
  /** Of players, mics and what stands by itself, along each axis. Common practice, no source. */
  readonly place: number;
  /** Of a close mic's distance, a share of it; instead of `place`. Common practice, no source. */
  readonly near: number;
  /** Of a level or power that the plan gives, dB: a meter in class 2, its reader, another day. Common practice, no source. */
  readonly level: number;
  /** Of a level that the catalogue gives for a dynamic, dB. Common practice, no source. */
  readonly guessedLevel: number;
  /** Shallowest and deepest null by band, dB, of mics for which the plan gives no depth. Common practice, no source. */
  readonly nullDepth: { readonly from: Bands; readonly to: Bands };
  /** Of the sound reduction index of panels, walls, doors and windows, dB. Common practice, no source. */
  readonly panel: number;
  /** Of all that absorbs in a room without a measured time, a share of it. Common practice, no source. */
  readonly absorption: number;
  /** Of a measured reverberation time, a share of it. Common practice, no source. */
  readonly reverberation: number;
  readonly seed: number;
  readonly draws: number;
};

/** A mic no further than this from its source is placed by its distance, m. */
export const CLOSE = 0.5;

const USUAL = {
  aim: 8,
  facing: 20,
  place: 0.1,
  near: 0.2,
  level: 3,
  guessedLevel: 6,
  panel: 3,
  absorption: 0.2,
  reverberation: 0.1,
  seed: 1,
  draws: 500,
} as const;

/** Under 200 Hz and over 6 kHz nulls are shallower. */
const SHALLOW = { below: 200, above: 6000 } as const;

/** What the plan does not set is as usual; a null depth that it sets holds in every band. */
export function toleranceOf(entry: ToleranceEntry): Tolerance {
  const { nullDepth, ...rest } = entry;
  return { ...USUAL, ...rest, nullDepth: depthsOf(nullDepth) };
}

function depthsOf(set: ToleranceEntry['nullDepth']): Tolerance['nullDepth'] {
  const both = set && ([Math.min(...set), Math.max(...set)] as const);
  const usual = (band: number) =>
    isShallow(MID_BANDS[band] ?? 0) ? ([10, 20] as const) : ([15, 30] as const);
  return { from: bands((band) => (both ?? usual(band))[0]), to: bands((band) => (both ?? usual(band))[1]) };
}

const isShallow = (hertz: number): boolean => hertz < SHALLOW.below || hertz > SHALLOW.above;
