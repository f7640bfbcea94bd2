/** Where a pair stands and looks on the plan, and what stands to its left and right. */
import type { Capsule } from '../../scene/scene.ts';
import { add, bearingOf, length, scale, subtract, tiltOf, unit, type Vec3 } from '../../scene/vector.ts';

/** An aim steeper than so many degrees has no bearing of its own. */
const STEEP = 60;

export type PairFrame = {
  readonly middle: Vec3;
  /** Bearing of the aim; where that is steep, square to the line of the capsules; null for a steep mic alone. */
  readonly bearing: number | null;
};

export function pairFrame(capsules: readonly Capsule[]): PairFrame {
  const [left, right] = [capsules[0], capsules.at(-1)];
  if (!left || !right) return { middle: [0, 0, 0], bearing: null };
  const middle = scale(add(left.at, right.at), 0.5);
  const aim = unit(add(left.aim, right.aim));
  if (length(aim) > 0.5 && Math.abs(tiltOf(aim)) <= STEEP) return { middle, bearing: bearingOf(aim) };
  const apart = subtract(right.at, left.at);
  const across = length(apart) > 1e-6 ? apart : subtract(right.aim, left.aim);
  const level: Vec3 = [across[0], across[1], 0];
  return { middle, bearing: length(level) > 1e-6 ? bearingOf(level) - 90 : null };
}

/** Degrees off the aim in plan, to the right positive, −180 to 180; null right above or below, or without a bearing. */
export function angleInPlan({ middle, bearing }: PairFrame, at: Vec3): number | null {
  const way: Vec3 = [at[0] - middle[0], at[1] - middle[1], 0];
  if (bearing === null || length(way) < 1e-6) return null;
  const turn = (((bearingOf(way) - bearing) % 360) + 360) % 360;
  return turn > 180 ? turn - 360 : turn;
}
