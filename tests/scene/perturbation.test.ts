/** What moves with what, how far, and what holds it. Places and plans are invented. */
import { describe, expect, test } from 'vitest';
import { eyringAbsorption } from '../../src/acoustics/room-acoustics.ts';
import { angleBetween, distance, subtract, type Vec3 } from '../../src/geometry.ts';
import type { Cause, Sample } from '../../src/scene/perturbation.ts';
import { perturb } from '../../src/scene/perturbation.ts';
import type { Capsule, Scene, Source } from '../../src/scene/scene.ts';
import { uniform } from '../../src/statistics.ts';
import { prepareScene } from '../../src/transfer/prepared-scene.ts';
import { sceneOf } from './resolved.ts';

/** Every roll of these causes as given, all else at rest. */
function sample(rolls: Partial<Record<Cause, number>>): Sample {
  return { draw: (cause) => rolls[cause] ?? 0, isHeld: (cause) => rolls[cause] === undefined };
}

/** Everything anyhow, from a seed. */
function anyLuck(seed: number): Sample {
  const next = uniform(seed);
  return { draw: () => next(), isHeld: () => false };
}

const HALL =
  'rooms: {hall: {size: [8, 6], height: 3, floor: wood-on-joists, ceiling: plaster, walls: plaster}}';

const source = (scene: Scene, name: string) => scene.sources.find((one) => one.name === name) as Source;
const capsule = (scene: Scene, name: string) => scene.capsules.find((one) => one.name === name) as Capsule;
const at = (scene: Scene, name: string): Vec3 => source(scene, name).points[0]?.at as Vec3;

const close = (found: Vec3, wanted: Vec3) =>
  wanted.forEach((value, i) => {
    expect(found[i]).toBeCloseTo(value, 9);
  });

const band = `
${HALL}
players:
  horn: {at: [3, 3], facing: 0, plays: tenor-horn}
  drums: {at: [6, 4], facing: 180, plays: drum-kit}
  bassist: {at: [2, 2], facing: 0, plays: cornet}
sources:
  amp: {instrument: bass-amp, at: [1, 4, 0.4], facing: 90, level: 90 dBC at 1 m, player: bassist}
mics:
  close: {for: horn, near: {distance: 30 cm}}
  apart: {for: horn, at: [3, 5, 1.2]}
  typed: {for: amp, at: [3, 4, 0.4], null-depth: 25 dB}
  bare: {for: amp, at: [3, 4.5, 0.4], null-depth: textbook}
  pair: {for: drums, at: [6, 3.6, 2], aim: drums, stereo: {spaced: 90 cm}}
`;

describe('a player', () => {
  test('half of ±10 cm off stands 5 cm further on both axes, with instrument, ears and eyes', async () => {
    const scene = await sceneOf(band);
    const moved = perturb(scene, sample({ place: 0.5 }));
    const shift = (from: Vec3): Vec3 => [from[0] + 0.05, from[1] + 0.05, from[2]];
    scene.players.forEach((player, i) => {
      for (const key of ['at', 'ears', 'eyes'] as const)
        close(moved.players[i]?.[key] as Vec3, shift(player[key]));
    });
    close(at(moved, 'horn'), shift(at(scene, 'horn')));
  });

  test('turned by the whole 20° turns his instrument about himself, and its axis', async () => {
    const scene = await sceneOf(band);
    const moved = perturb(scene, sample({ facing: 1 }));
    const [before, after] = [scene, moved].map((one) => {
      const { at: body } = one.players[0] as Scene['players'][number];
      const { axis } = source(one, 'horn').points[0] as Source['points'][number];
      return { arm: subtract(at(one, 'horn'), body), axis, facing: one.players[0]?.facing ?? 0 };
    });
    if (!before || !after) throw new Error('two scenes');
    expect(after.facing - before.facing).toBe(20);
    const flat = ([x, y]: Vec3): Vec3 => [x, y, 0];
    expect(angleBetween(flat(before.arm), flat(after.arm))).toBeCloseTo(20, 9);
    expect(distance(before.arm, [0, 0, 0])).toBeCloseTo(distance(after.arm, [0, 0, 0]), 9);
    expect(angleBetween(flat(before.axis), flat(after.axis))).toBeCloseTo(20, 9);
    // a horn up the page that turns clockwise goes to the right
    expect(after.arm[0] * before.arm[1] - after.arm[1] * before.arm[0]).toBeGreaterThan(0);
  });

  test('leaves an amplifier where it is that he plays from elsewhere', async () => {
    const scene = await sceneOf(band);
    // turned about itself, which leaves its place: his turn would swing it by metres
    close(at(perturb(scene, sample({ facing: 1 })), 'amp'), at(scene, 'amp'));
  });
});

