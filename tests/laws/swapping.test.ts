import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { sameInAllBands } from '../../src/acoustics/bands.ts';
import type { Vec3 } from '../../src/geometry.ts';
import type { Scene } from '../../src/scene/scene.ts';
import { eachPath, energyAt, type Transfer, transfer } from '../../src/transfer/transfer.ts';
import { boxRoom, capsuleOf, partitionOf, pointSource, roomAir, sceneOf } from '../build-scene.ts';
import { boxByHand } from '../published/box-by-hand.ts';
import { sized } from '../sized.ts';
import { alphas, hall, span, spotIn, swapped } from './scenes.ts';

const RUNS = { numRuns: sized(100, 150), seed: 11, endOnFailure: true };
const BANDS = [0, 1, 2, 3, 4, 5, 6, 7];

const both = ([one, other]: readonly [Scene, Scene]): [Transfer, Transfer] => [
  transfer(one),
  transfer(other),
];
/** Energy of the diffuse field alone. */
function fieldAt({ prepared }: Transfer, band: number): number {
  let sum = 0;
  eachPath(prepared, 0, 0, ({ kind, energy, response }) => {
    if (kind === 'diffuse-field') sum += (energy[band] ?? 0) * (response[band] ?? 0);
  });
  return sum;
}

const anywhere: fc.Arbitrary<Vec3> = fc.tuple(span(-9, 9), span(-9, 9), span(0, 3));

describe('swapping an omni mic and a round point source', () => {
  test('changes nothing in the open', () => {
    fc.assert(
      fc.property(anywhere, anywhere, (from, to) => {
        const [one, other] = both(swapped(from, to));
        for (const band of BANDS) {
          expect(energyAt(one, 0, 0, band) / energyAt(other, 0, 0, band)).toBeCloseTo(1, 12);
        }
      }),
      RUNS,
    );
  });

  test('changes neither the direct sound nor the reflections in a room', () => {
    fc.assert(
      fc.property(spotIn(0), spotIn(0), alphas, (from, to, values) => {
        const [one, other] = both(swapped(from, to, { rooms: [hall(values)], room: 0 }));
        for (const share of ['direct', 'reflections'] as const) {
          for (const band of BANDS) {
            expect(energyAt(one, 0, 0, band, share) / energyAt(other, 0, 0, band, share)).toBeCloseTo(1, 12);
          }
        }
      }),
      RUNS,
    );
  });

  // The field leaves out what the source loses at the surfaces it meets first, the mic's place does not count: so the two
  // fields differ by their sources' 1 − α₁ and by nothing else. Even absorption makes these alike.
  test('changes the room’s field by the two first-hit shares alone', () => {
    fc.assert(
      fc.property(spotIn(0), spotIn(0), alphas, (from, to, values) => {
        const sides = both(swapped(from, to, { rooms: [hall(values)], room: 0 }));
        for (const band of BANDS) {
          const [a, b] = sides.map((side) => {
            const lost = side.prepared.emitters[0]?.firstSurfaceAlphas[0]?.[band] ?? 0;
            return energyAt(side, 0, 0, band, 'room') / (1 - lost);
          });
          expect((a ?? 0) / (b ?? 1)).toBeCloseTo(1, 12);
        }
      }),
      RUNS,
    );
  });

  test('changes nothing at all in a room of even absorption', () => {
    fc.assert(
      fc.property(spotIn(0), spotIn(0), span(0.01, 0.95), (from, to, alpha) => {
        const rooms = [boxRoom(7, 5, 3, { alpha })];
        const [one, other] = both(swapped(from, to, { rooms, room: 0 }));
        for (const band of BANDS) {
          expect(energyAt(one, 0, 0, band) / energyAt(other, 0, 0, band)).toBeCloseTo(1, 10);
        }
      }),
      RUNS,
    );
  });

  // Each mic picks up 1/w of the mean of its room; w as by hand of both boxes.
  test('changes the field that comes through the wall by the two rooms’ w alone', () => {
    const tau = sameInAllBands(1e-3);
    const far: fc.Arbitrary<Vec3> = spotIn(1);
    fc.assert(
      fc.property(spotIn(0), far, alphas, span(0.05, 0.9), (here, there, values, store) => {
        const rooms = [hall(values), boxRoom(4, 5, 3, { alpha: store })];
        const one = (from: Vec3, to: Vec3, [a, b]: readonly [number, number]) =>
          transfer(
            sceneOf({
              air: roomAir,
              rooms,
              partitions: [partitionOf([0, 1], 15, tau)],
              sources: [pointSource(from, { room: a })],
              capsules: [capsuleOf(to, [0, 1, 0], { room: b })],
            }),
          );
        const [out, back] = [one(here, there, [0, 1]), one(there, here, [1, 0])];
        for (const band of BANDS) {
          const mean = (side: Transfer, size: Vec3) => fieldAt(side, band) * boxByHand(size).w(band);
          expect(mean(out, [4, 5, 3]) / mean(back, [7, 5, 3])).toBeCloseTo(1, 9);
        }
      }),
      RUNS,
    );
  });
});
