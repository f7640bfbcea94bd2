/** First-order reflections as image sources: floor, ceiling and each wall. */
import { holds, seesWithin } from '../scene/polygon.ts';
import type { Vec2, Vec3 } from '../scene/vector.ts';
import { fromWall, type RoomShape } from './room-shape.ts';

/** A reflected way: where it meets which surface, and whither it goes. Reused from one visit to the next: copy what stays. */
export type Reflection = {
  surface: number;
  length: number;
  /** Unit vector along the way as it leaves the source, and as it arrives at the mic. */
  leaveX: number;
  leaveY: number;
  leaveZ: number;
  arriveX: number;
  arriveY: number;
  arriveZ: number;
  /** Share of the way at which it meets the surface. */
  along: number;
};

const reflection: Reflection = {
  surface: 0,
  length: 0,
  leaveX: 0,
  leaveY: 0,
  leaveZ: 0,
  arriveX: 0,
  arriveY: 0,
  arriveZ: 0,
  along: 0,
};

/** Visits each reflection whose point lies on its surface and whose two legs stay inside the outline. */
export function eachReflection(
  shape: RoomShape,
  from: Vec3,
  to: Vec3,
  visit: (way: Reflection) => void,
): void {
  const seen = shape.convex || seesWithin(shape.outline, [from[0], from[1]], [to[0], to[1]]);
  if (seen) {
    if (offLevel(0, shape.floor, from, to)) visit(reflection);
    if (offLevel(1, shape.ceiling, from, to)) visit(reflection);
  }
  for (let w = 0; w < shape.walls.length; w++) if (offWall(w, shape, from, to)) visit(reflection);
}

function offLevel(surface: number, level: number, from: Vec3, to: Vec3): boolean {
  const gapFrom = Math.abs(from[2] - level);
  const gapTo = Math.abs(to[2] - level);
  if (gapFrom + gapTo < 1e-9) return false;
  const dx = to[0] - from[0];
  const dy = to[1] - from[1];
  const rise = surface === 0 ? gapFrom + gapTo : -(gapFrom + gapTo);
  const length = Math.sqrt(dx * dx + dy * dy + rise * rise);
  const along = gapFrom / (gapFrom + gapTo);
  fill(surface, length, dx / length, dy / length, -rise / length, dx / length, dy / length, rise / length);
  reflection.along = along;
  return true;
}

function offWall(w: number, shape: RoomShape, from: Vec3, to: Vec3): boolean {
  const wall = shape.walls[w] as RoomShape['walls'][number];
  const gapFrom = fromWall(from, wall);
  const gapTo = fromWall(to, wall);
  if (gapFrom < 0 || gapTo < 0 || gapFrom + gapTo < 1e-9) return false;
  const dx = to[0] - from[0] + 2 * gapFrom * wall.inX;
  const dy = to[1] - from[1] + 2 * gapFrom * wall.inY;
  const dz = to[2] - from[2];
  const length = Math.sqrt(dx * dx + dy * dy + dz * dz);
  const along = gapFrom / (gapFrom + gapTo);
  const hitX = from[0] - 2 * gapFrom * wall.inX + along * dx;
  const hitY = from[1] - 2 * gapFrom * wall.inY + along * dy;
  if (!shape.convex && !reaches(shape, wall, from, to, [hitX, hitY])) return false;
  const inward = (dx * wall.inX + dy * wall.inY) / length;
  const ax = dx / length;
  const ay = dy / length;
  fill(
    2 + w,
    length,
    ax - 2 * inward * wall.inX,
    ay - 2 * inward * wall.inY,
    dz / length,
    ax,
    ay,
    dz / length,
  );
  reflection.along = along;
  return true;
}

function reaches(
  shape: RoomShape,
  wall: RoomShape['walls'][number],
  from: Vec3,
  to: Vec3,
  hit: Vec2,
): boolean {
  const along =
    ((hit[0] - wall.a[0]) * (wall.b[0] - wall.a[0]) + (hit[1] - wall.a[1]) * (wall.b[1] - wall.a[1])) /
    wall.length;
  if (along < -1e-9 || along > wall.length + 1e-9 || !holds(shape.outline, hit[0], hit[1])) return false;
  return seesWithin(shape.outline, [from[0], from[1]], hit) && seesWithin(shape.outline, hit, [to[0], to[1]]);
}

function fill(
  surface: number,
  length: number,
  lx: number,
  ly: number,
  lz: number,
  ax: number,
  ay: number,
  az: number,
): void {
  reflection.surface = surface;
  reflection.length = length;
  reflection.leaveX = lx;
  reflection.leaveY = ly;
  reflection.leaveZ = lz;
  reflection.arriveX = ax;
  reflection.arriveY = ay;
  reflection.arriveZ = az;
}