describe('a mic', () => {
  test('far from its source is off along each axis, and stays when the player moves', async () => {
    const scene = await sceneOf(band);
    const moved = perturb(scene, sample({ place: 1 }));
    const [x, y, z] = capsule(scene, 'apart').at;
    close(capsule(moved, 'apart').at, [x + 0.1, y + 0.1, z + 0.1]);
    close(capsule(perturb(scene, sample({ facing: 1 })), 'apart').at, [x, y, z]);
  });

  test('nearer than 50 cm goes with its source, a fifth further off', async () => {
    const scene = await sceneOf(band);
    for (const one of [sample({ place: 1 }), sample({ facing: 1, place: 1 })]) {
      const moved = perturb(scene, one);
      expect(distance(capsule(moved, 'close').at, at(moved, 'horn'))).toBeCloseTo(0.36, 9);
    }
  });

  test('is aimed amiss by no more than 8°; a pair keeps its spacing and its aims', async () => {
    const scene = await sceneOf(band);
    for (let seed = 1; seed <= 50; seed++) {
      const moved = perturb(scene, anyLuck(seed));
      scene.capsules.forEach((one, i) => {
        expect(angleBetween(one.aim, moved.capsules[i]?.aim as Vec3)).toBeLessThanOrEqual(8 + 1e-9);
      });
      const [left, right] = [capsule(moved, 'pair.left'), capsule(moved, 'pair.right')];
      expect(distance(left.at, right.at)).toBeCloseTo(0.9, 9);
      expect(angleBetween(left.aim, right.aim)).toBeLessThan(1e-5);
    }
    const aimed = perturb(scene, sample({ aim: 1 }));
    expect(angleBetween(capsule(scene, 'apart').aim, capsule(aimed, 'apart').aim)).toBeCloseTo(8, 9);
  });

  test('whose null the plan gives, or calls textbook, keeps it', async () => {
    const scene = await sceneOf(band);
    const moved = perturb(scene, sample({ 'null-depth': -1 }));
    // 15 dB and 10 dB at the shallow end; 10^(−25/10) as typed
    expect(capsule(moved, 'apart').nullFloor[4]).toBeCloseTo(10 ** -1.5, 12);
    expect(capsule(moved, 'apart').nullFloor[0]).toBeCloseTo(0.1, 12);
    expect(capsule(moved, 'typed').nullFloor[4]).toBeCloseTo(10 ** -2.5, 12);
    expect(capsule(moved, 'bare').nullFloor[4]).toBe(0);
    // REE = ε² + (1 − ε²)/3 for a cardioid
    expect(capsule(moved, 'apart').ree[4]).toBeCloseTo(10 ** -1.5 + (1 - 10 ** -1.5) / 3, 12);
  });
});

describe('levels', () => {
  test('are off by 3 dB where the plan gives them, by 6 dB where the catalogue does', async () => {
    const scene = await sceneOf(band);
    const moved = perturb(scene, sample({ level: 1 }));
    const gain = (name: string) =>
      10 * Math.log10((source(moved, name).power[4] ?? 0) / (source(scene, name).power[4] ?? 1));
    expect(gain('amp')).toBeCloseTo(3, 9);
    expect(gain('horn')).toBeCloseTo(6, 9);
  });

  test('of a kit go together', async () => {
    const scene = await sceneOf(band);
    const moved = perturb(scene, anyLuck(3));
    const gains = scene.sources.flatMap(({ kit, power }, i) =>
      kit === 'drums' ? [(moved.sources[i]?.power[4] ?? 0) / (power[4] ?? 1)] : [],
    );
    expect(gains.length).toBeGreaterThan(3);
    for (const gain of gains) expect(gain).toBeCloseTo(gains[0] ?? 0, 12);
  });
});

