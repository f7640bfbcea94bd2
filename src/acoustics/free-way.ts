/** Energy of one free way from a source point to a capsule: design equation p² = W·Q·G·E(r)/(4π)·air·D². */
import type { Capsule, Directivity, Source, SourcePoint } from '../scene/scene.ts';
import type { Vec3 } from '../scene/vector.ts';
import { energyLoss } from './air.ts';
import { BAND_COUNT, type Bands, bands } from './bands.ts';
import { gain } from './directivity.ts';
import { spreading, waveRadiusSquared } from './extent.ts';
import { firstOrder, inverseWaveNumberSquared } from './pattern.ts';
import { readAngleTable } from './angle-table.ts';

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
    strength: bands((band) => ((power[band] ?? 0) * (directivity.q[band] ?? 1) * point.share) / (4 * Math.PI)),
    power: bands((band) => (power[band] ?? 0) * point.share),
    radius,
    directivity,
    round,
  }));
}

/**
 * Writes the energies of a way by band. `cosLeave` is the cosine off the source's axis, `cosArrive` that off the mic's aim;
 * `spread` sets spreading and proximity, `travelled` the air's loss, both in m.
 */
export function wayEnergy(
  into: Bands,
  medium: Medium,
  emitter: Emitter,
  capsule: Capsule,
  cosLeave: number,
  cosArrive: number,
  spread: number,
  travelled: number,
): void {
  const spreadFactor = spreading(emitter.radius, spread);
  const near = capsule.proximity ? 1 / waveRadiusSquared(emitter.radius, spread) : 0;
  const { directivity, strength, round } = emitter;
  const { table, a } = capsule.pattern;
  const logHalf = Math.log(Math.max(0, (1 + cosLeave) / 2));
  for (let band = 0; band < BAND_COUNT; band++) {
    const response = table
      ? readAngleTable(table, band, cosArrive)
      : firstOrder(a[band] as number, capsule.nullFloor[band] as number, cosArrive, near * (medium.inverseK2[band] as number));
    const toward = round ? 1 : gainFrom(directivity, band, cosLeave, logHalf);
    into[band] = (strength[band] as number) * spreadFactor * toward * response * airFactor((medium.m[band] as number) * travelled);
  }
}

function gainFrom(directivity: Directivity, band: number, cos: number, logHalf: number): number {
  if (directivity.table) return gain(directivity, band, cos);
  const b = directivity.b[band] as number;
  return b === 1 ? 1 : b + (1 - b) * Math.exp((directivity.n[band] as number) * logHalf);
}

/** e^(−x); below 0.1 by the (2,2) Padé approximant, exact to 2e-10 there, since the call is in the innermost loop. */
function airFactor(x: number): number {
  if (x > 0.1) return Math.exp(-x);
  const even = 1 + (x * x) / 12;
  return (even - x / 2) / (even + x / 2);
}
