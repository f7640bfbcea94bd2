/**
 * Where instruments speak, and whither, worked by hand from the catalogue's places. A body at (x, y) that faces bearing φ has
 * ahead = (sin φ, cos φ) and right = (cos φ, −sin φ): a place [right, ahead, up] is body + right·(…) + ahead·(…).
 * An axis of bearing β and tilt t is (cos t sin(φ+β), cos t cos(φ+β), sin t).
 */
import { describe, expect, test } from 'vitest';
import { expectVector, faultsOf, resolved, sceneOf, sourceNamed } from './resolved.ts';

type Case = {
  what: string;
  player: string;
  at: readonly [number, number, number];
  axis: readonly [number, number, number];
  working: string;
};

describe('a player in the open', () => {
  test.each<Case>([
    {
      what: 'a violin, seated, facing right',
      player: '{at: [10, 5], facing: 90, plays: violin}',
      at: [10.25, 5.15, 1.2],
      axis: [0.32139, -0.55667, 0.76604],
      working:
        '[-0.15, 0.25, 1.2]: ahead +x, right −y; axis 60°/50° at bearing 150: 0.64279·(0.5, −0.86603), sin 50°',
    },
    {
      what: 'a violin, standing on a riser of 20 cm',
      player: '{at: [10, 5], facing: 90, standing: true, riser: 20 cm, plays: violin}',
      at: [10.25, 5.15, 1.75],
      axis: [0.32139, -0.55667, 0.76604],
      working: 'standing 1.55 + 0.2',
    },
    {
      what: 'a double bass, facing down the page',
      player: '{at: [3, 8], facing: 180, plays: double-bass}',
      at: [2.9, 7.65, 0.75],
      axis: [-0.17365, -0.98481, 0],
      working: '[0.1, 0.35, 0.75]: ahead −y, right −x; axis 10°/0° at bearing 190: (sin 190°, cos 190°)',
    },
    {
      what: 'a grand piano, facing up the page',
      player: '{at: [4, 4], facing: 0, plays: grand-piano}',
      at: [4.15, 5.2, 0.95],
      axis: [0.93969, 0, 0.34202],
      working: "[0.15, 1.2, 0.95]; axis 90°/20°: to the pianist's right, cos 20°, sin 20°",
    },
    {
      what: 'a horn, facing left',
      player: '{at: [6, 6], facing: 270, plays: horn}',
      at: [6.05, 6.25, 0.75],
      axis: [0.85287, 0.4924, -0.17365],
      working:
        '[0.25, −0.05, 0.75]: ahead −x, right +y; axis 150°/−10° at bearing 420 = 60: backward, cos 10°·(0.86603, 0.5)',
    },
    {
      what: 'a tuba, facing 45°',
      player: '{at: [2, 3], facing: 45, plays: tuba}',
      at: [2.24749, 3.03536, 1.3],
      axis: [0.18301, 0.18301, 0.96593],
      working:
        '[0.15, 0.2, 1.3]: x 2 + (0.15 + 0.2)·0.70711, y 3 + (0.2 − 0.15)·0.70711; axis 0°/75°: cos 75°·0.70711, sin 75°',
    },
    {
      what: 'an accordion, facing 300°',
      player: '{at: [8, 2], facing: 300, plays: accordion}',
      at: [7.74019, 2.15, 0.85],
      axis: [-0.64279, 0.76604, 0],
      working: '[0, 0.3, 0.85]: 0.3·(sin 300°, cos 300°) = (−0.25981, 0.15); axis 20°/0° at bearing 320',
    },
    {
      what: 'an accordion in left hands is no other accordion',
      player: '{at: [8, 2], facing: 300, hands: left, plays: accordion}',
      at: [7.74019, 2.15, 0.85],
      axis: [-0.64279, 0.76604, 0],
      working: 'the catalogue says mirrors: false',
    },
  ])('$what: $working', async ({ player, at, axis }) => {
    const { sources } = await sceneOf(`players: {anna: ${player}}`);
    expect(sources).toHaveLength(1);
    expectVector(sources[0]?.points[0]?.at, at);
    expectVector(sources[0]?.points[0]?.axis, axis);
  });

  test("a double-bass player's ears are 20 cm higher than those on a chair", async () => {
    const { players } = await sceneOf(`players:
  bass: {at: [3, 8], facing: 180, plays: double-bass}
  cello: {at: [5, 8], facing: 180, plays: cello}`);
    expectVector(players[0]?.ears, [3, 8, 1.4]);
    expectVector(players[1]?.ears, [5, 8, 1.2]);
    // eyes [0, 0.1, 1.22], facing down the page: 10 cm nearer to us
    expectVector(players[1]?.eyes, [5, 7.9, 1.22]);
  });
});

