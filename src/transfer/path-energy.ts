/**
 * Energy of a path from a source point to a capsule, p² = W·Q·G·E(r)/(4π)·air·D², by octave band: the one kernel of all paths,
 * and the record in which a path is handed to whoever adds or tells it.
 */
import { energyLoss } from '../acoustics/air.ts';
import { BAND_COUNT, type Bands, bands, sameInAllBands } from '../acoustics/bands.ts';
import {
  firstOrder,
  type GainGrid,
  gainAt,
  gridPlace,
  inverseWaveNumberSquared,
  spreading,
  tableResponse,
  waveRadiusSquared,
} from '../acoustics/directivity.ts';
import type { Vec3 } from '../geometry.ts';
import type { Capsule, Panel, Source, SourcePoint } from '../scene/scene.ts';
import { type Course, type Factor, factor } from './trace.ts';

/** A source point, as far as the energy of its paths depends on it. */
export type Emitter = {
  readonly at: Vec3;
  readonly axis: Vec3;
  readonly room: number;
  /** W·Q·share/(4π) by band: on-axis energy times spreading. */
  readonly strength: Bands;
  /** W·share by band, what the point gives to its room. */
  readonly power: Bands;
  readonly radius: number;
  readonly grid: GainGrid;
  /** True where the point radiates alike in all directions and bands. */
  readonly omnidirectional: boolean;
};

/** The air, as far as the energy of paths depends on it. */
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
    grid: directivity.grid,
    omnidirectional,
  }));
}

export type Between = { readonly emitter: Emitter; readonly capsule: Capsule; readonly medium: Medium };

/** A path through free air, with both factors of its energy by band: what an omni would pick up, and the mic's response D². */
export type FreePath = { -readonly [Key in keyof Course]: Course[Key] } & {
  readonly free: Bands;
  readonly response: Bands;
};

/**
 * Writes both factors of a path and its course. `leave` and `arrive` are unit vectors along the direction of travel, `spread` is the
 * distance in m that sets spreading and proximity, `length` the one travelled, which sets the loss to air.
 */
export type PathEnergy = (path: FreePath, leave: Vec3, arrive: Vec3, spread: number, length: number) => void;
/** Both ends of a path, and the free energy of any path between them. */
export type PathEnds = { readonly source: Vec3; readonly mic: Vec3; readonly pathEnergy: PathEnergy };

/** Writes both factors of a path from its course. */
export function pathEnergy(path: FreePath, { emitter, capsule, medium }: Between): void {
  const { free, spread, length, cosLeave } = path;
  const { strength, omnidirectional, grid, radius } = emitter;
  const { m } = medium;
  const { gains, steps } = grid;
  const spreadFactor = spreading(radius, spread);
  const place = omnidirectional ? 0 : gridPlace(grid, cosLeave);
  const step = Math.min(steps - 1, place | 0);
  const row = step * BAND_COUNT;
  const part = place - step;
  for (let band = 0; band < BAND_COUNT; band++)
    free[band] =
      (strength[band] as number) *
      spreadFactor *
      gainAt(gains, row + band, part) *
      Math.exp(-(m[band] as number) * length);
  responseAt(path.response, capsule, path.cosArrive, 1 / waveRadiusSquared(radius, spread), medium.inverseK2);
}

/**
 * Adds the energy of a path times the factors `kept`, from `first` on, to the energies from `at` on: what `pathEnergy` writes, in one
 * loop. Written and added in two, a room without obstacles took a sixth longer.
 */
export function addPathEnergy(
  into: Float64Array,
  at: number,
  { path, emitter, capsule, medium }: Between & { readonly path: FreePath },
  kept: Float64Array,
  first: number,
): void {
  const { spread, length, cosLeave, cosArrive } = path;
  const { strength, omnidirectional, grid, radius } = emitter;
  const { pattern, nullFloor } = capsule;
  const { a } = pattern;
  const { m, inverseK2 } = medium;
  const { gains, steps } = grid;
  const spreadFactor = spreading(radius, spread);
  const near = capsule.proximity ? 1 / waveRadiusSquared(radius, spread) : 0;
  const place = omnidirectional ? 0 : gridPlace(grid, cosLeave);
  const step = Math.min(steps - 1, place | 0);
  const row = step * BAND_COUNT;
  const part = place - step;
  for (let band = 0; band < BAND_COUNT; band++) {
    const free =
      (strength[band] as number) *
      spreadFactor *
      gainAt(gains, row + band, part) *
      Math.exp(-(m[band] as number) * length);
    const response = firstOrder(
      a[band] as number,
      nullFloor[band] as number,
      cosArrive,
      near * (inverseK2[band] as number),
    );
    into[at + band] = (into[at + band] as number) + free * (kept[first + band] as number) * response;
  }
}

