/** Short ways to a sum give what the ways themselves add up to. Scenes are made up. */
import { expect, test } from 'vitest';
import type { Scene } from '../../src/scene/scene.ts';
import { pairEnergyFromCache, pathCache } from '../../src/transfer/incremental.ts';
import { prepareScene } from '../../src/transfer/prepared-scene.ts';
import { eachPath, PAIR_SIZE, transferOn } from '../../src/transfer/transfer.ts';
import { oneRoom, threeRooms } from '../bench/scenes.ts';

/** Every way that is visited, added up by share and band. */
function visited(scene: Scene): Float64Array {
  const prepared = prepareScene(scene);
  const energy = new Float64Array(scene.sources.length * scene.capsules.length * PAIR_SIZE);
  scene.sources.forEach((_, source) => {
    scene.capsules.forEach((_one, capsule) => {
      const from = (source * scene.capsules.length + capsule) * PAIR_SIZE;
      eachPath(prepared, source, capsule, ({ row, energy: way, response }) => {
        way.forEach((one, band) => {
          energy[from + row + band] = (energy[from + row + band] ?? 0) + one * (response[band] ?? 0);
        });
      });
    });
  });
  return energy;
}

test.each([
  ['a plain room, whose ways are summed where they are computed', oneRoom],
  ['three rooms with screens', () => threeRooms(3)],
])('the energies of %s are those of all ways visited', (_, make) => {
  const scene = make();
  expect(transferOn(prepareScene(scene)).energy).toEqual(visited(scene));
});

test('a mic heard from known ways, turned and of another pattern, is what it is computed afresh', () => {
  const scene = threeRooms(5);
  const prepared = prepareScene(scene);
  const turned = scene.capsules.map((capsule) => ({
    ...capsule,
    aim: [capsule.aim[1], -capsule.aim[0], 0] as const,
    pattern: { ...capsule.pattern, a: capsule.pattern.a.map(() => 0.25) },
    proximity: false,
  }));
  const afresh = transferOn({ ...prepared, scene: { ...scene, capsules: turned } }).energy;
  const pair = new Float64Array(PAIR_SIZE);
  turned.forEach((capsule, c) => {
    pathCache(prepared, c).forEach((ways, s) => {
      if (!ways) throw new Error('no cover and no reading here');
      pairEnergyFromCache(pair, ways, capsule, prepared);
      const from = (s * turned.length + c) * PAIR_SIZE;
      expect(pair).toEqual(afresh.subarray(from, from + PAIR_SIZE));
    });
  });
});
