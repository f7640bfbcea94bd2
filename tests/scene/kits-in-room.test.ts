/**
 * A kit as its pieces. Places of the catalogue's drum-kit for a drummer at (6, 5) who looks down the page (180°): ahead is −y,
 * right is −x, so that a place [right, ahead, up] stands at (6 − right, 5 − ahead, up).
 */
import { describe, expect, test } from 'vitest';
import { spreading } from '../../src/acoustics/directivity.ts';
import { readPlan } from '../../src/plan/plan.ts';
import { resolve } from '../../src/scene/resolve.ts';
import type { Scene } from '../../src/scene/scene.ts';
import { catalogue, expectVector, faultsOf, sceneOf, sourceNamed, sourceNames } from './resolved.ts';

const drummer = (more = '') => `players:
  max: {at: [6, 5], facing: 180, plays: drum-kit${more}}
`;

// bearing 180° in the drummer's axes is 0° in the room: toms and cymbals lean back to him
const UP = [0, 0, 1] as const;
const RIGHT_HANDED = [
  ['kick', [5.85, 4.2, 0.28], [0, -1, 0], '[0.15, 0.8, 0.28]'],
  ['snare', [6.1, 4.6, 0.7], UP, '[-0.1, 0.4, 0.7]'],
  ['hi-hat', [6.5, 4.55, 0.9], UP, '[-0.5, 0.45, 0.9]'],
  ['tom-1', [6.1, 4.3, 0.88], [0, 0.42262, 0.90631], '[-0.1, 0.7, 0.88], 180°/65°: cos 65°, sin 65°'],
  ['tom-2', [5.5, 4.65, 0.62], UP, '[0.5, 0.35, 0.62]'],
  ['ride', [5.45, 4.3, 1.05], [0, 0.17365, 0.98481], '[0.55, 0.7, 1.05], 180°/80°: cos 80°, sin 80°'],
  ['crash', [6.4, 4.15, 1.3], [0, 0.17365, 0.98481], '[-0.4, 0.85, 1.3], 180°/80°'],
] as const;

describe('seven pieces', () => {
  test.each(RIGHT_HANDED)('right-handed: the %s at %j along %j, from %s', async (piece, at, axis) => {
    const point = sourceNamed(await sceneOf(drummer()), `max.${piece}`).points[0];
    expectVector(point?.at, at);
    expectVector(point?.axis, axis);
  });

  test.each(RIGHT_HANDED)('left-handed: the %s is mirrored at x = 6', async (piece, [x, y, z], axis) => {
    const point = sourceNamed(await sceneOf(drummer(', hands: left')), `max.${piece}`).points[0];
    expectVector(point?.at, [12 - x, y, z]);
    expectVector(point?.axis, axis);
  });

  test('are one part and one kit, in the order of the catalogue', async () => {
    const { sources, parts } = await sceneOf(drummer());
    expect(sources.map(({ name }) => name)).toEqual(RIGHT_HANDED.map(([piece]) => `max.${piece}`));
    expect(new Set(sources.map(({ kit, part }) => `${kit} ${part}`))).toEqual(new Set(['max 0']));
    expect(parts.map(({ name, sources: members }) => [name, members.length])).toEqual([['max', 7]]);
  });

  test('a kit under a name in `plays` goes by that name', async () => {
    const scene = await sceneOf(`players:
  max: {at: [6, 5], facing: 180, plays: {kit: {instrument: small-kit}, voice: singing-voice}}
mics: {m: {for: kit, at: [6, 4, 2]}}`);
    expect(sourceNames(scene, scene.mics[0]?.wanted ?? [])).toEqual([
      'kit.kick',
      'kit.snare',
      'kit.hi-hat',
      'kit.ride',
    ]);
  });

  test('on a riser every piece is lifted', async () => {
    expectVector(
      sourceNamed(await sceneOf(drummer(', riser: 30 cm')), 'max.snare').points[0]?.at,
      [6.1, 4.6, 1],
    );
  });
});

test("a drummer's ears are where his own kit has them", async () => {
  const small = catalogue.kits.get('small-kit');
  if (!small) throw new Error('no small-kit');
  const high = { ...small, ears: { seated: [0, 0, 1.35], standing: [0, 0, 1.75] } } as const;
  const kits = new Map([...catalogue.kits, ['small-kit', high]]);
  const text = `spillcheck: 1\n${drummer().replace('drum-kit', 'small-kit')}`;
  const { plan } = await readPlan(text, { name: 'plan.yaml', load: async () => ({ problem: 'none' }) });
  const scene = plan && resolve(plan, { ...catalogue, kits }).scene;
  expectVector(scene?.players[0]?.ears, [6, 5, 1.35]);
});

