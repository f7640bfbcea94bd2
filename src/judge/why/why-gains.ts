/** Gains and losses along a way, as energy factors by band, in the order in which they act. */
import { readAngleTable } from '../../acoustics/angle-table.ts';
import { type Bands, bands, sameInAllBands } from '../../acoustics/bands.ts';
import { gain } from '../../acoustics/directivity.ts';
import { spreading, waveRadiusSquared } from '../../acoustics/extent.ts';
import type { Link } from '../../acoustics/link.ts';
import { firstOrder } from '../../acoustics/pattern.ts';

/** In the order in which they stand along a way. */
export const GAIN_KINDS = [
  'strength', // sound power as it goes out on the source's axis
  'power', // all of the sound power, for a field
  'spreading',
  'directivity',
  'air',
  'surface', // floor, ceiling or wall
  'face', // what a panel's face throws back
  'size', // how much of the sound a panel of its size catches
  'corners', // bent round inner corners of the room
  'wall', // through a wall, door or window
  'opening',
  'screens',
  'field', // what the room makes of the power
  'first-hit', // lost at the first surface
  'further-hits', // lost at the second
  'response', // microphone, toward where the sound comes from
  'random', // microphone, all round
  'cover',
] as const;
export type GainKind = (typeof GAIN_KINDS)[number];

export type Factor = { readonly kind: GainKind; readonly by: Bands };

/** What a line leaves and arrives by: cosines off the axis and off the aim, and the lengths that count. */
export type Course = {
  readonly cosLeave: number;
  readonly cosArrive: number;
  /** Sets spreading and proximity, m. */
  readonly spread: number;
  /** Sets the air's loss, m. */
  readonly travelled: number;
};

/** `p² = W·Q·G·E(r)/(4π)·air·D²`, factor by factor. */
export function freeFactors({ emitter, capsule, medium }: Link, course: Course): Factor[] {
  const { cosLeave, cosArrive, spread, travelled } = course;
  const { table, a } = capsule.pattern;
  const near = capsule.proximity ? 1 / waveRadiusSquared(emitter.radius, spread) : 0;
  const at = (values: Bands, band: number): number => values[band] as number;
  return [
    { kind: 'strength', by: emitter.strength },
    { kind: 'spreading', by: sameInAllBands(spreading(emitter.radius, spread)) },
    { kind: 'directivity', by: bands((band) => gain(emitter.directivity, band, cosLeave)) },
    { kind: 'air', by: bands((band) => Math.exp(-at(medium.m, band) * travelled)) },
    {
      kind: 'response',
      by: bands((band) =>
        table
          ? readAngleTable(table, band, cosArrive)
          : firstOrder(
              at(a, band),
              at(capsule.nullFloor, band),
              cosArrive,
              near * at(medium.inverseK2, band),
            ),
      ),
    },
  ];
}

export const factor = (kind: GainKind, by: (band: number) => number): Factor => ({ kind, by: bands(by) });

export const inOrder = (factors: readonly Factor[]): Factor[] =>
  [...factors].sort((a, b) => GAIN_KINDS.indexOf(a.kind) - GAIN_KINDS.indexOf(b.kind));
