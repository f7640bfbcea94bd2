/** Every limit of a plan as one row: what it asks, what the plan reaches, and the word for it. */
import type { Scene } from '../../scene/scene.ts';
import type { Report } from '../report.ts';
import { limitBasis } from './limit-basis.ts';
import type { LimitRow } from './limit-row.ts';
import { bleedLimits } from './limits-bleed.ts';
import { partLimits } from './limits-parts.ts';
import { peopleLimits } from './limits-people.ts';
import { spacingLimits } from './limits-spacing.ts';

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
