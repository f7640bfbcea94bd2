/** How a plan stands against all its limits, and nothing else of it: read some thousand times. */

import type { Transfer } from '../acoustics/transfer.ts';
import { type Mix, mixOf } from '../judge/parts/mix.ts';
import { bleedGauge } from '../judge/tolerance/gauge-bleed.ts';
import type { Scene } from '../scene/scene.ts';
import { LOST, type MarginRow } from './margin.ts';
import { partMargins } from './standing-parts.ts';
import { peopleMargins } from './standing-people.ts';
import { spacingMargins } from './standing-spacing.ts';

export type Standing = {
  readonly rows: readonly MarginRow[];
  /** The least margin, dB; null where no limit is judged by a figure. */
  readonly worst: number | null;
  /** Sum of all missed margins, dB. */
  readonly shortfall: number;
};

/** What a later reading can go by where only some mics have changed. */
export type Reading = {
  readonly standing: Standing;
  readonly mix: Mix;
  /** S/B of every judged capsule and pair, by name; ±∞ where one side is silent. */
  readonly bleed: ReadonlyMap<string, number>;
  readonly parts: ReadonlyMap<number, readonly MarginRow[]>;
  readonly people: readonly MarginRow[];
};

/** By the plain figures, whatever `limits.confidence` says. */
export function readingOf(scene: Scene, result: Transfer): Reading {
  const mix = mixOf(scene, result);
  const bleed = bleedOf(scene, result);
  const parts = new Map(scene.parts.map((_, part) => [part, partMargins(scene, result, mix, part)]));
  const people = peopleMargins(scene, result);
  return { mix, bleed, parts, people, standing: standingFrom(scene, { bleed, parts, people }) };
}

export function standingOf(scene: Scene, result: Transfer): Standing {
  return readingOf(scene, result).standing;
}

/** S/B as it is judged, in the worst passage. */
export function bleedOf(scene: Scene, result: Transfer): Map<string, number> {
  const gauge = bleedGauge(scene);
  const figures = gauge.read(scene, result);
  return new Map(
    gauge.rows.flatMap(({ name }, i) => (typeof figures[i] === 'number' ? [[name, figures[i]]] : [])),
  );
}

export function standingFrom(
  scene: Scene,
  { bleed, parts, people }: Pick<Reading, 'bleed' | 'parts' | 'people'>,
): Standing {
  const mics = scene.capsules.flatMap(({ name, mic }): MarginRow[] => {
    const ratio = bleed.get(name);
    return ratio === undefined
      ? []
      : [{ kind: 'signal-to-bleed', name, margin: ratio - (scene.mics[mic]?.limit ?? 0) }];
  });
  return summed([...mics, ...spacingMargins(scene), ...[...parts.values()].flat(), ...people]);
}

export function summed(rows: readonly MarginRow[]): Standing {
  let worst: number | null = null;
  let shortfall = 0;
  for (const { kind, margin } of rows) {
    const counted = Math.max(margin, -LOST);
    const isFigure = kind !== 'see-each-other' && margin !== Number.POSITIVE_INFINITY;
    if (isFigure && (worst === null || counted < worst)) worst = counted;
    if (counted < 0) shortfall -= counted;
  }
  return { rows, worst, shortfall };
}
