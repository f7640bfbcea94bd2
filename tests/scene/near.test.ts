/**
 * Microphones near their sources. The cornet of a player at (5, 5) who looks right (90°) speaks at (5.45, 5, 1.05), from its
 * place [0, 0.45, 1.05], along bearing 90°, tilt −10°. On the axis in space: distance·(cos −10° sin β, cos −10° cos β, sin −10°);
 * with a height: the rise, and √(distance² − rise²) along the bearing.
 */
import { describe, expect, test } from 'vitest';
import { distance } from '../../src/geometry.ts';
import { expectVector, faultsOf, resolved, sceneOf } from './resolved.ts';

type Three = readonly [number, number, number];

const CORNET = 'players: {eva: {at: [5, 5], facing: 90, plays: cornet}}\n';
const capsule = async (plan: string) => (await sceneOf(plan)).capsules[0];

describe('by the cornet', () => {
  test.each<readonly [string, Three, string]>([
    ['{distance: 50 cm}', [5.9424, 5, 0.96318], '0.5·(cos 10°, 0, −sin 10°)'],
    ['{distance: 50 cm, angle: 30}', [5.87643, 4.7538, 0.96318], 'bearing 120°: 0.4924·(0.86603, −0.5)'],
    ['{distance: 50 cm, angle: 30, side: left}', [5.87643, 5.2462, 0.96318], 'bearing 60°'],
    ['{distance: 80 cm, angle: 180}', [4.66215, 5, 0.91108], 'bearing 270°, at the elevation of the axis'],
    ['{distance: 50 cm, height: 1.2}', [5.92697, 5, 1.2], 'rise 0.15, √(0.25 − 0.0225) = 0.47697'],
    ['{distance: 50 cm, above: 30 cm}', [5.85, 5, 1.35], '3, 4, 5'],
    ['{distance: 50 cm, below: 30 cm}', [5.85, 5, 0.75], '3, 4, 5'],
    ['{distance: 50 cm, above: 50 cm}', [5.45, 5, 1.55], 'straight over it'],
    ['{distance: 50 cm, above: 0 m}', [5.95, 5, 1.05], 'level, however the axis is tilted'],
    ['{distance: 50 cm, above: 30 cm, angle: 90, side: left}', [5.45, 5.4, 1.35], 'bearing 0°'],
    [
      '{distance: 50 cm, above: 30 cm, angle: 90}',
      [5.45, 4.6, 1.35],
      'bearing 180°, right of one who looks right',
    ],
  ])('%s: %j (%s)', async (near, at) => {
    const mic = await capsule(`${CORNET}mics: {m: {for: eva, near: ${near}}}`);
    const away = Number(/distance: (\d+) cm/.exec(near)?.[1]) / 100;
    expectVector(mic?.at, at);
    expect(distance(mic?.at ?? [0, 0, 0], [5.45, 5, 1.05])).toBeCloseTo(away, 9);
    // and looks back at the acoustic centre
    // the worked places stand to 1e-5, which half a metre makes 2e-5
    [5.45, 5, 1.05].forEach((centre, i) => {
      expect(mic?.aim[i]).toBeCloseTo((centre - (at[i] ?? 0)) / away, 4);
    });
  });

  test('it goes with its player', async () => {
    const moved = CORNET.replace('[5, 5], facing: 90', '[2, 3], facing: 0, riser: 0.5');
    // (2, 3.45, 1.55), bearing 0°
    expectVector(
      (await capsule(`${moved}mics: {m: {for: eva, near: {distance: 50 cm}}}`))?.at,
      [2, 3.9424, 1.46318],
    );
  });

  test('a height that is further off than the distance is refused, with what to change', async () => {
    const faults = await faultsOf(`${CORNET}mics: {m: {for: eva, near: {distance: 50 cm, height: 2}}}`);
    expect(faults).toEqual([
      'mics.m.near: 0.95 m above the source is more than the distance, 0.50 m (increase `distance` (a straight line from the acoustic centre) or reduce the height)',
    ]);
  });

  test('a height counts from the floor of the room', async () => {
    const mic =
      await capsule(`rooms: {pit: {size: [9, 9], height: 4, floor-level: -2, reverberation: {500: 0.5}}}
${CORNET}mics: {m: {for: eva, near: {distance: 50 cm, height: 1.2}}}`);
    expectVector(mic?.at, [5.92697, 5, -0.8]);
  });

  test.each([
    { near: '{distance: 4 m, above: 3 m}', says: /this mic is 4\.05 m above the floor/ },
    { near: '{distance: 2 m, below: 1.5 m}', says: /this mic is -0\.45 m above the floor/ },
    { near: '{distance: 6 m}', says: /outside every room/ },
  ])('$near leads out of the room and is refused', async ({ near, says }) => {
    const room = 'rooms: {hall: {size: [9, 9], height: 3, reverberation: {500: 0.5}}}\n';
    const faults = await faultsOf(`${room}${CORNET}mics: {m: {for: eva, near: ${near}}}`);
    expect(faults).toEqual([expect.stringMatching(says)]);
  });
});

