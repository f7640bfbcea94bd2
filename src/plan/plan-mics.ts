/** Microphones and lines, as the plan says it. */
import type { AngleTable, ByBand, Place } from './plan-values.ts';

export type MicEntry = {
  readonly for: ForEntry;
  readonly di: boolean;
  readonly at?: Place;
  readonly near?: NearEntry;
  readonly aim?: AimEntry;
  readonly nullAt?: string;
  /** How much of its own source, dB, turning the null may cost. */
  readonly aimLoss?: number;
  readonly pattern?: PatternEntry;
  readonly nullDepth?: number | 'textbook';
  readonly proximity: boolean;
  readonly inside: boolean;
  readonly switchable: readonly string[];
  readonly stereo?: StereoEntry;
  readonly mix: number;
  readonly highPass?: FilterEntry;
  readonly lowPass?: FilterEntry;
  /** None, one, or two of a pair. */
  readonly channel: readonly string[];
  readonly use: boolean;
  readonly fixed: boolean;
};

export type ForEntry =
  | { readonly kind: 'all' }
  | { readonly kind: 'room' }
  | { readonly kind: 'parts'; readonly names: readonly string[] };

/** A place that goes by its source. `angle` in plan, off the instrument's axis, to the player's own `side`. */
export type NearEntry = {
  readonly distance: number;
  readonly angle: number;
  readonly side: 'left' | 'right';
  /** At most one of the three is given; `height` is above the floor. */
  readonly height?: number;
  readonly above?: number;
  readonly below?: number;
};

/** Degrees; a bearing without `tilt` looks level. */
export type AimEntry = { readonly bearing: number; readonly tilt?: number } | { readonly target: string };

/** A pattern of the catalogue, the A of `A + B·cos θ` by band, or a measured table. */
export type PatternEntry =
  | { readonly name: string }
  | { readonly a: ByBand }
  | { readonly table: AngleTable };

export type StereoEntry =
  | { readonly kind: 'xy'; readonly angle: number }
  | { readonly kind: 'ortf' | 'nos' | 'crossed-8' | 'mid-side' }
  /** `line` is the bearing of the line between the two capsules. */
  | { readonly kind: 'spaced'; readonly distance: number; readonly line?: number };

/** Hertz, and dB an octave. */
export type FilterEntry = { readonly at: number; readonly slope: number };
