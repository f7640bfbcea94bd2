/** First-hit share: how much of what a source radiates is lost at the surfaces that it meets first, by where it faces. */
import { BAND_COUNT, type Bands } from '../acoustics/bands.ts';
import { type GainGrid, gridPlace } from '../acoustics/directivity.ts';
import type { Vec2, Vec3 } from '../geometry.ts';
import type { RoomAbsorption } from './diffuse-field.ts';
import { DIRECTIONS, fromWall, type Rays, type RoomShape, type Wall } from './image-sources.ts';
import type { Emitter } from './path-energy.ts';

/**
 * Mean absorption α₁ by band of the surfaces that the source's sound meets first, weighted with its directivity:
 * Σ_s F_s α_s over 500 directions. Panels, people and contents are passed through.
 */
export function firstSurfaceAbsorption(
  emitter: Emitter,
  shape: RoomShape,
  absorption: RoomAbsorption,
): Bands {
  const { rays } = shape;
  rays.counts.fill(0);
  if (!castInConvexRoom(emitter, shape)) castInAnyRoom(emitter, shape);
  const lost = new Float64Array(BAND_COUNT);
  const sent = new Float64Array(BAND_COUNT);
  for (let surface = 0; surface < rays.counts.length; surface++) {
    sumGains(rays, surface, emitter.grid);
    for (let band = 0; band < BAND_COUNT; band++) {
      const share = rays.sums[band] as number;
      const alpha = absorption.surfaces[surface * BAND_COUNT + band] as number;
      sent[band] = (sent[band] as number) + share;
      lost[band] = (lost[band] as number) + share * alpha;
    }
  }
  for (let band = 0; band < BAND_COUNT; band++) lost[band] = (lost[band] as number) / (sent[band] as number);
  return lost;
}

/**
 * Sum of the gains of all directions that meet a surface. Eight sums stay in registers: adding into an array direction by
 * direction took three times as long.
 */
function sumGains(rays: Rays, surface: number, grid: GainGrid): void {
  const { rows, sums } = rays;
  const count = findRows(rays, surface, grid);
  const { gains } = grid;
  let [s0, s1, s2, s3, s4, s5, s6, s7] = [0, 0, 0, 0, 0, 0, 0, 0];
  for (let i = 0; i < count; i++) {
    const row = rows[i] as number;
    s0 += gains[row] as number;
    s1 += gains[row + 1] as number;
    s2 += gains[row + 2] as number;
    s3 += gains[row + 3] as number;
    s4 += gains[row + 4] as number;
    s5 += gains[row + 5] as number;
    s6 += gains[row + 6] as number;
    s7 += gains[row + 7] as number;
  }
  sums.set([s0, s1, s2, s3, s4, s5, s6, s7]);
}

/** Writes the offset of the nearest row of the gain grid for each direction that meets the surface; returns their number. */
function findRows({ cosines, counts, rows }: Rays, surface: number, grid: GainGrid): number {
  const { steps, byAngle } = grid;
  const count = counts[surface] as number;
  const from = surface * DIRECTIONS;
  for (let i = 0; i < count; i++) {
    const cos = cosines[from + i] as number;
    const place = byAngle ? gridPlace(grid, cos) : Math.sqrt(Math.abs(0.5 + 0.5 * cos)) * steps;
    rows[i] = Math.min(steps, (place + 0.5) | 0) * BAND_COUNT;
  }
  return count;
}

// Which surface each direction meets first, from within a room without inner corners. On the plan each wall fills the angle
// between its two corners, so that of directions sorted by azimuth each wall has a run; only floor or ceiling is left to
// compare with. Asking every direction about every surface took half of a source's preparation.

/** Nearer to a surface than this, m, its corners' angles say nothing. */
const LEAST_STEP = 1e-9;

