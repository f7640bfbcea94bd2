/** Arrival times between mics: what reaches a second mic late combs with what the first one has. */
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Scene } from '../../scene/scene.ts';
import { mixOf } from '../parts/mix.ts';
import { type Arrival, AT_ONCE, arrivalAt } from './arrival.ts';
import { type Carrier, carriersOf } from './carriers.ts';
import { type Comb, combOf } from './comb.ts';
import { type OverheadRow, overheadRows } from './overheads.ts';

export type TimingOptions = {
  /** A mic counts that carries a part within so many dB of the part's own mic, both as they stand in the mix. */
  readonly reach?: number;
  /** Samples per second. */
  readonly sampleRate?: number;
};

export const USUAL_REACH = 20;
export const USUAL_RATE = 48000;

export type TimingRow = Comb & {
  readonly part: string;
  /** The source of the part that is strongest at the other mic. */
  readonly source: string;
  readonly own: string;
  readonly other: string;
  /** The source at the other mic re its own, in the mix, dB. */
  readonly level: number;
  /** How much later it reaches the other, s; negative where it comes earlier. */
  readonly late: number;
  readonly samples: number;
  /** One of the two hears it on a rear lobe, upside down. */
  readonly flipped: boolean;
  /** What brings both together: this mic delayed by so much; null where they are. */
  readonly align: { readonly mic: string; readonly by: number } | null;
};

export type Timings = {
  /** Samples per second that `samples` counts. */
  readonly sampleRate: number;
  /** Deepest ripple first. */
  readonly rows: readonly TimingRow[];
  readonly overheads: readonly OverheadRow[];
};

export function timings(scene: Scene, result: Transfer, options: TimingOptions = {}): Timings {
  const { reach = USUAL_REACH, sampleRate = USUAL_RATE } = options;
  const carriers = carriersOf(scene, result, mixOf(scene, result), reach);
  const rows = carriers.flatMap((carrier) => timingRow(scene, result, carrier, sampleRate) ?? []);
  return {
    sampleRate,
    rows: rows.sort((a, b) => b.ripple - a.ripple),
    overheads: overheadRows(scene, result, sampleRate),
  };
}

/** Null where one of the two has no direct way to the source: there is nothing to align with. */
function timingRow(scene: Scene, result: Transfer, carrier: Carrier, sampleRate: number): TimingRow | null {
  const { source, own, other } = carrier;
  const arrivals = [own, other].map(({ capsule }): Arrival | null =>
    capsule === null ? AT_ONCE : arrivalAt(result.stage, source, capsule),
  );
  const [first, second] = arrivals;
  if (!first || !second || carrier.direct === null) return null;
  const late = (second.way - first.way) / scene.air.soundSpeed;
  const flipped = first.rear !== second.rear;
  const comb = combOf(carrier.direct, late, flipped);
  const { part, name } = scene.sources[source] ?? { part: -1, name: '' };
  return {
    part: scene.parts[part]?.name ?? name,
    source: name,
    own: own.name,
    other: other.name,
    level: carrier.level,
    late,
    samples: late * sampleRate,
    flipped,
    align: comb.notches && { mic: late > 0 ? own.name : other.name, by: Math.abs(late) },
    ...comb,
  };
}
