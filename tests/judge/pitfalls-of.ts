/** Pitfalls of small scenes. */
import { transfer } from '../../src/acoustics/transfer.ts';
import { judge } from '../../src/judge/judge.ts';
import type { Pitfall, PitfallKind } from '../../src/judge/pitfalls/pitfall-kinds.ts';
import { pitfalls } from '../../src/judge/pitfalls/pitfalls.ts';
import type { Lengths } from '../../src/plan/lengths.ts';
import type { Scene } from '../../src/scene/scene.ts';

export function pitfallsOf(scene: Scene, lengths?: Lengths): Pitfall[] {
  const result = transfer(scene);
  return pitfalls(scene, result, judge(scene, result), lengths);
}

/** Sentences of one kind. */
export const told = (scene: Scene, kind: PitfallKind, lengths?: Lengths): string[] =>
  pitfallsOf(scene, lengths).flatMap((one) => (one.kind === kind ? [one.sentence] : []));

/** What would mend those of one kind. */
export const mends = (scene: Scene, kind: PitfallKind): string[] =>
  pitfallsOf(scene).flatMap((one) => (one.kind === kind ? [one.mend] : []));
