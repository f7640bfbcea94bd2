/** Every limit of a plan as one row: what it asks, what the plan reaches, and the word for it. */
import type { Path } from '../../finding.ts';
import type { Scene } from '../../scene/scene.ts';
import type { Basis } from '../basis.ts';
import type { Report } from '../report.ts';
import type { Verdict } from '../verdict.ts';
import { limitBasis } from './limit-basis.ts';
import { bleedLimits } from './limits-bleed.ts';
import { partLimits } from './limits-parts.ts';
import { peopleLimits } from './limits-people.ts';
import { spacingLimits } from './limits-spacing.ts';

export type LimitKind =
  | 'signal-to-bleed'
  | 'three-to-one'
  | 'ghost'
  | 'editable'
  | 'see-each-other'
  | 'hear'
  | 'session-length';

export type LimitRow = {
  readonly kind: LimitKind;
  /** Whom it is about, as the plan names them: one microphone, or several things that it sets side by side. */
  readonly about: readonly string[];
  /** The entry of the plan that one would change. */
  readonly path: Path;
  /** dB, minutes for `session-length`, a ratio for `three-to-one`; null where there is no figure. */
  readonly reached: number | null;
  readonly limit: number | null;
  /** How far it is met, dB; null where it cannot be counted so. */
  readonly margin: number | null;
  /** Null where it could not be judged. */
  readonly verdict: Verdict | null;
  /** What set the limit, why there is no figure, or why it could not be judged: in words, or null. */
  readonly remark: string | null;
  /** Whether what it rests on was measured; null without readings of the day. */
  readonly basis: Basis | null;
};

export type Unfounded = Omit<LimitRow, 'basis'>;

/** Worst first; what could not be judged last. */
export function limitRows(scene: Scene, report: Report): LimitRow[] {
  const rows = [
    ...bleedLimits(scene, report),
    ...spacingLimits(scene, report),
    ...partLimits(scene, report),
    ...peopleLimits(scene, report),
  ];
  const founded = rows.map((row): LimitRow => ({ ...row, basis: limitBasis(report, row) }));
  return founded.sort((a, b) => urgency(a) - urgency(b));
}

/** The lower the worse: a miss that has no margin before all others, a limit met without one after them. */
function urgency({ verdict, margin }: LimitRow): number {
  if (verdict === null) return Number.MAX_VALUE;
  if (margin !== null) return margin;
  return verdict === 'short' ? -Number.MAX_VALUE : Number.MAX_VALUE / 2;
}
