/** Ghosts of all parts. */
import type { Scene } from '../../scene/scene.ts';
import { type Ghost, ghostOf } from '../parts/ghost.ts';
import { mixOf } from '../parts/mix.ts';
import { ghostLimit } from '../parts/parts.ts';
import type { Gauge } from './gauge.ts';

export function ghostGauge(scene: Scene): Gauge {
  const { parts } = scene;
  return {
    kind: 'ghost',
    rows: parts.map((part, index) => ({ name: part.name, limit: ghostLimit(scene, index) })),
    limitIs: 'most',
    read: (varied, result) => {
      const mix = mixOf(varied, result);
      return parts.map((_, index) => figureOf(ghostOf(varied, mix, index)));
    },
  };
}

/** A committed part stays whole; one without a mic, or that never sounds, has no ghost to judge. */
function figureOf({ kind, level }: Ghost): number | null {
  if (kind === 'nothing stays') return Number.NEGATIVE_INFINITY;
  return kind === 'committed' || kind === 'nothing own' ? Number.POSITIVE_INFINITY : level;
}
