/** The 3:1 rule of every pair of microphones that it speaks of, where the plan has it judged. */
import type { Scene } from '../../scene/scene.ts';
import type { Report } from '../report.ts';
import type { Unfounded } from './limit-row.ts';

export function spacingLimits({ limits }: Scene, { threeToOne }: Report): Unfounded[] {
  if (limits.threeToOne === null) return [];
  return threeToOne.map(({ mics, ratio, margin, verdict }) => ({
    kind: 'three-to-one',
    about: mics,
    path: ['limits', 'three-to-one'],
    reached: ratio,
    limit: limits.threeToOne,
    margin,
    verdict,
    remark: null,
  }));
}
