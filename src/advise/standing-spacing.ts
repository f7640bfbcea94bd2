/** Margins of the 3:1 rule, where the plan has it judged. */
import { spacings } from '../judge/spacing.ts';
import type { Scene } from '../scene/scene.ts';
import type { MarginRow } from './margin.ts';

export function spacingMargins(scene: Scene): MarginRow[] {
  if (scene.limits.threeToOne === null) return [];
  return spacings(scene).map(({ mics, margin }) => ({ kind: 'three-to-one', name: mics.join('\n'), margin }));
}
