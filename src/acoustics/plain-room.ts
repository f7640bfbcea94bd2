/**
 * All straight ways of a pair in a room without screens and inner corners, summed where they are computed. Most rooms are such, and
 * to hand each way on as a record, which `eachPath` does for those who want to tell it, took a quarter longer.
 */
import { BAND_COUNT, sameInAllBands } from './bands.ts';
import { gridPlace } from './directivity.ts';
import { spreading, waveRadiusSquared } from './extent.ts';
import { faded } from './fade.ts';
import type { Between } from './free-way.ts';
import { newReflection, offLevel, offWall } from './images.ts';
import { ROWS } from './path.ts';
import { firstOrder } from './pattern.ts';
import type { RoomShape } from './room-shape.ts';

const reflection = newReflection();
const UNHINDERED = sameInAllBands(1);

/** Adds the direct way and the reflections off the surfaces to a pair's energies, packed [share][band] from `at` on. */
export function addPlainWays(
  into: Float64Array,
  at: number,
  shape: RoomShape,
  reflected: Float64Array,
  link: Between,
): void {
  const { emitter, capsule } = link;
  const from = emitter.at;
  const to = capsule.at;
  addDirect(into, at + ROWS.direct, link);
  const row = at + ROWS.reflections;
  if (offLevel(reflection, 0, shape.floor, from, to)) addReflected(into, row, link, reflected, 0);
  if (offLevel(reflection, 1, shape.ceiling, from, to)) addReflected(into, row, link, reflected, 1);
  for (let w = 0; w < shape.walls.length; w++)
    if (offWall(reflection, w, shape, from, to)) addReflected(into, row, link, reflected, 2 + w);
}

function addDirect(into: Float64Array, row: number, link: Between): void {
  const { emitter, capsule } = link;
  const dx = capsule.at[0] - emitter.at[0];
  const dy = capsule.at[1] - emitter.at[1];
  const dz = capsule.at[2] - emitter.at[2];
  const length = Math.max(Math.sqrt(dx * dx + dy * dy + dz * dz), 1e-9);
  const x = dx / length;
  const y = dy / length;
  const z = dz / length;
  const { axis } = emitter;
  const { aim } = capsule;
  const cosLeave = x * axis[0] + y * axis[1] + z * axis[2];
  addWay(into, row, link, UNHINDERED, 0, length, cosLeave, -(x * aim[0] + y * aim[1] + z * aim[2]));
}

function addReflected(
  into: Float64Array,
  row: number,
  link: Between,
  reflected: Float64Array,
  surface: number,
): void {
  const { axis } = link.emitter;
  const { aim } = link.capsule;
  const { leaveX, leaveY, leaveZ, arriveX, arriveY, arriveZ, length } = reflection;
  const cosLeave = leaveX * axis[0] + leaveY * axis[1] + leaveZ * axis[2];
  const cosArrive = -(arriveX * aim[0] + arriveY * aim[1] + arriveZ * aim[2]);
  addWay(into, row, link, reflected, surface * BAND_COUNT, length, cosLeave, cosArrive);
}

/** `wayEnergy` times the factors `kept`, from `first` on: to the last bit what the record of the way would hold. */
function addWay(
  into: Float64Array,
  row: number,
  { emitter, capsule, medium }: Between,
  kept: Float64Array,
  first: number,
  length: number,
  cosLeave: number,
  cosArrive: number,
): void {
  const { strength, round, grid, radius } = emitter;
  const { nullFloor, pattern } = capsule;
  const { a } = pattern;
  const { m, inverseK2 } = medium;
  const { gains, steps } = grid;
  const spreadFactor = spreading(radius, length);
  const near = capsule.proximity ? 1 / waveRadiusSquared(radius, length) : 0;
  const place = round ? 0 : gridPlace(grid, cosLeave);
  const step = Math.min(steps - 1, place | 0);
  const from = step * BAND_COUNT;
  const part = place - step;
  for (let band = 0; band < BAND_COUNT; band++) {
    const low = gains[from + band] as number;
    const toward = low + ((gains[from + BAND_COUNT + band] as number) - low) * part;
    const free = (strength[band] as number) * spreadFactor * toward * faded((m[band] as number) * length);
    const response = firstOrder(
      a[band] as number,
      nullFloor[band] as number,
      cosArrive,
      near * (inverseK2[band] as number),
    );
    into[row + band] = (into[row + band] as number) + free * (kept[first + band] as number) * response;
  }
}