describe('walls and screens hold what moves', () => {
  const cornered = `
${HALL}
baffles:
  screen: {from: [3, 2.5], to: [5, 2.5], height: 1.6, made-of: upholstered-baffle}
players:
  cornered: {at: [0.05, 0.05], facing: 45, plays: cornet}
  screened: {at: [4, 2], facing: 0, plays: cornet}
mics:
  at-wall: {for: cornered, at: [7.99, 3, 1.2]}
  under: {for: cornered, at: [4, 4, 2.98]}
  before: {for: cornered, at: [3.5, 2.52, 1]}
`;

  test('whatever the draw', async () => {
    const scene = await sceneOf(cornered);
    for (let seed = 1; seed <= 200; seed++) {
      const moved = perturb(scene, anyLuck(seed));
      const spots = [
        ...moved.players.flatMap(({ at: body, ears, eyes }) => [body, ears, eyes]),
        ...moved.sources.flatMap(({ points }) => points.map((point) => point.at)),
        ...moved.capsules.map((one) => one.at),
      ];
      for (const [x, y, z] of spots) {
        expect(Math.min(x, y, z, 8 - x, 6 - y, 3 - z)).toBeGreaterThanOrEqual(-1e-9);
      }
      expect(capsule(moved, 'before').at[1]).toBeGreaterThan(2.5);
      expect(at(moved, 'screened')[1]).toBeLessThan(2.5);
      expect(moved.players[1]?.ears[1]).toBeLessThan(2.5);
    }
  });

  test('and let go as far as there is room', async () => {
    const moved = perturb(await sceneOf(cornered), sample({ place: 1 }));
    // 1 cm of the 10 to the wall: a tenth of the step on every axis, to 1/4096 of it
    const [x, y, z] = capsule(moved, 'at-wall').at;
    expect(x).toBeCloseTo(8, 4);
    expect(y - 3).toBeCloseTo(0.01, 4);
    expect(z - 1.2).toBeCloseTo(0.01, 4);
  });
});

describe('the building', () => {
  const rooms = `
rooms:
  hall: {size: [8, 6], height: 3, floor: wood-on-joists, ceiling: plaster, walls: plaster, contents: {chair-wooden: 10}}
  store: {size: [3, 6], origin: [8, 0], height: 3, reverberation: 0.5}
partitions:
  wall:
    between: [hall, store]
    wall: {reduction: 40}
    doors: [{at: [8, 3], width: 1, height: 2, leaf: solid-core-sealed, state: open}]
baffles:
  screen: {from: [3, 2], to: [5, 2], height: 1.5, made-of: {reduction: 20, absorption: 0.5}}
players:
  horn: {at: [3, 4], facing: 0, plays: tenor-horn}
mics:
  mic: {for: horn, at: [4, 5, 1.2]}
`;

  test('absorbs a fifth more in all but its air and what stands open', async () => {
    const scene = await sceneOf(rooms);
    const [before, after] = [scene, perturb(scene, sample({ absorption: 1 }))].map(
      (one) => prepareScene(one).absorptions,
    );
    const hall = scene.rooms[0] as Scene['rooms'][number];
    const air = (scene.air.loss[4] ?? 0) / (10 * Math.LOG10E);
    // 2 m² of open door; 4mV of air
    const fixed = 2 + 4 * air * hall.volume;
    const plain = before?.[0]?.area[4] ?? 0;
    expect(after?.[0]?.area[4]).toBeCloseTo(fixed + 1.2 * (plain - fixed), 6);
  });

  // 0.5 s of T20 are 0.5/1.3 s for levels. Down it goes to 0.45 s, and by 2 dB more, since without finishes T20 alone may say too much.
  test.each([
    { way: 'a tenth longer', share: 1, decay: 'late', time: 0.55 / 1.3 },
    { way: 'a tenth and 2 dB shorter', share: -1, decay: 'late', time: (0.45 / 1.3) * 10 ** -0.2 },
    { way: 'a tenth shorter', share: -1, decay: 'early', time: 0.45 },
  ])('has a decay $way where it was measured $decay', async ({ share, decay, time }) => {
    const scene = await sceneOf(
      rooms.replace('reverberation: 0.5', `reverberation: {500: 0.5, decay: ${decay}}`),
    );
    const moved = perturb(scene, sample({ absorption: share }));
    const { volume } = scene.rooms[1] as Scene['rooms'][number];
    const surface = 2 * 18 + 2 * 9 + 2 * 18;
    const wanted = surface * eyringAbsorption(volume, surface, time, scene.air.soundSpeed);
    expect(prepareScene(moved).absorptions[1]?.area[4]).toBeCloseTo(wanted, 6);
  });

  test('lets 3 dB more through walls and screens, not through what stands open', async () => {
    const scene = await sceneOf(rooms);
    const moved = perturb(scene, sample({ panel: -1 }));
    expect(moved.panels[0]?.tau[4]).toBeCloseTo(10 ** -1.7, 12);
    const [wall] = moved.partitions;
    expect(wall?.wall[4]).toBeCloseTo(10 ** -3.7, 12);
    expect(wall?.elements[0]?.tau[4]).toBe(1);
    // 2 m² of 18 m² open
    expect(wall?.tau[4]).toBeCloseTo((2 + 16 * 10 ** -3.7) / 18, 12);
  });
});