/** The factors that `pathEnergy` has just multiplied. */
export function freeFactors(path: FreePath, { emitter, medium }: Between): Factor[] {
  const { grid, omnidirectional, radius } = emitter;
  const place = omnidirectional ? 0 : gridPlace(grid, path.cosLeave);
  const step = Math.min(grid.steps - 1, place | 0);
  return [
    { kind: 'strength', by: emitter.strength },
    { kind: 'spreading', by: sameInAllBands(spreading(radius, path.spread)) },
    factor('directivity', (band) => gainAt(grid.gains, step * BAND_COUNT + band, place - step)),
    factor('air', (band) => Math.exp(-(medium.m[band] as number) * path.length)),
    { kind: 'response', by: path.response.slice() },
  ];
}

/** Energy response D² of a capsule by band: first order, or as measured. `nearness` is 1/r_e², which counts where it has proximity. */
export function responseAt(
  into: Bands,
  { pattern, nullFloor, proximity }: Pick<Capsule, 'pattern' | 'nullFloor' | 'proximity'>,
  cos: number,
  nearness: number,
  inverseK2: Bands,
): void {
  const near = proximity ? nearness : 0;
  const { a, table } = pattern;
  if (table) {
    tableResponse(into, table, cos);
    return;
  }
  for (let band = 0; band < BAND_COUNT; band++)
    into[band] = firstOrder(
      a[band] as number,
      nullFloor[band] as number,
      cos,
      near * (inverseK2[band] as number),
    );
}

export type PathKind =
  | 'direct' // straight, past barriers where there are any
  | 'corner' // round the inner corners of the outline
  | 'surface' // off floor, ceiling or a wall
  | 'baffle' // off a panel
  | 'diffuse-field' // the room's diffuse field
  | 'through' // straight through a wall, door or window
  | 'opening'; // through an opening in a wall

/** How sound got there; each share has its own remedy. In the order of a pair's packed energies. */
export const SHARES = ['direct', 'reflections', 'room', 'walls'] as const;
export type Share = (typeof SHARES)[number];

/** Where each share begins in a pair's packed energies. */
export const ROWS = {
  direct: 0,
  reflections: BAND_COUNT,
  room: 2 * BAND_COUNT,
  walls: 3 * BAND_COUNT,
} as const;

/** Reused from one path to the next: copy what is to stay. Its length is 0 for a diffuse field. */
export type SoundPath = FreePath & {
  kind: PathKind;
  share: Share;
  /** Where its share begins in a pair's packed energies. */
  row: number;
  /** Which surface, as numbered in its room; −1 where none. */
  surface: number;
  panel: Panel | null;
  /** Wall, door, window or opening that it passes, in the plan's words; empty where none. */
  element: string;
  /** The partition that it is in; empty where none. */
  partition: string;
  /** Share of it before a reflection. */
  along: number;
  /** Unit vectors along it as it leaves the source and as it reaches the mic. */
  readonly leave: [number, number, number];
  readonly arrive: [number, number, number];
  /**
   * Energies at the capsule, by band, as an omni would pick them up. Where several paths interfere in them the mic's response is
   * inside, and `response` is 1.
   */
  readonly energy: Bands;
};

export type Visit = (path: SoundPath) => void;

export const newPath = (): SoundPath => ({
  kind: 'direct',
  share: 'direct',
  row: 0,
  surface: -1,
  panel: null,
  element: '',
  partition: '',
  along: 0,
  length: 0,
  spread: 0,
  cosLeave: 1,
  cosArrive: 1,
  leave: [0, 0, 0],
  arrive: [0, 0, 0],
  free: sameInAllBands(0),
  energy: sameInAllBands(0),
  response: sameInAllBands(1),
});

/** Sets what arrives to the free energies times the factors `kept`, from `row` on. */
export function keepOf({ free, energy }: SoundPath, kept: Float64Array, row = 0): void {
  for (let band = 0; band < BAND_COUNT; band++)
    energy[band] = (free[band] as number) * (kept[row + band] as number);
}

/** Moves the mic's response into the free energies, where what arrives has it already. */
export function hearFree({ free, response }: SoundPath): void {
  for (let band = 0; band < BAND_COUNT; band++) {
    free[band] = (free[band] as number) * (response[band] as number);
    response[band] = 1;
  }
}
