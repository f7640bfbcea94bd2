/**
 * The first-hit share: how much of what a source gives off is lost at the surfaces that it meets first.
 * A singer who faces the drapes feeds the room less than one who faces the bare wall.
 */
import type { Vec3 } from '../scene/vector.ts';
import type { RoomAbsorption } from './absorption.ts';
import { BAND_COUNT, type Bands } from './bands.ts';
import { gridPlace } from './directivity.ts';
import type { Emitter } from './free-way.ts';
import { fromWall, type Rays, type RoomShape } from './room-shape.ts';
import { DIRECTIONS, SPIRAL } from './spiral.ts';

/**
 * Mean absorption α₁ by band of the surfaces that the source's sound meets first, weighted with its directivity:
 * Σ_s F_s α_s over 500 directions. Panels, people and contents are passed through.
 */
export function firstHitAbsorption(emitter: Emitter, shape: RoomShape, absorption: RoomAbsorption): Bands {
  if (shape.convex) hitsOfConvex(emitter.at, shape);
  else hitsOfAny(emitter.at, shape);
  const shares = surfaceShares(emitter, shape);
  const lost = new Float64Array(BAND_COUNT);
  const sent = new Float64Array(BAND_COUNT);
  for (let i = 0, band = 0; i < shares.length; i++, band = (band + 1) & (BAND_COUNT - 1)) {
    sent[band] = (sent[band] as number) + (shares[i] as number);
    lost[band] = (lost[band] as number) + (shares[i] as number) * (absorption.surfaces[i] as number);
  }
  for (let band = 0; band < BAND_COUNT; band++) lost[band] = (lost[band] as number) / (sent[band] as number);
  return lost;
}

/**
 * Sum of the gains of all directions that meet each surface, packed [surface][band]. Directions are sorted by surface, so
 * that eight sums stay in registers: adding into an array direction by direction took three times as long.
 */
function surfaceShares(emitter: Emitter, shape: RoomShape): Float64Array {
  const surfaces = shape.walls.length + 2;
  const shares = new Float64Array(surfaces * BAND_COUNT);
  sortRows(emitter, shape.rays);
  for (let surface = 0; surface < surfaces; surface++)
    addRows(shares, surface, emitter.grid.gains, shape.rays);
  return shares;
}

function addRows(into: Float64Array, surface: number, gains: Float64Array, { counts, sorted }: Rays): void {
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  let s4 = 0;
  let s5 = 0;
  let s6 = 0;
  let s7 = 0;
  const start = surface * DIRECTIONS;
  const end = start + (counts[surface] as number);
  for (let i = start; i < end; i++) {
    const row = sorted[i] as number;
    s0 += gains[row] as number;
    s1 += gains[row + 1] as number;
    s2 += gains[row + 2] as number;
    s3 += gains[row + 3] as number;
    s4 += gains[row + 4] as number;
    s5 += gains[row + 5] as number;
    s6 += gains[row + 6] as number;
    s7 += gains[row + 7] as number;
  }
  const at = surface * BAND_COUNT;
  into[at] = s0;
  into[at + 1] = s1;
  into[at + 2] = s2;
  into[at + 3] = s3;
  into[at + 4] = s4;
  into[at + 5] = s5;
  into[at + 6] = s6;
  into[at + 7] = s7;
}

/** Puts the offset into the gain grid of each direction, to the nearest row, into the list of the surface that it meets. */
function sortRows(emitter: Emitter, { hits, counts, sorted }: Rays): void {
  const { grid } = emitter;
  const [ax, ay, az] = emitter.axis;
  const { steps, byAngle } = grid;
  counts.fill(0);
  for (let i = 0; i < DIRECTIONS; i++) {
    const cos =
      ax * (SPIRAL[i * 3] as number) +
      ay * (SPIRAL[i * 3 + 1] as number) +
      az * (SPIRAL[i * 3 + 2] as number);
    const place = byAngle ? gridPlace(grid, cos) : Math.sqrt(Math.abs(0.5 + 0.5 * cos)) * steps;
    const surface = hits[i] as number;
    const count = counts[surface] as number;
    counts[surface] = count + 1;
    sorted[surface * DIRECTIONS + count] = Math.min(steps, (place + 0.5) | 0) * BAND_COUNT;
  }
}

/** Surface met first in each direction; the nearest plane ahead, since a convex room has no corner in the way. */
function hitsOfConvex(at: Vec3, { walls, floor, ceiling, ahead, rays }: RoomShape): void {
  const { hits, closeness } = rays;
  closeness[0] = inverse(at[2] - floor);
  closeness[1] = inverse(ceiling - at[2]);
  walls.forEach((wall, w) => {
    closeness[2 + w] = inverse(fromWall(at, wall));
  });
  for (let i = 0; i < DIRECTIONS; i++) {
    let nearest = 0;
    const end = ahead.first[i + 1] as number;
    for (let k = ahead.first[i] as number; k < end; k++) {
      const surface = ahead.surface[k] as number;
      const near = (ahead.pace[k] as number) * (closeness[surface] as number);
      if (near <= nearest) continue;
      nearest = near;
      hits[i] = surface;
    }
  }
}

const inverse = (gap: number): number => 1 / Math.max(gap, 1e-12);

/** Surface met first in each direction, in a room of any outline: only stretches of wall that the ray really meets. */
function hitsOfAny(at: Vec3, shape: RoomShape): void {
  const { hits } = shape.rays;
  for (let i = 0; i < DIRECTIONS; i++) {
    const x = SPIRAL[i * 3] as number;
    const y = SPIRAL[i * 3 + 1] as number;
    const z = SPIRAL[i * 3 + 2] as number;
    let nearest = z < 0 ? (shape.floor - at[2]) / z : (shape.ceiling - at[2]) / z;
    let hit = z < 0 ? 0 : 1;
    shape.walls.forEach((wall, w) => {
      const toward = -(x * wall.inX + y * wall.inY);
      if (toward <= 0) return;
      const way = fromWall(at, wall) / toward;
      if (way < 0 || way >= nearest) return;
      const along =
        ((at[0] + way * x - wall.a[0]) * (wall.b[0] - wall.a[0]) +
          (at[1] + way * y - wall.a[1]) * (wall.b[1] - wall.a[1])) /
        wall.length;
      if (along < -1e-9 || along > wall.length + 1e-9) return;
      nearest = way;
      hit = 2 + w;
    });
    hits[i] = hit;
  }
}
