/** The plan as it stands, computed, for causes that change little of it. */
import { type Stage, stageOf } from '../acoustics/stage.ts';
import type { Capsule, Scene } from '../scene/scene.ts';
import { predict } from './predict.ts';
import type { Readings } from './readings.ts';

export type Plain = {
  readonly scene: Scene;
  readonly stage: Stage;
  readonly readings: Readings;
  readonly predicted: Float64Array;
};

export function plainOf(scene: Scene, readings: Readings): Plain {
  const stage = stageOf(scene);
  return { scene, stage, readings, predicted: predict(stage, readings) };
}

/** The same with other capsules: only columns that hold one of them are computed anew. */
export function withCapsules(plain: Plain, changed: ReadonlyMap<number, Capsule>): Float64Array {
  const capsules = plain.scene.capsules.map((capsule, i) => changed.get(i) ?? capsule);
  const stage = { ...plain.stage, scene: { ...plain.scene, capsules } };
  return predict(stage, plain.readings, {
    columns: columnsOf(plain.readings, changed),
    base: plain.predicted,
  });
}

/** Columns that hold any of these capsules. */
export const columnsOf = ({ columns }: Readings, changed: ReadonlyMap<number, unknown>): number[] =>
  [...columns.keys()].filter((i) => columns[i]?.capsules.some((capsule) => changed.has(capsule)));
