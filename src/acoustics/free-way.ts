/** Energy of one free way from a source point to a capsule: design equation p² = W·Q·G·E(r)/(4π)·air·D². */
import type { Capsule, Directivity, Source, SourcePoint } from '../scene/scene.ts';
import type { Vec3 } from '../scene/vector.ts';
import { energyLoss } from './air.ts';
import { BAND_COUNT, type Bands, bands } from './bands.ts';
import { type GainGrid, gainGrid, gridPlace } from './directivity.ts';
import { spreading, waveRadiusSquared } from './extent.ts';
import { faded } from './fade.ts';
import { firstOrder, inverseWaveNumberSquared, tableResponse } from './pattern.ts';

/** What of a source point the energy of a way needs. */
export type Emitter = {
  readonly at: Vec3;
  readonly axis: Vec3;
  readonly room: number;
  /** W·Q·share/(4π) by band: on-axis energy times spreading. */
  readonly strength: Bands;
  /** W·share by band, what the point gives to its room. */
  readonly power: Bands;
  readonly radius: number;
  readonly directivity: Directivity;
  readonly grid: GainGrid;
  /** True where the point speaks alike in all directions and bands. */
  readonly round: boolean;
};

/** What of the air a way needs. */
export type Medium = {
  readonly soundSpeed: number;
  /** Energy attenuation in 1/m by band. */
  readonly m: Bands;
  /** 1/k² in m² by band. */
  readonly inverseK2: Bands;
};

export function mediumOf(air: { readonly soundSpeed: number; readonly loss: Bands }): Medium {
  return {
    soundSpeed: air.soundSpeed,
    m: bands((band) => energyLoss(air.loss[band] ?? 0)),
    inverseK2: inverseWaveNumberSquared(air.soundSpeed),
  };
}

export function emittersOf(source: Source): Emitter[] {
  const { directivity, radius, power } = source;
  const round = directivity.table === null && directivity.b.every((b) => b === 1);
  return source.points.map((point: SourcePoint) => ({
    at: point.at,
    axis: point.axis,
    room: point.room,
    strength: bands(
      (band) => ((power[band] ?? 0) * (directivity.q[band] ?? 1) * point.share) / (4 * Math.PI),
    ),
    power: bands((band) => (power[band] ?? 0) * point.share),
    radius,
    directivity,
    grid: gainGrid(directivity),
    round,
  }));
}

export type Between = { readonly emitter: Emitter; readonly capsule: Capsule; readonly medium: Medium };

/** The two factors of a way by band: what would arrive at an omni, and what the mic makes of it, D². */
export type Arriving = { readonly free: Bands; readonly response: Bands };

/**
 * Writes both factors of a way. `cosLeave` is the cosine off the source's axis, `cosArrive` that off the mic's aim; `spread` sets
 * spreading and proximity, `travelled` the air's loss, both in m. One loop, and no call out of it: a plain room's time goes here.
 */
export function wayEnergy(
  into: Arriving,
  { emitter, capsule, medium }: Between,
  cosLeave: number,
  cosArrive: number,
  spread: number,
  travelled: number,
): void {
  const { free, response } = into;
  const { strength, round, grid, radius } = emitter;
  const { pattern, nullFloor } = capsule;
  const { a, table } = pattern;
  const { m, inverseK2 } = medium;
  const { gains, steps } = grid;
  const spreadFactor = spreading(radius, spread);
  const near = capsule.proximity ? 1 / waveRadiusSquared(radius, spread) : 0;
  const place = round ? 0 : gridPlace(grid, cosLeave);
  const step = Math.min(steps - 1, place | 0);
  const row = step * BAND_COUNT;
  const part = place - step;
  for (let band = 0; band < BAND_COUNT; band++) {
    const low = gains[row + band] as number;
    const toward = low + ((gains[row + BAND_COUNT + band] as number) - low) * part;
    free[band] = (strength[band] as number) * spreadFactor * toward * faded((m[band] as number) * travelled);
    response[band] = firstOrder(
      a[band] as number,
      nullFloor[band] as number,
      cosArrive,
      near * (inverseK2[band] as number),
    );
  }
  if (table) tableResponse(response, table, cosArrive);
}
