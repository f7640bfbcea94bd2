/** Short ways to a sum and the record of a path, held to the paths themselves on random scenes. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { BAND_COUNT } from '../../src/acoustics/bands.ts';
import type { Scene } from '../../src/scene/scene.ts';
import { pairEnergyFromCache, pathCache } from '../../src/transfer/incremental.ts';
import { prepareScene } from '../../src/transfer/prepared-scene.ts';
import { eachPath, eachRecordedPath, PAIR_SIZE, transferOn } from '../../src/transfer/transfer.ts';
import { scene } from '../laws/scenes.ts';
import { sized } from '../sized.ts';

const RUNS = { numRuns: sized(40, 60), seed: 14, endOnFailure: true };

const pairsOf = ({ sources, capsules }: Scene): [source: number, capsule: number][] =>
  sources.flatMap((_, source) => capsules.map((_one, capsule): [number, number] => [source, capsule]));

/** Equal within 1e-12 of the larger. */
function expectSame(one: ArrayLike<number>, other: ArrayLike<number>): void {
  expect(one.length).toBe(other.length);
  for (let i = 0; i < one.length; i++) {
    const [a = 0, b = 0] = [one[i], other[i]];
    expect(Math.abs(a - b)).toBeLessThanOrEqual(1e-12 * Math.max(Math.abs(a), Math.abs(b)));
  }
}

/** As it is, and without panels: a room without obstacles is added without visiting its paths. */
const bare = scene.map((one): Scene => ({ ...one, panels: [] }));

test.each([
  ['with panels', scene],
  ['without panels', bare],
])('the energies of a scene %s are those of all paths visited', (_, scenes) => {
  fc.assert(
    fc.property(scenes, (one) => {
      const prepared = prepareScene(one);
      const { energy } = transferOn(prepared);
      pairsOf(one).forEach(([source, capsule], pair) => {
        const sum = new Float64Array(PAIR_SIZE);
        eachPath(prepared, source, capsule, ({ row, energy: arriving, response }) => {
          for (let band = 0; band < BAND_COUNT; band++)
            sum[row + band] = (sum[row + band] ?? 0) + (arriving[band] ?? 0) * (response[band] ?? 0);
        });
        expectSame(sum, energy.subarray(pair * PAIR_SIZE, (pair + 1) * PAIR_SIZE));
      });
    }),
    RUNS,
  );
});

test.each([
  ['with panels', scene],
  ['without panels', bare],
])('a mic turned in a scene %s picks up from kept paths what it does afresh', (_, scenes) => {
  fc.assert(
    fc.property(scenes, (one) => {
      const prepared = prepareScene(one);
      const turned = one.capsules.map((capsule) => ({
        ...capsule,
        aim: [-capsule.aim[1], capsule.aim[2], -capsule.aim[0]] as const,
        pattern: { ...capsule.pattern, a: capsule.pattern.a.map(() => 0.3) },
        proximity: !capsule.proximity,
      }));
      const afresh = transferOn({ ...prepared, scene: { ...one, capsules: turned } }).energy;
      const pair = new Float64Array(PAIR_SIZE);
      turned.forEach((capsule, c) => {
        pathCache(prepared, c).forEach((paths, s) => {
          if (!paths) return;
          pairEnergyFromCache(pair, paths, capsule, prepared);
          const from = (s * turned.length + c) * PAIR_SIZE;
          expectSame(pair, afresh.subarray(from, from + PAIR_SIZE));
        });
      });
    }),
    RUNS,
  );
});

test('the recorded factors of a path multiply to its energy', () => {
  const kinds = new Set<string>();
  fc.assert(
    fc.property(scene, (one) => {
      const prepared = prepareScene(one);
      for (const [source, capsule] of pairsOf(one))
        eachRecordedPath(prepared, source, capsule, ({ kind, energy, response }, { factors }) => {
          kinds.add(kind);
          const arrives = energy.map((value, band) => value * (response[band] ?? 0));
          const product = energy.map((_, band) =>
            factors.reduce((left, { by }) => left * (by[band] ?? 0), 1),
          );
          expectSame(product, arrives);
        });
    }),
    RUNS,
  );
  expect([...kinds].sort()).toEqual(['baffle', 'diffuse-field', 'direct', 'opening', 'surface', 'through']);
});

test('recording leaves the energies as they were', () => {
  fc.assert(
    fc.property(scene, (one) => {
      const prepared = prepareScene(one);
      const before = transferOn(prepared).energy;
      for (const [source, capsule] of pairsOf(one)) eachRecordedPath(prepared, source, capsule, () => {});
      expect(transferOn(prepared).energy).toEqual(before);
    }),
    RUNS,
  );
});
