/** Which surface each direction meets first, in a room of any outline and from anywhere. */
import type { Vec3 } from '../scene/vector.ts';
import { fromWall, type RoomShape, type Wall } from './room-shape.ts';
import { DIRECTIONS, SPIRAL } from './spiral.ts';

/** A source in a wall or beyond it counts as this far before it, m. */
const LEAST = 1e-12;

type Speaking = { readonly at: Vec3; readonly axis: Vec3 };

/** Puts the cosine off the source's axis of each direction into the list of the surface that it meets. */
export function meetAny({ at, axis }: Speaking, shape: RoomShape): void {
  const { counts, cosines } = shape.rays;
  for (let i = 0; i < DIRECTIONS; i++) {
    const x = SPIRAL[i * 3] as number;
    const y = SPIRAL[i * 3 + 1] as number;
    const z = SPIRAL[i * 3 + 2] as number;
    const surface = surfaceMet(at, x, y, z, shape);
    const count = counts[surface] as number;
    counts[surface] = count + 1;
    cosines[surface * DIRECTIONS + count] = axis[0] * x + axis[1] * y + axis[2] * z;
  }
}

function surfaceMet(at: Vec3, x: number, y: number, z: number, shape: RoomShape): number {
  const { floor, ceiling, walls, convex } = shape;
  let nearest = Math.max(z < 0 ? at[2] - floor : ceiling - at[2], LEAST) / Math.abs(z);
  let met = z < 0 ? 0 : 1;
  for (let w = 0; w < walls.length; w++) {
    const wall = walls[w] as Wall;
    const toward = -(x * wall.inX + y * wall.inY);
    if (toward <= 0) continue;
    const gap = fromWall(at, wall);
    const way = (convex ? Math.max(gap, LEAST) : gap) / toward;
    if (way < 0 || way >= nearest) continue;
    if (!convex && !isOnStretch(at[0] + way * x, at[1] + way * y, wall)) continue;
    nearest = way;
    met = 2 + w;
  }
  return met;
}

function isOnStretch(x: number, y: number, { a, b, length }: Wall): boolean {
  const along = ((x - a[0]) * (b[0] - a[0]) + (y - a[1]) * (b[1] - a[1])) / length;
  return along >= -1e-9 && along <= length + 1e-9;
}
