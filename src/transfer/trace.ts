/** Record of one path: every factor that the kernel used, filled while the path is computed where a record is passed. */
import { BAND_COUNT, type Bands, bands } from '../acoustics/bands.ts';
import type { Place } from './combined-loss.ts';

/** Gains and losses in the order in which they stand along a path. */
export const GAIN_KINDS = [
  'strength', // sound power as it goes out on the source's axis
  'power', // all of the sound power, for a diffuse field
  'spreading',
  'directivity',
  'air',
  'surface', // floor, ceiling or wall
  'face', // what a panel's face reflects
  'size', // how much of the sound a panel of its size catches
  'corners', // bent round inner corners of the room
  'wall', // through a wall, door or window
  'opening',
  'baffles',
  'field', // what the room makes of the power
  'interior', // away from the surfaces, near which energy gathers
  'first-hit', // lost at the first surface
  'further-hits', // lost on the way to the mic, at the distance of a mean free path at the second
  'response', // microphone, toward where the sound comes from
  'random', // microphone, diffuse field
  'cover',
] as const;
export type GainKind = (typeof GAIN_KINDS)[number];
/** Energy factor by band. `reading` is what measured levels add to the plan. */
export type Factor = { readonly kind: GainKind | 'reading'; readonly by: Bands };

/** How a path leaves and arrives, as cosines off the source's axis and off the microphone's aim, and its lengths. */
export type Course = {
  readonly cosLeave: number;
  readonly cosArrive: number;
  /** Sets spreading and proximity, m. */
  readonly spread: number;
  /** Travelled, m: sets the loss to air. */
  readonly length: number;
};

export type EdgeTrace = {
  readonly side: 'left' | 'right' | 'top' | 'bottom';
  /** The straight line passes outside this side. */
  readonly clear: boolean;
  /** How much longer the path round it is than the straight line, m. */
  readonly detour: number;
  /** Energy of the edge wave over the free direct energy, by band. */
  readonly energy: Bands;
};

/** What a barrier does to a path, or to its leg before or after a reflection or wall. */
export type BarrierTrace = {
  readonly where: 'whole' | 'before' | 'after';
  /** Its place among the barriers of the room, and by how much it counts there. */
  readonly place: Place;
  readonly panels: readonly string[];
  readonly tau: Bands;
  /** Energy past the edges over the free direct energy, without transmission and directions. */
  readonly past: Bands;
  /** Energy factor of both together. */
  readonly transmitted: Bands;
  readonly edges: readonly EdgeTrace[];
};

export type PathRecord = {
  /** Null for a diffuse field. */
  course: Course | null;
  factors: Factor[];
  barriers: BarrierTrace[];
  /** Of an opening. */
  edges: readonly EdgeTrace[];
};

export const newPathRecord = (): PathRecord => ({ course: null, factors: [], barriers: [], edges: [] });

export const factor = (kind: Factor['kind'], by: (band: number) => number): Factor => ({
  kind,
  by: bands(by),
});

/**
 * Adds a barrier, or to the one recorded last one of its straight parts: of the two, by band, the one that transmits less counts; the
 * edges stay those of the first.
 */
export function recordBarrier({ barriers }: PathRecord, trace: BarrierTrace): void {
  const last = barriers.at(-1);
  if (last?.place !== trace.place || last.where !== trace.where) {
    barriers.push(trace);
    return;
  }
  for (let band = 0; band < BAND_COUNT; band++) {
    if ((trace.transmitted[band] as number) >= (last.transmitted[band] as number)) continue;
    for (const key of ['tau', 'past', 'transmitted'] as const) last[key][band] = trace[key][band] as number;
  }
}

const STRETCHES: readonly BarrierTrace['where'][] = ['before', 'whole', 'after'];

/** Puts the barriers recorded from `index` on in order along the path, and of a leg in that of the room. */
export function sortBarriers(record: PathRecord, index: number): void {
  const tail = record.barriers.splice(index);
  const order = ({ where, place }: BarrierTrace): number => 1e6 * STRETCHES.indexOf(where) + place.group;
  record.barriers.push(...tail.sort((a, b) => order(a) - order(b)));
}

/** Multiplies the factor of all barriers of a path, on whose legs they may act one after another; corners on it count by themselves. */
export function recordLosses({ factors, barriers }: PathRecord, all: Bands): void {
  if (barriers.length === 0) return;
  const corners = factors.find(({ kind }) => kind === 'corners');
  const by = all.map((one, band) => one / (corners ? (corners.by[band] as number) : 1));
  const before = factors.find(({ kind }) => kind === 'baffles');
  if (before)
    for (let band = 0; band < BAND_COUNT; band++)
      before.by[band] = (before.by[band] as number) * (by[band] as number);
  else factors.push({ kind: 'baffles', by });
}