describe('axes that are no bearing', () => {
  // tuba at (2, 3) facing 45°: centre (2.24749, 3.03536, 1.3), axis 45°/75°
  const TUBA = 'players: {ute: {at: [2, 3], facing: 45, plays: tuba}}\n';

  test('without a height a bell that looks up has the microphone above it, on its axis', async () => {
    // 0.4·(0.18301, 0.18301, 0.96593)
    const mic = await capsule(`${TUBA}mics: {m: {for: ute, near: {distance: 40 cm}}}`);
    expectVector(mic?.at, [2.32069, 3.10856, 1.68637]);
  });

  test('with a height, an axis steeper than 60° takes the facing of the player', async () => {
    // tom-1 at (6.1, 4.3, 0.88) leans back to the drummer: 0°/65° in the room, who looks down the page. 6, 8, 10 cm.
    const mic = await capsule(`players: {max: {at: [6, 5], facing: 180, plays: drum-kit}}
mics: {m: {for: max.tom-1, near: {distance: 10 cm, above: 6 cm}}}`);
    expectVector(mic?.at, [6.1, 4.22, 0.94]);
  });

  test('one of 50° still has a bearing of its own', async () => {
    // violin at (10.25, 5.15, 1.2), axis 150°/50°: 0.4·(sin 150°, cos 150°)
    const mic = await capsule(`players: {vio: {at: [10, 5], facing: 90, plays: violin}}
mics: {m: {for: vio, near: {distance: 50 cm, above: 30 cm}}}`);
    expectVector(mic?.at, [10.45, 4.80359, 1.5]);
  });

  test('near a whole kit is near the middle of its pieces, toward where the drummer looks', async () => {
    // means of seven: right 0.1/7, ahead 4.25/7, up 5.73/7; 0.6 up and 0.8 along of 1 m
    const mic = await capsule(`players: {max: {at: [6, 5], facing: 180, plays: drum-kit}}
mics: {m: {for: max, near: {distance: 1, above: 60 cm}}}`);
    expectVector(mic?.at, [6 - 0.1 / 7, 5 - 4.25 / 7 - 0.8, 5.73 / 7 + 0.6]);
  });
});

describe('typed places and aims', () => {
  const TWO = `${CORNET}sources: {amp: {instrument: bass-amp, at: [5, 9], facing: 180}}
baffles: {wall: {from: [8, 4], to: [8, 6], height: 1.5, made-of: upholstered-baffle}}
`;

  test('without a height a microphone stands as high as its first source', async () => {
    const { scene, assumptions } = await resolved(`${TWO}mics: {m: {for: [amp, eva], at: [5, 8]}}`);
    expectVector(scene?.capsules[0]?.at, [5, 8, 0.4]);
    expectVector(scene?.capsules[0]?.aim, [0, 1, 0]);
    expect(assumptions.map(({ text }) => text)).toContain('at the height of amp');
  });

  test.each<readonly [string, Three, string]>([
    ['eva', [0.6, 0, -0.8], 'her cornet, (5.45, 5, 1.05), from (4.85, 5, 1.85)'],
    ['amp', [0.03523, 0.93955, -0.34059], '(5, 9, 0.4): (0.15, 4, −1.45) over 4.25735'],
    ['wall', [1, 0, 0], 'the middle of the baffle, (8, 5), at its own height'],
    ['210', [-0.5, -0.86603, 0], 'sin 210°, cos 210°'],
    ['{bearing: 210, tilt: 60}', [-0.25, -0.43301, 0.86603], 'cos 60°·(sin 210°, cos 210°), sin 60°'],
    ['{bearing: 0, tilt: -90}', [0, 0, -1], 'straight down'],
  ])('aim: %s is %j: %s', async (aim, expected) => {
    const mic = await capsule(`${TWO}mics: {m: {for: eva, at: [4.85, 5, 1.85], aim: ${aim}}}`);
    expectVector(mic?.aim, expected);
  });

  test('one for everyone stands as high as the first, and looks at the middle of all, which is printed as a guess', async () => {
    const { scene, assumptions } = await resolved(`${TWO}mics: {m: {for: all, at: [2, 7]}}`);
    expectVector(scene?.capsules[0]?.at, [2, 7, 1.05]);
    // middle of (5.45, 5, 1.05) and (5, 9, 0.4): (5.225, 7, 0.725); from there (3.225, 0, −0.325) over 3.24133
    expectVector(scene?.capsules[0]?.aim, [0.99496, 0, -0.10027]);
    expect(assumptions).toContainEqual({
      path: ['mics', 'm'],
      kind: 'assumed',
      text: 'aimed at the middle of all its sources',
    });
  });

  test.each([
    { mic: '{for: eva, at: [5.45, 5, 1.05]}', says: /at the acoustic centre of its source/ },
    { mic: '{for: eva, at: [2, 2], aim: eve}', says: /mics\.m\.aim.*"eve".*"eva"/ },
    { mic: '{for: [eva, amp], at: [5.45, 5, 1.05], aim: 0}', says: /at the acoustic centre of its source/ },
  ])('$mic is refused', async ({ mic, says }) => {
    expect(await faultsOf(`${TWO}mics: {m: ${mic}}`)).toEqual([expect.stringMatching(says)]);
  });
});
