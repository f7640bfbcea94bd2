/** What a plan can fall into, most serious first, and how it is told. */
import type { Path } from '../../finding.ts';

/** What harms people, what cannot be mended afterwards, what spoils the day, what may. Our own order. */
export const PITFALL_KINDS = [
  'ears',
  'committed',
  'wedge',
  'ghost',
  'not-loudest',
  'ajar-door',
  'cannot-hear',
  'cannot-see',
  'narrow-null',
  'room-bleed',
  'low-bleed',
  'comb',
  'headphones',
  'beyond-critical-distance',
  'too-close',
  'below-schroeder',
] as const;

export type PitfallKind = (typeof PITFALL_KINDS)[number];

export type Pitfall = {
  readonly kind: PitfallKind;
  /** Microphones, parts and people it is about, as the plan names them. */
  readonly about: readonly string[];
  /** Ranks pitfalls of one kind: the more, the worse. */
  readonly weight: number;
  /** One sentence with names and figures. */
  readonly sentence: string;
  /** What would mend it. */
  readonly mend: string;
  /** The entry of the plan that one would change. */
  readonly path: Path;
};
