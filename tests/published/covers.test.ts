import { describe, expect, test } from 'vitest';
import { sameInAllBands } from '../../src/acoustics/bands.ts';
import type { Mic, Scene } from '../../src/scene/scene.ts';
import type { SHARES } from '../../src/transfer/path-energy.ts';
import { energyAt, transfer } from '../../src/transfer/transfer.ts';
import { boxRoom, capsuleOf, micOf, pointSource, sceneOf } from '../build-scene.ts';

/** A source under a lid of 12 dB, another beside it; a mic under the lid, one outside. */
function sceneWith(lid: number | null): Scene {
  const cover = lid === null ? null : sameInAllBands(10 ** (-lid / 10));
  const under: Partial<Mic> = { inside: 0 };
  return sceneOf({
    rooms: [boxRoom(6, 5, 3, { alpha: 0.25 })],
    sources: [
      pointSource([2, 2, 1], { room: 0, cover }),
      pointSource([4, 3, 1], { room: 0, name: 'other', part: 1 }),
    ],
    capsules: [
      capsuleOf([2.2, 2, 1], [0, 1, 0], { room: 0, mic: 0 }),
      capsuleOf([3, 2.5, 1.2], [0, 1, 0], { room: 0, mic: 1 }),
    ],
    mics: [micOf('under', [0], [0], under), micOf('outside', [1], [0])],
  });
}

const [open, shut] = [transfer(sceneWith(null)), transfer(sceneWith(12))];
const drop = (source: number, mic: number, share: (typeof SHARES)[number]) =>
  10 * Math.log10(energyAt(open, source, mic, 4, share) / energyAt(shut, source, mic, 4, share));

describe('a lid of 12 dB', () => {
  test.each(['direct', 'reflections', 'room'] as const)(
    'takes 12 dB off the %s of its source outside',
    (share) => {
      expect(drop(0, 1, share)).toBeCloseTo(12, 9);
    },
  );

  test('spares the direct way to the mic inside, and nothing else', () => {
    expect(drop(0, 0, 'direct')).toBeCloseTo(0, 9);
    expect(drop(0, 0, 'reflections')).toBeCloseTo(12, 9);
    expect(drop(0, 0, 'room')).toBeCloseTo(12, 9);
  });

  test.each(['direct', 'reflections', 'room'] as const)(
    'takes 12 dB off the %s of others at the mic inside',
    (share) => {
      expect(drop(1, 0, share)).toBeCloseTo(12, 9);
    },
  );

  test('leaves others alone outside', () => {
    for (const share of ['direct', 'reflections', 'room'] as const)
      expect(drop(1, 1, share)).toBeCloseTo(0, 9);
  });
});
