/**
 * Which surface each direction meets first, from within a room without inner corners. On the plan each wall fills the angle
 * between its two corners, so that of directions sorted by azimuth each wall has a run; only floor or ceiling is left to
 * compare with. Asking every direction about every surface took half of a source's preparation.
 */
import type { Vec2, Vec3 } from '../scene/vector.ts';
import { fromWall, type Rays, type RoomShape, type Wall } from './room-shape.ts';
import { DIRECTIONS, DOWNWARD, type HalfSphere, UPWARD } from './spiral.ts';

/** Nearer to a surface than this, m, its corners' angles say nothing. */
const LEAST = 1e-9;

type Speaking = { readonly at: Vec3; readonly axis: Vec3 };

/** Puts the cosine off the source's axis of each direction into the list of the surface that it meets; false, with nothing put, where the source is not within a convex room. */
export function meetFromWithin(source: Speaking, shape: RoomShape): boolean {
  const { walls, floor, ceiling, convex, rays } = shape;
  const { at } = source;
  const below = at[2] - floor;
  const above = ceiling - at[2];
  if (!convex || below < LEAST || above < LEAST) return false;
  for (let w = 0; w < walls.length; w++) if (fromWall(at, walls[w] as Wall) < LEAST) return false;
  meetHalf(source, walls, { surface: 1, gap: above, half: UPWARD }, rays);
  meetHalf(source, walls, { surface: 0, gap: below, half: DOWNWARD }, rays);
  return true;
}

/** Floor or ceiling, how far it is, and the directions toward it. */
type Level = { readonly surface: number; readonly gap: number; readonly half: HalfSphere };

function meetHalf(source: Speaking, walls: readonly Wall[], level: Level, rays: Rays): void {
  const { azimuths } = level.half;
  let from = firstFrom(azimuths, source.at, (walls[0] as Wall).a);
  for (let w = 0; w < walls.length; w++) {
    const to = firstFrom(azimuths, source.at, (walls[w] as Wall).b);
    if (from <= to) meetRun(source, { wall: walls[w] as Wall, surface: 2 + w }, level, [from, to], rays);
    else {
      // the run over ±π
      meetRun(source, { wall: walls[w] as Wall, surface: 2 + w }, level, [from, azimuths.length], rays);
      meetRun(source, { wall: walls[w] as Wall, surface: 2 + w }, level, [0, to], rays);
    }
    from = to;
  }
}

/** The first direction whose azimuth is not below that of a corner. */
function firstFrom(azimuths: Float64Array, at: Vec3, corner: Vec2): number {
  const azimuth = Math.atan2(corner[1] - at[1], corner[0] - at[0]);
  let low = 0;
  let high = azimuths.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((azimuths[middle] as number) < azimuth) low = middle + 1;
    else high = middle;
  }
  return low;
}

type Upright = { readonly wall: Wall; readonly surface: number };
type Run = readonly [from: number, to: number];

/** Directions of one wall's run meet it, or the level surface before it. */
function meetRun(
  { at, axis }: Speaking,
  { wall, surface }: Upright,
  level: Level,
  run: Run,
  rays: Rays,
): void {
  const { counts, cosines } = rays;
  const { directions } = level.half;
  const [ax, ay, az] = axis;
  // the wall is met where toward it, over the way to it, is more than |z| over the way to the level surface
  const nearer = level.gap / fromWall(at, wall);
  const perX = -wall.inX * nearer;
  const perY = -wall.inY * nearer;
  const onWall = surface * DIRECTIONS;
  const onLevel = level.surface * DIRECTIONS;
  let atWall = onWall + (counts[surface] as number);
  let atLevel = onLevel + (counts[level.surface] as number);
  for (let i = run[0] * 3, end = run[1] * 3; i < end; i += 3) {
    const x = directions[i] as number;
    const y = directions[i + 1] as number;
    const z = directions[i + 2] as number;
    const cosine = ax * x + ay * y + az * z;
    if (perX * x + perY * y > Math.abs(z)) cosines[atWall++] = cosine;
    else cosines[atLevel++] = cosine;
  }
  counts[surface] = atWall - onWall;
  counts[level.surface] = atLevel - onLevel;
}
