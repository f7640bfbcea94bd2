/** Turning directions and places. */
import { add, cross, dot, scale, type Vec3 } from './vector.ts';

const RADIANS = Math.PI / 180;

/** A vector turned about a unit vector, degrees, by the right-hand rule. Rodrigues. */
export function turnAbout(vector: Vec3, pole: Vec3, degrees: number): Vec3 {
  const cos = Math.cos(degrees * RADIANS);
  const across = scale(cross(pole, vector), Math.sin(degrees * RADIANS));
  return add(add(scale(vector, cos), across), scale(pole, dot(pole, vector) * (1 - cos)));
}

/** A vector turned on the plan, degrees clockwise as bearings count. */
export function turnOnPlan([x, y, z]: Vec3, degrees: number): Vec3 {
  const cos = Math.cos(degrees * RADIANS);
  const sin = Math.sin(degrees * RADIANS);
  return [x * cos + y * sin, y * cos - x * sin, z];
}