describe('parts', () => {
  test('~ takes one out, a new one is put in where it says, by the instrument its name begins with', async () => {
    const scene = await sceneOf(drummer(', parts: {tom-2: ~, crash-2: {at: [5.2, 4.2, 1.4]}}'));
    expect(scene.sources.map(({ name, instrument }) => `${name} ${instrument}`)).toEqual([
      'max.kick kick',
      'max.snare snare',
      'max.hi-hat hi-hat',
      'max.tom-1 tom',
      'max.ride ride',
      'max.crash crash',
      'max.crash-2 crash',
    ]);
    expectVector(sourceNamed(scene, 'max.crash-2').points[0]?.at, [5.2, 4.2, 1.4]);
  });

  test('one can be put elsewhere, and turned by a bearing, a name or a tilt of its own', async () => {
    const scene = await sceneOf(`players:
  max:
    at: [6, 5]
    facing: 180
    plays: drum-kit
    parts:
      ride: {at: [5, 4, 1.2], facing: 270, tilt: 30}
      kick: {facing: eve}
      tom-1: {tilt: 90}
  eve: {at: [5.85, 9], facing: 180, plays: cello}
`);
    expectVector(sourceNamed(scene, 'max.ride').points[0]?.at, [5, 4, 1.2]);
    expectVector(sourceNamed(scene, 'max.ride').points[0]?.axis, [-0.86603, 0, 0.5]);
    // the bass drum stands at x = 5.85, straight down the page from eve
    expectVector(sourceNamed(scene, 'max.kick').points[0]?.axis, [0, 1, 0]);
    expectVector(sourceNamed(scene, 'max.tom-1').points[0]?.axis, UP);
  });

  test('one can be meant for another use than the rest: its own `later` goes before that of the kit', async () => {
    const scene = await sceneOf(`${drummer(', later: leave, parts: {snare: {later: tune}}')}mics:
  snare: {for: max.snare, near: {distance: 6 cm, above: 4 cm}}
  kick: {for: max.kick, near: {distance: 10 cm}}`);
    expect(scene.mics.map(({ limit, limitFrom }) => `${limit} ${limitFrom}`)).toEqual(['20 tune', '6 leave']);
  });

  test.each([
    { parts: '{tom-9: ~}', says: /piece of max to remove.*tom-1|tom-2/ },
    { parts: '{gong: {at: [5, 4, 1]}}', says: /no instrument named "gong"/ },
    { parts: '{crash-2: {dynamic: f}}', says: /the added piece crash-2 has no position/ },
    { parts: '{snare: {playing: brushs}}', says: /snare technique named "brushs".*brushes/ },
    { parts: '{snare: {facing: nobody}}', says: /parts\.snare\.facing.*"nobody"/ },
  ])('$parts is refused', async ({ parts, says }) => {
    const faults = await faultsOf(drummer(`, parts: ${parts}`));
    expect(faults).toHaveLength(1);
    expect(faults[0]).toMatch(says);
  });
});

describe('how loud', () => {
  /** p² on the axis at 1 m, all bands: W·Q·E(1)/(4π)·10^(−α/10). */
  const onAxis = (scene: Scene, name: string): number => {
    const { power, directivity, radius } = sourceNamed(scene, name);
    const terms = power.map((w, band) => {
      const air = 10 ** (-(scene.air.loss[band] ?? 0) / 10);
      return (w * (directivity.q[band] ?? 1) * spreading(radius, 1) * air) / (4 * Math.PI);
    });
    return terms.reduce((sum, term) => sum + term, 0);
  };
  const decibels = (scene: Scene, names: readonly string[]) =>
    10 * Math.log10(names.reduce((sum, name) => sum + onAxis(scene, name), 0));
  const all = RIGHT_HANDED.map(([piece]) => `max.${piece}`);

  test('a reading of the whole kit is what the pieces on their axes come to together', async () => {
    const scene = await sceneOf(drummer(', level: 100 dB at 1 m'));
    expect(decibels(scene, all)).toBeCloseTo(100, 6);
    // the pieces keep the distances they have at mf
    const mf = await sceneOf(drummer(', dynamic: mf'));
    const apart = (one: Scene) => decibels(one, ['max.kick']) - decibels(one, ['max.hi-hat']);
    expect(apart(scene)).toBeCloseTo(apart(mf), 9);
  });

  test('a piece with a reading of its own keeps it, and the others share what is left', async () => {
    const scene = await sceneOf(drummer(', level: 100 dB at 1 m, parts: {snare: {level: 97 dB at 1 m}}'));
    expect(decibels(scene, ['max.snare'])).toBeCloseTo(97, 6);
    expect(decibels(scene, all)).toBeCloseTo(100, 6);
  });

  test('pieces that read more than the whole are refused', async () => {
    const faults = await faultsOf(drummer(', level: 90 dB at 1 m, parts: {snare: {level: 97 dB at 1 m}}'));
    expect(faults).toEqual([
      expect.stringMatching(/players\.max\.level: pieces with their own level use up/),
    ]);
  });

  test('brushes go for every piece that knows them', async () => {
    const [sticks, brushes] = [await sceneOf(drummer()), await sceneOf(drummer(', playing: brushes'))];
    for (const name of all) expect(onAxis(brushes, name)).toBeLessThan(onAxis(sticks, name));
  });
});