describe('a singer who plays the guitar', () => {
  const singer = (more = '') => `players:
  ada:
    at: [5, 5]
    facing: 90
    standing: true
    ${more}
    plays:
      voice: {instrument: singing-voice}
      guitar: {instrument: steel-string-guitar}`;

  test('stands with the voice 10 cm ahead at 1.5 m, the guitar 25 cm ahead and to the right at 1.1 m', async () => {
    const scene = await sceneOf(singer());
    // voice [0, 0.1, 1.5], axis 0°/−5°; guitar [0.1, 0.25, 1.1], axis 0°/10°; ahead +x, right −y
    expectVector(sourceNamed(scene, 'voice').points[0]?.at, [5.1, 5, 1.5]);
    expectVector(sourceNamed(scene, 'voice').points[0]?.axis, [0.99619, 0, -0.08716]);
    expectVector(sourceNamed(scene, 'guitar').points[0]?.at, [5.25, 4.9, 1.1]);
    expectVector(sourceNamed(scene, 'guitar').points[0]?.axis, [0.98481, 0, 0.17365]);
  });

  test('has the guitar to the left where left-handed', async () => {
    const scene = await sceneOf(singer('hands: left'));
    expectVector(sourceNamed(scene, 'voice').points[0]?.at, [5.1, 5, 1.5]);
    expectVector(sourceNamed(scene, 'guitar').points[0]?.at, [5.25, 5.1, 1.1]);
  });

  test('can lay the guitar aside: its own place and bearing, at the height of its hands', async () => {
    const { scene, assumptions } = await resolved(
      singer().replace(
        'instrument: steel-string-guitar',
        'instrument: steel-string-guitar, at: [7, 6], facing: 180, tilt: 30',
      ),
    );
    const point = scene?.sources[1]?.points[0];
    expectVector(point?.at, [7, 6, 1.1]);
    expectVector(point?.axis, [0, -0.86603, 0.5]); // cos 30°, sin 30° down the page
    expect(assumptions.map(({ text }) => text)).toContain('guitar at the height its player holds it');
  });

  test('an instrument in `plays` can face a name as well as a bearing', async () => {
    const scene =
      await sceneOf(`${singer().replace('steel-string-guitar', 'steel-string-guitar, facing: bob')}
  bob: {at: [5.25, 9], facing: 180, plays: cello}`);
    // guitar at (5.25, 4.9): bob stands straight up the page of it; tilt 10° stays
    expectVector(sourceNamed(scene, 'guitar').points[0]?.axis, [0, 0.98481, 0.17365]);
  });
});

