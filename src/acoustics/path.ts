/** One way of sound from a source point to a capsule, as it is handed from where it is computed to whoever sums or tells it. */
import type { Panel } from '../scene/scene.ts';
import { BAND_COUNT, type Bands, sameInAllBands } from './bands.ts';

export type PathKind =
  | 'direct' // straight, past screens where there are any
  | 'bent' // round the inner corners of the outline
  | 'surface' // off floor, ceiling or a wall
  | 'mirror' // off a panel
  | 'field' // the room's diffuse field
  | 'through' // straight through a wall, door or window
  | 'opening'; // through an opening in a wall

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
