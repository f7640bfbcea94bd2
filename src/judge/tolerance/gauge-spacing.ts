/** Margins of the 3:1 rule. */
import type { Scene } from '../../scene/scene.ts';
import { spacings } from '../spacing.ts';
import type { Gauge } from './gauge.ts';

/** Pairs of mics that the rule speaks of; none where the plan does not have it judged. */
export function spacingGauge(scene: Scene): Gauge {
  const pairs = scene.limits.threeToOne === null ? [] : spacings(scene).map(({ mics }) => spacingName(mics));
  return {
    kind: 'three-to-one',
    rows: pairs.map((name) => ({ name, limit: 0 })),
    limitIs: 'least',
    read: (varied) => {
      const margins = new Map(
        pairs.length > 0 ? spacings(varied).map(({ mics, margin }) => [spacingName(mics), margin]) : [],
      );
      return pairs.map((name) => margins.get(name) ?? null);
    },
  };
}

/** Names hold no line breaks. */
export const spacingName = (mics: readonly [string, string]): string => mics.join('\n');
