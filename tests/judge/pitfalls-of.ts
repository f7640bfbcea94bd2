/** Pitfalls of small scenes. */

import { judge } from '../../src/judge/judge.ts';
import type { Pitfall, PitfallKind } from '../../src/judge/pitfalls.ts';
import { pitfalls } from '../../src/judge/pitfalls.ts';
import type { Lengths } from '../../src/plan/units.ts';
import type { Scene } from '../../src/scene/scene.ts';
import { transfer } from '../../src/transfer/transfer.ts';

export function pitfallsOf(scene: Scene, lengths?: Lengths): Pitfall[] {
  const result = transfer(scene);
  return pitfalls(scene, result, judge(scene, result), lengths);
}

/** Sentences of one kind. */
export const told = (scene: Scene, kind: PitfallKind, lengths?: Lengths): string[] =>
  pitfallsOf(scene, lengths).flatMap((one) => (one.kind === kind ? [one.text] : []));

/** Fixes of those of one kind. */
export const fixes = (scene: Scene, kind: PitfallKind): string[] =>
  pitfallsOf(scene).flatMap((one) => (one.kind === kind ? [one.fix] : []));
