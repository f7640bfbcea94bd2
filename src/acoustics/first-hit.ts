/**
 * The first-hit share: how much of what a source gives off is lost at the surfaces that it meets first.
 * A singer who faces the drapes feeds the room less than one who faces the bare wall.
 */
import type { Vec3 } from '../scene/vector.ts';
import type { RoomAbsorption } from './absorption.ts';
import { BAND_COUNT, type Bands } from './bands.ts';
import { GRID_STEPS, gainGrid } from './directivity.ts';
import type { Emitter } from './free-way.ts';
import type { RoomShape } from './room-shape.ts';

export const DIRECTIONS = 500;

/** Golden-angle spiral: z = 1 − (2i+1)/500, azimuth i·π(3 − √5) from +x toward +y; x, y, z by turns. */
const SPIRAL = spiral();

function spiral(): Float64Array {
  const directions = new Float64Array(DIRECTIONS * 3);
  for (let i = 0; i < DIRECTIONS; i++) {
    const z = 1 - (2 * i + 1) / DIRECTIONS;
    const flat = Math.sqrt(1 - z * z);
    const azimuth = i * Math.PI * (3 - Math.sqrt(5));
    directions.set([flat * Math.cos(azimuth), flat * Math.sin(azimuth), z], i * 3);
  }
  return directions;
}

/**
 * Mean absorption α₁ by band of the surfaces that the source's sound meets first, weighted with its directivity:
 * Σ_s F_s α_s over 500 directions. Panels, people and contents are passed through.
 */
export function firstHitAbsorption(emitter: Emitter, shape: RoomShape, absorption: RoomAbsorption): Bands {
  const hits = shape.convex ? hitsOfConvex(emitter.at, shape) : hitsOfAny(emitter.at, shape);
  const lost = new Float64Array(BAND_COUNT);
  const sent = new Float64Array(BAND_COUNT);
  const grid = gainGrid(emitter.directivity);
  const [ax, ay, az] = emitter.axis;
  const { surfaces } = absorption;
  for (let i = 0; i < DIRECTIONS; i++) {
    const x = SPIRAL[i * 3] as number;
    const y = SPIRAL[i * 3 + 1] as number;
    const z = SPIRAL[i * 3 + 2] as number;
    const halfCos = Math.sqrt(Math.max(0, (1 + ax * x + ay * y + az * z) / 2)) * GRID_STEPS;
    const step = Math.min(GRID_STEPS - 1, halfCos | 0);
    const part = halfCos - step;
    const row = step * BAND_COUNT;
    const surface = (hits[i] as number) * BAND_COUNT;
    for (let band = 0; band < BAND_COUNT; band++) {
      const low = grid[row + band] as number;
      const weight = low + ((grid[row + BAND_COUNT + band] as number) - low) * part;
      sent[band] = (sent[band] as number) + weight;
      lost[band] = (lost[band] as number) + weight * (surfaces[surface + band] as number);
    }
  }
  for (let band = 0; band < BAND_COUNT; band++) lost[band] = (lost[band] as number) / (sent[band] as number);
  return lost;
}

/** Surface met first in each direction; the nearest plane ahead, since a convex room has no corner in the way. */
function hitsOfConvex(at: Vec3, shape: RoomShape): Uint16Array {
  const hits = new Uint16Array(DIRECTIONS);
  const planes = shape.walls.map((wall) => ({ wall, gap: (at[0] - wall.a[0]) * wall.inX + (at[1] - wall.a[1]) * wall.inY }));
  const below = Math.max(0, at[2] - shape.floor);
  const above = Math.max(0, shape.ceiling - at[2]);
  for (let i = 0; i < DIRECTIONS; i++) {
    const x = SPIRAL[i * 3] as number;
    const y = SPIRAL[i * 3 + 1] as number;
    const z = SPIRAL[i * 3 + 2] as number;
    let nearest = z < 0 ? -below / z : above / z;
    let hit = z < 0 ? 0 : 1;
    for (let w = 0; w < planes.length; w++) {
      const plane = planes[w] as (typeof planes)[number];
      const toward = -(x * plane.wall.inX + y * plane.wall.inY);
      if (toward <= 0) continue;
      const way = Math.max(0, plane.gap) / toward;
      if (way < nearest) {
        nearest = way;
        hit = 2 + w;
      }
    }
    hits[i] = hit;
  }
  return hits;
}

/** Surface met first in each direction, in a room of any outline: only stretches of wall that the ray really meets. */
function hitsOfAny(at: Vec3, shape: RoomShape): Uint16Array {
  const hits = new Uint16Array(DIRECTIONS);
  for (let i = 0; i < DIRECTIONS; i++) {
    const x = SPIRAL[i * 3] as number;
    const y = SPIRAL[i * 3 + 1] as number;
    const z = SPIRAL[i * 3 + 2] as number;
    let nearest = z < 0 ? (shape.floor - at[2]) / z : (shape.ceiling - at[2]) / z;
    let hit = z < 0 ? 0 : 1;
    shape.walls.forEach((wall, w) => {
      const toward = -(x * wall.inX + y * wall.inY);
      if (toward <= 0) return;
      const way = ((at[0] - wall.a[0]) * wall.inX + (at[1] - wall.a[1]) * wall.inY) / toward;
      if (way < 0 || way >= nearest) return;
      const along =
        ((at[0] + way * x - wall.a[0]) * (wall.b[0] - wall.a[0]) + (at[1] + way * y - wall.a[1]) * (wall.b[1] - wall.a[1])) /
        wall.length;
      if (along < -1e-9 || along > wall.length + 1e-9) return;
      nearest = way;
      hit = 2 + w;
    });
    hits[i] = hit;
  }
  return hits;
}
