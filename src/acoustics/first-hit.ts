/**
 * The first-hit share: how much of what a source gives off is lost at the surfaces that it meets first.
 * A singer who faces the drapes feeds the room less than one who faces the bare wall.
 */
import type { RoomAbsorption } from './absorption.ts';
import { BAND_COUNT, type Bands } from './bands.ts';
import { type GainGrid, gridPlace } from './directivity.ts';
import { meetAny } from './first-hit-any.ts';
import { meetFromWithin } from './first-hit-convex.ts';
import type { Emitter } from './free-way.ts';
import type { Rays, RoomShape } from './room-shape.ts';
import { DIRECTIONS } from './spiral.ts';

/**
 * Mean absorption α₁ by band of the surfaces that the source's sound meets first, weighted with its directivity:
 * Σ_s F_s α_s over 500 directions. Panels, people and contents are passed through.
 */
export function firstHitAbsorption(emitter: Emitter, shape: RoomShape, absorption: RoomAbsorption): Bands {
  const { rays } = shape;
  rays.counts.fill(0);
  if (!meetFromWithin(emitter, shape)) meetAny(emitter, shape);
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
  let s0 = 0;
  let s1 = 0;
  let s2 = 0;
  let s3 = 0;
  let s4 = 0;
  let s5 = 0;
  let s6 = 0;
  let s7 = 0;
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
  sums[0] = s0;
  sums[1] = s1;
  sums[2] = s2;
  sums[3] = s3;
  sums[4] = s4;
  sums[5] = s5;
  sums[6] = s6;
  sums[7] = s7;
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
