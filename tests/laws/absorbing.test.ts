import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { sameInAllBands } from '../../src/acoustics/bands.ts';
import { OUTSIDE, type Room, type Scene } from '../../src/scene/scene.ts';
import { fieldPerPower, roomAbsorption } from '../../src/transfer/diffuse-field.ts';
import { energyAt, transfer } from '../../src/transfer/transfer.ts';
import { boxRoom, partitionOf, roomAir } from '../build-scene.ts';
import { sized } from '../sized.ts';
import { alphas, hall, scene, span } from './scenes.ts';

const RUNS = { numRuns: sized(40, 80), seed: 13, endOnFailure: true };
const BANDS = [0, 1, 2, 3, 4, 5, 6, 7];

/** Largest rise in dB of any diffuse level of a scene when its first room becomes another. */
function rise(one: Scene, room: Room): number {
  const [before, after] = [transfer(one), transfer({ ...one, rooms: [room, ...one.rooms.slice(1)] })];
  let most = Number.NEGATIVE_INFINITY;
  one.sources.forEach((source, s) => {
    one.capsules.forEach((capsule, c) => {
      const share = source.points[0]?.room === capsule.room ? 'room' : 'walls';
      for (const band of BANDS) {
        const [x, y] = [before, after].map((side) => energyAt(side, s, c, band, share));
        most = Math.max(most, 10 * Math.log10((y ?? 0) / (x ?? 1)));
      }
    });
  });
  return most;
}

const first = (one: Scene): Room => one.rooms[0] as Room;

describe('more absorption', () => {
  test('on any surface never raises a field', () => {
    fc.assert(
      fc.property(scene, fc.integer({ min: 0, max: 5 }), span(0, 1), (one, which, more) => {
        const surfaces = first(one).surfaces.map((surface, i) =>
          i === which ? { ...surface, alpha: surface.alpha.map((a) => a + more * (1 - a)) } : surface,
        );
        expect(rise(one, { ...first(one), surfaces })).toBeLessThanOrEqual(1e-9);
      }),
      RUNS,
    );
  });

  test.each(['contents', 'people', 'added'] as const)('of %s never raises a field', (what) => {
    fc.assert(
      fc.property(scene, span(0, 30), (one, area) => {
        expect(rise(one, { ...first(one), [what]: sameInAllBands(area) })).toBeLessThanOrEqual(1e-9);
      }),
      RUNS,
    );
  });

  test.each(['people', 'added'] as const)(
    'of %s never raises the field of a room that was measured empty',
    (what) => {
      fc.assert(
        fc.property(scene, span(0.2, 2), span(0, 30), fc.boolean(), (one, seconds, area, early) => {
          const measured = {
            times: sameInAllBands(seconds),
            earlyBands: Array(8).fill(early),
            setUp: false,
            named: true,
          };
          const before = { ...one, rooms: [{ ...first(one), measured }, ...one.rooms.slice(1)] };
          const room = { ...first(before), [what]: sameInAllBands(area) };
          expect(rise(before, room)).toBeLessThanOrEqual(1e-9);
        }),
        RUNS,
      );
    },
  );

  test('makes every decay shorter and every mean larger, up to 0.99', () => {
    fc.assert(
      fc.property(alphas, span(0, 200), (values, area) => {
        const [bare, full] = [0, area].map((added) =>
          roomAbsorption(hall(values, { added: sameInAllBands(added) }), roomAir),
        );
        for (const band of BANDS) {
          expect(full?.area[band]).toBeGreaterThan(bare?.area[band] ?? 0);
          expect(full?.mean[band]).toBeGreaterThanOrEqual(bare?.mean[band] ?? 1);
          expect(full?.mean[band]).toBeLessThanOrEqual(0.99);
        }
      }),
      RUNS,
    );
  });
});

describe('a measured time', () => {
  test('is met by the scaled finishes wherever they can, and no coefficient passes 0.99', () => {
    fc.assert(
      fc.property(alphas, span(0.15, 4), (values, seconds) => {
        const measured = {
          times: sameInAllBands(seconds),
          earlyBands: Array(8).fill(true),
          setUp: true,
          named: true,
        };
        const room = hall(values, { measured });
        const { mean, surface, surfaces } = roomAbsorption(room, roomAir);
        for (const band of BANDS) {
          const alpha = room.surfaces.map((_, i) => surfaces[i * 8 + band] ?? 1);
          const sum = room.surfaces.reduce((all, s, i) => all + s.area * (alpha[i] ?? 0), 0);
          expect(sum / surface).toBeCloseTo(mean[band] ?? 0, 6);
          expect(Math.max(...alpha)).toBeLessThanOrEqual(0.99);
        }
      }),
      RUNS,
    );
  });
});

describe('the power balance of any rooms in a row', () => {
  const rooms = fc.array(fc.record({ alpha: span(0.01, 0.9), x: span(2, 12), y: span(2, 9) }), {
    minLength: 1,
    maxLength: 6,
  });
  const walls = fc.array(fc.record({ area: span(1, 20), tau: span(0, 1) }), { minLength: 6, maxLength: 6 });

  test('keeps energy to 1e-9: what the rooms absorb and the open air takes is what the source gives', () => {
    fc.assert(
      fc.property(rooms, walls, (sizes, between) => {
        const absorptions = sizes.map(({ alpha, x, y }) =>
          roomAbsorption(boxRoom(x, y, 3, { alpha }), roomAir),
        );
        const count = absorptions.length;
        const partitions = between
          .slice(0, count)
          .map(({ area, tau }, i) =>
            partitionOf([i, i + 1 < count ? i + 1 : OUTSIDE], area, sameInAllBands(tau)),
          );
        const fields = fieldPerPower(absorptions, partitions);
        const last = between[count - 1];
        const outside = (last?.area ?? 0) * (last?.tau ?? 0);
        for (let from = 0; from < count; from++) {
          const x = absorptions.map((_, room) => fields[4 * count * count + room * count + from] ?? 0);
          const absorbed = absorptions.reduce(
            (sum, a, i) => sum + (x[i] ?? 0) * (a.areaWithinWalls[4] ?? 0),
            0,
          );
          expect(Math.abs(absorbed + (x[count - 1] ?? 0) * outside - 1)).toBeLessThan(1e-9);
        }
      }),
      { ...RUNS, numRuns: sized(100, 200) },
    );
  });
});