describe('standing sources', () => {
  test('take the height of their instrument, and the place as it is typed', async () => {
    const scene = await sceneOf(`sources:
  amp: {instrument: bass-amp, at: [1, 2], facing: 30}
  wedge: {instrument: monitor-wedge, at: [3, 2, 0.1], facing: amp}`);
    expectVector(sourceNamed(scene, 'amp').points[0]?.at, [1, 2, 0.4]);
    expectVector(sourceNamed(scene, 'amp').points[0]?.axis, [0.5, 0.86603, 0]);
    expectVector(sourceNamed(scene, 'wedge').points[0]?.at, [3, 2, 0.1]);
    expectVector(sourceNamed(scene, 'wedge').points[0]?.axis, [-0.76604, 0, 0.64279]); // tilt 40°
  });

  test('a flat spectrum may be written as 0', async () => {
    const { sources } = await sceneOf(
      'sources: {hum: {spectrum: 0, level: 60 dB at 1 m, at: [1, 2, 1], facing: 0}}',
    );
    expect(sources[0]?.power.every((w) => w > 0)).toBe(true);
  });

  test('every height counts from the floor of the room', async () => {
    const scene =
      await sceneOf(`rooms: {pit: {size: [8, 8], height: 4, floor-level: -1.5, reverberation: {500: 0.5}}}
players: {cello: {at: [4, 4], facing: 0, plays: cello}}
sources: {amp: {instrument: bass-amp, at: [1, 2, 0.6], facing: 45}}
mics: {m: {for: cello, at: [4, 6, 1]}}`);
    expectVector(sourceNamed(scene, 'cello').points[0]?.at, [4, 4.35, -0.9]); // [0, 0.35, 0.6]
    expectVector(sourceNamed(scene, 'amp').points[0]?.at, [1, 2, -0.9]);
    expectVector(scene.capsules[0]?.at, [4, 6, -0.5]);
  });
});

describe('what cannot be is refused', () => {
  test('once: a microphone, an aim or a limit that names the faulty source adds nothing', async () => {
    const faults = await faultsOf(`players:
  vio: {at: [2, 2], facing: 0, plays: violn}
  cel: {at: [4, 2], facing: vio, plays: cello}
mics:
  a: {for: vio, near: {distance: 50 cm}}
  b: {for: cel, near: {distance: 50 cm}, null-at: vio}
limits: {hear: {cel: [vio]}}`);
    expect(faults).toEqual([expect.stringContaining('players.vio.plays')]);
  });

  test.each([
    {
      plan: 'players: {a: {at: [2, 2], facing: 0, plays: violn}}',
      says: /players\.a\.plays.*"violn".*"violin"/,
    },
    {
      plan: 'players: {a: {at: [2, 2], facing: 0, plays: violin, playing: pluckd}}',
      says: /players\.a\.playing.*plucked/,
    },
    { plan: 'players: {a: {at: [2, 2], facing: bob, plays: violin}}', says: /players\.a\.facing.*"bob"/ },
    {
      plan: 'players: {a: {at: [2, 2], facing: a, plays: violin}}',
      says: /players\.a\.facing.*cannot face it/,
    },
    {
      plan: 'players: {a: {at: [2, 2], facing: 0, plays: violin}, b: {at: [2, 2], facing: 0, plays: cello}}',
      says: /players\.b\.at.*0 cm from a: their bodies overlap/,
    },
    {
      plan: `rooms: {hall: {size: [4, 4], height: 3, reverberation: {500: 0.5}}}
players: {a: {at: [2, 3.5], facing: 0, plays: grand-piano}}`,
      says: /players\.a:.*through a wall/,
    },
  ])('$plan', async ({ plan, says }) => {
    const faults = await faultsOf(plan);
    expect(faults).toHaveLength(1);
    expect(faults[0]).toMatch(says);
  });
});

describe('power of the plan', () => {
  const powerOf = async (keys: string) => {
    const { scene } = await resolved(`sources: {one: {at: [2, 2, 1], facing: 0, ${keys}}}`);
    return [...(scene?.sources[0]?.power ?? [])].map((power) => Number((10 * Math.log10(power)).toFixed(2)));
  };
  const NONE = Number.NEGATIVE_INFINITY;

  test('by octave is taken as it is, silent where it says nothing, as a spectrum is', async () => {
    expect(await powerOf('power: {1000: 90}')).toEqual([NONE, NONE, NONE, NONE, 90, NONE, NONE, NONE]);
  });

  // 90 − 10·lg 8 = 80.97 in each of eight octaves; of two octaves 10 dB apart 10/11 and 1/11: 89.59 and 79.59
  test('as one number is that of all octaves together, shared as the spectrum says', async () => {
    expect(await powerOf('power: 90')).toEqual(Array(8).fill(80.97));
    expect(await powerOf('power: 90, spectrum: {500: 0, 1000: -10}, directivity: {Q: 1}')).toEqual([
      ...[NONE, NONE, NONE, 89.59, 79.59, NONE, NONE, NONE],
    ]);
  });
});
