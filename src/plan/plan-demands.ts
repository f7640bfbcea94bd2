/** Limits, tolerances and what there is to use, as the plan says it. */
import type { Construction, Finish, Named, Point } from './plan-values.ts';

export type LimitsEntry = {
  /** dB: one for all mics that set none of their own, or by mic. */
  readonly signalToBleed?: { readonly all: number } | { readonly mics: Named<number> };
  readonly ghost?: Named<number>;
  readonly editable?: { readonly all: number } | { readonly parts: Named<number> };
  /** The ratio; left out where the rule is not judged. */
  readonly threeToOne?: number;
  readonly seeEachOther: readonly (readonly string[])[];
  readonly hear: Named<readonly string[]>;
  /** Seconds. */
  readonly sessionLength?: number;
  readonly weighting: 'own' | 'Z' | 'A' | 'C';
  /** A fraction of one. */
  readonly confidence?: number;
};

/** Half widths: degrees, metres, dB, and fractions of one for `near`, `absorption` and `reverberation`. */
export type ToleranceEntry = {
  readonly aim?: number;
  readonly facing?: number;
  readonly place?: number;
  readonly near?: number;
  readonly level?: number;
  readonly guessedLevel?: number;
  readonly nullDepth?: readonly [number, number];
  readonly panel?: number;
  readonly absorption?: number;
  readonly reverberation?: number;
  readonly seed?: number;
  readonly draws?: number;
};

export type OnHandEntry = {
  readonly baffles: readonly SpareBaffle[];
  readonly absorption: readonly SpareAbsorption[];
  readonly mics: readonly SpareMic[];
};

export type SpareBaffle = {
  readonly madeOf: Construction;
  readonly width: number;
  readonly height: number;
  readonly count: number;
};
export type SpareAbsorption = { readonly finish: Finish; readonly area: number; readonly count: number };
export type SpareMic = { readonly patterns: readonly string[]; readonly count: number };

export type FloorEntry = {
  readonly noStands: Named<readonly Point[]>;
  readonly walkways: Named<{ readonly along: readonly Point[]; readonly width: number }>;
  readonly elbowRoom?: number;
};
