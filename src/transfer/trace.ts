/** Record of one path: every factor that the kernel used, filled while the path is computed where a record is passed. */
import { BAND_COUNT, type Bands, bands } from '../acoustics/bands.ts';

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
  /** Its place among the barriers of the room. */
  readonly order: number;
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
 * Adds a barrier, or one of its straight parts to the barrier that was recorded at `index`: of the two, by band, the one that
 * transmits less counts; the edges stay those of the first.
 */
export function recordBarrier({ barriers }: PathRecord, index: number, trace: BarrierTrace): void {
  const first = barriers[index];
  if (!first) {
    barriers.push(trace);
    return;
  }
  for (let band = 0; band < BAND_COUNT; band++) {
    if ((trace.transmitted[band] as number) >= (first.transmitted[band] as number)) continue;
    for (const key of ['tau', 'past', 'transmitted'] as const) first[key][band] = trace[key][band] as number;
  }
}

const STRETCHES: readonly BarrierTrace['where'][] = ['before', 'whole', 'after'];

/** Puts the barriers recorded from `index` on in order along the path, and of a leg in that of the room. */
export function sortBarriers(record: PathRecord, index: number): void {
  const tail = record.barriers.splice(index);
  const place = ({ where, order }: BarrierTrace): number => 1e6 * STRETCHES.indexOf(where) + order;
  record.barriers.push(...tail.sort((a, b) => place(a) - place(b)));
}

/** The factor of all barriers of a path on which each acts by its share alone; none where there is no barrier. */
export const barrierFactors = ({ barriers }: PathRecord): Factor[] =>
  barriers.length === 0
    ? []
    : [
        factor('baffles', (band) =>
          barriers.reduce((left, { transmitted }) => left * (transmitted[band] as number), 1),
        ),
      ];
