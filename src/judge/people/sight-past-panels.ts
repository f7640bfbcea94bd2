/** Baffles in a line of sight. */
import { crossing } from '../../scene/polygon.ts';
import type { Scene } from '../../scene/scene.ts';
import type { Vec3 } from '../../scene/vector.ts';

/** What stands in a line of sight, and at which fraction of it. */
export type InSight = { readonly part: number; readonly what: string };

/** A line passes over a baffle, under it, and through its window. Walls of booths are left to their partitions. */
export function panelsInSight({ panels }: Pick<Scene, 'panels'>, from: Vec3, to: Vec3): InSight[] {
  return panels.flatMap(({ name, booth, a, b, low, high, windowFrom }) => {
    const met = booth === null ? crossing([from[0], from[1]], [to[0], to[1]], a, b) : null;
    if (!met) return [];
    const [part] = met;
    const height = from[2] + (to[2] - from[2]) * part;
    return height > low && height < Math.min(high, windowFrom) ? [{ part, what: name }] : [];
  });
}
