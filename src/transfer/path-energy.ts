import { energyLoss, faded } from '../acoustics/air.ts';
import { BAND_COUNT, type Bands, bands, sameInAllBands } from '../acoustics/bands.ts';
import {
  type Directivity,
  type GainGrid,
  gainGrid,
  gridPlace,
  spreading,
  waveRadiusSquared,
} from '../acoustics/directivity.ts';
import { firstOrder, inverseWaveNumberSquared, tableResponse } from '../acoustics/pattern.ts';
import type { Vec3 } from '../geometry.ts';
import type { Capsule, Panel, Source, SourcePoint } from '../scene/scene.ts';

// The seam between a path's geometry and its energy.
/**
 * Free energy of one way from a source to a microphone, and the microphone's response, by band, before any obstacle.
 * `leave` and `arrive` are unit vectors along the direction of travel where the way leaves the source and reaches the mic:
 * they set G and D². `spread` is the distance that sets spreading and proximity, `travelled` the one that sets the air's loss.
 */
export type PathEnergy = (
  into: Arriving,
  leave: Vec3,
  arrive: Vec3,
  spread: number,
  travelled: number,
) => void;

// Energy of one free way from a source point to a capsule: design equation p² = W·Q·G·E(r)/(4π)·air·D².

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
  readonly omnidirectional: boolean;
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

export function pointEmitters(source: Source): Emitter[] {
  const { directivity, radius, power } = source;
  const omnidirectional = directivity.table === null && directivity.b.every((b) => b === 1);
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
    omnidirectional,
  }));
}

export type Between = { readonly emitter: Emitter; readonly capsule: Capsule; readonly medium: Medium };

/** The two factors of a way by band: what would arrive at an omni, and what the mic makes of it, D². */
type Arriving = { readonly free: Bands; readonly response: Bands };

/**
 * Writes both factors of a way. `cosLeave` is the cosine off the source's axis, `cosArrive` that off the mic's aim; `spread` sets
 * spreading and proximity, `travelled` the air's loss, both in m. One loop, and no call out of it: a plain room's time goes here.
 */
export function pathEnergy(
  into: Arriving,
  { emitter, capsule, medium }: Between,
  cosLeave: number,
  cosArrive: number,
  spread: number,
  travelled: number,
): void {
  const { free, response } = into;
  const { strength, omnidirectional, grid, radius } = emitter;
  const { pattern, nullFloor } = capsule;
  const { a, table } = pattern;
  const { m, inverseK2 } = medium;
  const { gains, steps } = grid;
  const spreadFactor = spreading(radius, spread);
  const near = capsule.proximity ? 1 / waveRadiusSquared(radius, spread) : 0;
  const place = omnidirectional ? 0 : gridPlace(grid, cosLeave);
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

// One way of sound from a source point to a capsule, as it is handed from where it is computed to whoever sums or tells it.

export type PathKind =
  | 'direct' // straight, past screens where there are any
  | 'bent' // round the inner corners of the outline
  | 'surface' // off floor, ceiling or a wall
  | 'mirror' // off a panel
  | 'field' // the room's diffuse field
  | 'through' // straight through a wall, door or window
  | 'opening';
// through an opening in a wall

/** How sound got there; each share has its own cure. In the order of a pair's packed energies. */
export const SHARES = ['direct', 'reflections', 'room', 'walls'] as const;

export type Share = (typeof SHARES)[number];

/** Where each share begins in a pair's packed energies. */
export const ROWS = {
  direct: 0,
  reflections: BAND_COUNT,
  room: 2 * BAND_COUNT,
  walls: 3 * BAND_COUNT,
} as const;

/** Reused from one way to the next: copy what is to stay. */
export type SoundPath = {
  kind: PathKind;
  share: Share;
  /** Where its share begins in a pair's packed energies. */
  row: number;
  /** Which surface, as numbered in its room; −1 where none. */
  surface: number;
  panel: Panel | null;
  /** Wall, door, window or opening that it passes, in the plan's words; empty where none. */
  element: string;
  /** Length of the way, m; 0 for a field. */
  length: number;
  /** Cosines off the source's axis and off the mic's aim. */
  cosLeave: number;
  cosArrive: number;
  /** Unit vector along it as it reaches the mic, and the distance that sets its proximity, m: what the response hangs on. */
  readonly arrive: [number, number, number];
  spread: number;
  /** Energies before surfaces, screens and walls take their part, by band, as an omni would hear them. */
  readonly free: Bands;
  /** Energies at the capsule, by band, before covers, as an omni would hear them. */
  readonly energy: Bands;
  /** What the mic makes of either, D²; 1 where `energy` has it already, since several ways interfere in it. */
  readonly response: Bands;
};

export type Visit = (path: SoundPath) => void;

export const newPath = (): SoundPath => ({
  kind: 'direct',
  share: 'direct',
  row: 0,
  surface: -1,
  panel: null,
  element: '',
  length: 0,
  cosLeave: 1,
  cosArrive: 1,
  arrive: [0, 0, 0],
  spread: 0,
  free: sameInAllBands(0),
  energy: sameInAllBands(0),
  response: sameInAllBands(1),
});

/** Sets the direction in which it reaches the mic. */
export function arriveBy({ arrive }: SoundPath, x: number, y: number, z: number): void {
  arrive[0] = x;
  arrive[1] = y;
  arrive[2] = z;
}

/** Starts a way of its kind: nothing met on it yet. */
export function startPath(path: SoundPath, kind: PathKind, share: Share, length: number): void {
  path.kind = kind;
  path.share = share;
  path.row = ROWS[share];
  path.length = length;
  path.spread = length;
  path.surface = -1;
  path.panel = null;
  path.element = '';
}

/** Takes for what arrives the free energies times the factors `kept`, from `row` on. */
export function keepOf(path: SoundPath, kept: Float64Array, row = 0): void {
  const { free, energy } = path;
  for (let band = 0; band < BAND_COUNT; band++)
    energy[band] = (free[band] as number) * (kept[row + band] as number);
}

/** Takes the mic's response into the free energies, where what arrives has it already. */
export function hearFree({ free, response }: SoundPath): void {
  for (let band = 0; band < BAND_COUNT; band++) {
    free[band] = (free[band] as number) * (response[band] as number);
    response[band] = 1;
  }
}

// Microphones of the first order: `A + B·cos θ`, A + B = 1, with a null of finite depth and the proximity effect.

/** Energy response D² of a capsule by band: first order, or as measured. `nearness` is 1/r_e², which counts where it has proximity. */
export function responseAt(
  into: Bands,
  { pattern, nullFloor, proximity }: Pick<Capsule, 'pattern' | 'nullFloor' | 'proximity'>,
  cos: number,
  nearness: number,
  inverseK2: Bands,
): void {
  const near = proximity ? nearness : 0;
  if (pattern.table) {
    tableResponse(into, pattern.table, cos);
    return;
  }
  for (let band = 0; band < BAND_COUNT; band++)
    into[band] = firstOrder(
      pattern.a[band] as number,
      nullFloor[band] as number,
      cos,
      near * (inverseK2[band] as number),
    );
}
