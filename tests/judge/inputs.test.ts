import { describe, expect, test } from 'vitest';
import { sameInAllBands } from '../../src/acoustics/bands.ts';
import { inputLevels } from '../../src/judge/inputs.ts';
import type { Pattern, Scene } from '../../src/scene/scene.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { boxRoom, capsuleOf, micOf, sceneOf } from '../build-scene.ts';
import { freeLevel, passage, sounding } from './people.ts';
import { computed } from './why-plans.ts';

const snare = sounding('snare', [0.1, 0, 0], 110, { crest: 20 });
const horn = sounding('horn', [3, 0, 0], 115, { crest: 10, part: 1 });
const mic = capsuleOf([0, 0, 0], [1, 0, 0], { name: 'snare-mic' });
const rowOf = (parts: Partial<Scene> = {}) => {
  const scene = sceneOf({ sources: [snare, horn], capsules: [mic], ...parts });
  return inputLevels(scene, transfer(scene))[0];
};

describe('the peak at an input', () => {
  test('is the level of the loudest source and its crest: 110 dB of power at 10 cm, 20 dB of crest', () => {
    // 110 − 10.99 + 20 + 20 = 139.0 dB
    const row = rowOf();
    expect(row?.peak?.level).toBeCloseTo(freeLevel(110, 0.1) + 20, 6);
    expect(row?.peak).toMatchObject({ source: 'snare', role: 'signal', passage: null, guessed: false });
    expect(row?.pad).toBe('pad');
  });

  test('may be of what bleeds: where the crest is higher, or where its own source rests', () => {
    const sharp = sounding('crash', [1, 0, 0], 110, { crest: 45, part: 1 });
    expect(rowOf({ sources: [snare, sharp] })?.peak).toMatchObject({ source: 'crash', role: 'bleed' });
    const row = rowOf({ passages: [passage('solo', [false, true])] });
    expect(row?.peak).toMatchObject({ source: 'horn', role: 'bleed', passage: 'solo' });
    expect(row?.peak?.level).toBeCloseTo(freeLevel(115, 3) + 10, 6);
  });

  test('takes a crest of 15 dB where none is known, and says so', () => {
    const row = rowOf({ sources: [{ ...snare, crest: 0 }] });
    expect(row?.peak?.level).toBeCloseTo(freeLevel(110, 0.1) + 15, 6);
    expect(row?.peak?.guessed).toBe(true);
  });

  // Common practice, no source: a pad from 130 dB, one at hand from 125. 119.01 dB at 10 cm, so 11 dB of crest make 130.
  test.each([
    { crest: 5.9, pad: null },
    { crest: 6.1, pad: 'pad at hand' },
    { crest: 10.9, pad: 'pad at hand' },
    { crest: 11.1, pad: 'pad' },
  ])('of 119 dB and a crest of $crest dB: $pad', ({ crest, pad }) => {
    expect(rowOf({ sources: [{ ...snare, crest }] })?.pad).toBe(pad);
  });

  test('is none where nothing sounds', () => {
    expect(rowOf({ sources: [] })).toMatchObject({
      peak: null,
      pad: null,
      signal: null,
      overSelfNoise: null,
    });
  });
});

describe('noise at an input', () => {
  test('of the room is heard by a cardioid with a third of the energy', () => {
    const rooms = [boxRoom(6, 5, 3, { noise: 30 })];
    const inside = (at: readonly [number, number, number], a: number) =>
      capsuleOf(at, [1, 0, 0], { room: 0, a });
    const noise = (a: number) => rowOf({ rooms, capsules: [inside([2, 2, 1], a)] })?.noise;
    expect(noise(1)).toBeCloseTo(30, 9);
    expect(noise(0.5)).toBeCloseTo(30 - 10 * Math.log10(3), 9);
  });

  test('of the microphone stands against the quietest passage of what it is for', () => {
    const pattern: Pattern = { name: 'omni', a: sameInAllBands(1), table: null, selfNoise: 15 };
    const soft = sounding('brushes', [0, 0.1, 0], 60, { part: 0 });
    const row = rowOf({
      sources: [snare, soft],
      capsules: [{ ...mic, pattern }],
      mics: [micOf('snare-mic', [0], [0, 1])],
      passages: [
        passage('loud', [true, false]),
        passage('soft', [false, true]),
        passage('rest', [false, false]),
      ],
    });
    expect(row?.quietest).toBe('soft');
    expect(row?.signal).toBeCloseTo(freeLevel(60, 0.1), 2);
    expect(row?.overSelfNoise).toBeCloseTo(freeLevel(60, 0.1) - 15, 2);
    expect(row).toMatchObject({ selfNoise: 15, noise: null, overNoise: null });
  });

  test('comes from plan and catalogue: 12 dB over where the room has 25 dBA and a hand microphone 18', async () => {
    const { scene, result } = await computed(`spillcheck: 1
rooms:
  hall: {size: [8, 6], height: 3, noise: 25 dBA, walls: plaster, floor: wood-on-joists, ceiling: acoustic-tile}
players:
  cornet: {at: [4, 3], facing: 0, plays: cornet}
mics:
  mic: {for: cornet, near: {distance: 50 cm}, pattern: dynamic-cardioid}
  other: {for: cornet, near: {distance: 50 cm, side: left, angle: 30}, pattern: cardioid}
`);
    const [row, other] = inputLevels(scene, result);
    expect(row?.selfNoise).toBe(18);
    expect(other?.selfNoise).toBeNull();
    // A = 0.5 at 1 kHz: a third of the diffuse noise, 4.8 dB less; the null's floor of −25 dB adds 2/3·0.0032.
    expect(other?.noise).toBeCloseTo(25 + 10 * Math.log10(1 / 3 + (2 / 3) * 10 ** -2.5), 6);
    expect((row?.overNoise ?? 0) - (row?.overSelfNoise ?? 0)).toBeCloseTo(18 - (row?.noise ?? 0), 9);
  });
});