/** Puts the cosine off the source's axis of each direction into the list of the surface that it meets; false, with nothing put, where the source is not within a convex room. */
function castInConvexRoom(source: Speaking, shape: RoomShape): boolean {
  const { walls, floor, ceiling, convex, rays } = shape;
  const { at } = source;
  const below = at[2] - floor;
  const above = ceiling - at[2];
  if (!convex || below < LEAST_STEP || above < LEAST_STEP) return false;
  for (let w = 0; w < walls.length; w++) if (fromWall(at, walls[w] as Wall) < LEAST_STEP) return false;
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
  // the wall is met where toward it, over the distance to it, is more than |z| over the distance to the level surface
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

/** A source in a wall or beyond it counts as this far before it, m. */
const LEAST = 1e-12;
type Speaking = { readonly at: Vec3; readonly axis: Vec3 };

/** Puts the cosine off the source's axis of each direction into the list of the surface that it meets. */
function castInAnyRoom({ at, axis }: Speaking, shape: RoomShape): void {
  const { counts, cosines } = shape.rays;
  const hit = newHit();
  const toward: [number, number, number] = [0, 0, 0];
  for (let i = 0; i < DIRECTIONS; i++) {
    const x = SPIRAL[i * 3] as number;
    const y = SPIRAL[i * 3 + 1] as number;
    const z = SPIRAL[i * 3 + 2] as number;
    toward[0] = x;
    toward[1] = y;
    toward[2] = z;
    surfaceMet(hit, at, toward, shape);
    const { surface } = hit;
    const count = counts[surface] as number;
    counts[surface] = count + 1;
    cosines[surface * DIRECTIONS + count] = axis[0] * x + axis[1] * y + axis[2] * z;
  }
}

/** What a direction meets first, and how far off, m. */
export type Hit = { surface: number; distance: number };

export const newHit = (): Hit => ({ surface: 0, distance: 0 });

/** Sets what is met first from a place in a direction. */
export function surfaceMet(into: Hit, at: Vec3, [x, y, z]: Vec3, shape: RoomShape): void {
  const { floor, ceiling, walls, convex } = shape;
  let nearest = Math.max(z < 0 ? at[2] - floor : ceiling - at[2], LEAST) / Math.abs(z);
  let met = z < 0 ? 0 : 1;
  for (let w = 0; w < walls.length; w++) {
    const wall = walls[w] as Wall;
    const toward = -(x * wall.inX + y * wall.inY);
    if (toward <= 0) continue;
    const gap = fromWall(at, wall);
    const distance = (convex ? Math.max(gap, LEAST) : gap) / toward;
    if (distance < 0 || distance >= nearest) continue;
    if (!convex && !isOnStretch(at[0] + distance * x, at[1] + distance * y, wall)) continue;
    nearest = distance;
    met = 2 + w;
  }
  into.surface = met;
  into.distance = nearest;
}

function isOnStretch(x: number, y: number, { a, b, length }: Wall): boolean {
  const along = ((x - a[0]) * (b[0] - a[0]) + (y - a[1]) * (b[1] - a[1])) / length;
  return along >= -1e-9 && along <= length + 1e-9;
}

/** z = 1 − (2i+1)/500, azimuth i·π(3 − √5) from +x toward +y; x, y, z by turns. */
export const SPIRAL = spiral();
/** Directions of one half of the sphere, by azimuth from −π to π; x, y, z by turns. */
type HalfSphere = { readonly azimuths: Float64Array; readonly directions: Float64Array };
/** The same directions that go up, and those that go down. */
const UPWARD = halfSphere(1);
const DOWNWARD = halfSphere(-1);

function spiral(): Float64Array {
  const directions = new Float64Array(DIRECTIONS * 3);
  for (let i = 0; i < DIRECTIONS; i++) {
    const z = 1 - (2 * i + 1) / DIRECTIONS;
    const flat = Math.sqrt(1 - z * z);
    const azimuth = i * Math.PI * (3 - Math.sqrt(5));
    directions[i * 3] = flat * Math.cos(azimuth);
    directions[i * 3 + 1] = flat * Math.sin(azimuth);
    directions[i * 3 + 2] = z;
  }
  return directions;
}

function halfSphere(side: 1 | -1): HalfSphere {
  const azimuths = new Float64Array(DIRECTIONS / 2);
  const directions = new Float64Array((DIRECTIONS / 2) * 3);
  const azimuth = (i: number): number => Math.atan2(SPIRAL[i * 3 + 1] as number, SPIRAL[i * 3] as number);
  const indices = [...Array(DIRECTIONS).keys()].filter((i) => side * (SPIRAL[i * 3 + 2] as number) > 0);
  indices.sort((one, other) => azimuth(one) - azimuth(other));
  indices.forEach((index, place) => {
    azimuths[place] = azimuth(index);
    directions.set(SPIRAL.subarray(index * 3, index * 3 + 3), place * 3);
  });
  return { azimuths, directions };
}
