/** The true shape of a microphone's pattern: what it makes of level sound from every side, far enough off to come as a plane wave. */
import { readAngleTable } from '../../acoustics/angle-table.ts';
import { firstOrder } from '../../acoustics/pattern.ts';
import type { Capsule } from '../../scene/scene.ts';
import { direction, dot } from '../../scene/vector.ts';
import { away, type Point, pageAngle } from './plane.ts';

/** Bearings between corners of a drawn curve, degrees. */
const STEP = 3;

/** Pressure over that on axis for sound that comes from a bearing, in one band. */
export function responseTo(capsule: Capsule, bearing: number, band: number): number {
  const { pattern, nullFloor, aim } = capsule;
  const cos = dot(direction(bearing), aim);
  const energy = pattern.table
    ? readAngleTable(pattern.table, band, cos)
    : firstOrder(pattern.a[band] ?? 1, nullFloor[band] ?? 0, cos, 0);
  return Math.sqrt(Math.max(0, energy));
}

/** Corners of the curve about a point; a response of 1, 0 dB, lies `radius` mm out. Corner i belongs to bearing 3·i degrees. */
export function polarCurve(capsule: Capsule, band: number, at: Point, radius: number): Point[] {
  return Array.from({ length: 360 / STEP }, (_, i) =>
    away(at, pageAngle(i * STEP), radius * responseTo(capsule, i * STEP, band)),
  );
}
