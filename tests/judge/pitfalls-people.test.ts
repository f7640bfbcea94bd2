/** Pitfalls of ears, hearing, sight and headphones. */
import { describe, expect, test } from 'vitest';
import type { Scene } from '../../src/scene/scene.ts';
import { capsuleOf, micOf, plainLimits, sceneOf } from '../build-scene.ts';
import { panelFrom } from '../transfer/panels.ts';
import { closed, person, sounding } from './people.ts';
import { told } from './pitfalls-of.ts';

/** Two who play, 10 m apart, each 1 m from his own instrument, and a mic far off. */
const duo = (more: Partial<Scene> = {}): Scene =>
  sceneOf({
    sources: [
      sounding('tuba', [1, 0, 1], 100, { player: 0 }),
      sounding('cornet', [10, 0, 1], 100, { player: 1, part: 1 }),
    ],
    capsules: [],
    mics: [],
    players: [person('tuba', [0, 0, 1], { room: -1 }), person('cornet', [11, 0, 1], { facing: 0 })],
    ...more,
  });
const screen = {
  ...panelFrom([
    [5, -1],
    [5, 1],
  ]),
  room: -1,
};

describe('exposure', () => {
  /** At 1 m of a sound power level: Lp = Lw − 10·lg(4π) = Lw − 10.99; NIOSH 98-126: 94 dBA for 60 min, 91 dBA for 120. */
  const loud = (dba: number, hours: number | null) =>
    duo({
      sources: [sounding('tuba', [1, 0, 1], dba + 10 * Math.log10(4 * Math.PI), { player: 0 })],
      players: [person('tuba', [0, 0, 1])],
      limits: { ...plainLimits, sessionLength: hours === null ? null : hours * 3600 },
    });

  test('that get 94.1 dBA may play 58 min, not two hours', () => {
    // 480/2^((94.1 − 85)/3) = 58.6
    expect(told(loud(94.1, 2), 'exposure')).toEqual([
      'tuba: 94.1 dBA, NIOSH limit 58 min a day, session 2 h',
    ]);
    expect(told(loud(90, 2), 'exposure')).toEqual([]);
  });

  test('without a session length get a word under an hour', () => {
    expect(told(loud(94.1, null), 'exposure')).toEqual(['tuba: 94.1 dBA, NIOSH limit 58 min a day']);
    expect(told(loud(93.9, null), 'exposure')).toEqual([]);
  });
});

describe('whom one must hear', () => {
  const must = (wearing: boolean): Scene =>
    duo({
      players: [person('tuba', [0, 0, 1], wearing ? { cue: closed } : {}), person('cornet', [11, 0, 1])],
      limits: { ...plainLimits, hear: [{ player: 0, whom: 'cornet', sources: [1] }] },
    });

  test('as loud, ten times as far: 20 dB under the own instrument', () => {
    expect(told(must(false), 'cannot-hear')).toEqual([
      'tuba must hear cornet and cannot (20.0 dB below the rest, limit 8.0 dB)',
    ]);
  });

  test('is the matter of the headphones where some are worn', () => {
    expect(told(must(true), 'cannot-hear')).toEqual([]);
  });
});

describe('whom one must see', () => {
  const must = (panels: Scene['panels']) =>
    duo({ panels, limits: { ...plainLimits, seeEachOther: [[0, 1]] } });

  test('is hidden by a screen', () => {
    expect(told(must([screen]), 'cannot-see')).toEqual([
      'tuba and cornet must see each other and cannot (panel in between)',
    ]);
    expect(told(must([]), 'cannot-see')).toEqual([]);
  });
});

describe('whom one faces', () => {
  /** To the right of the page: straight at the cornet. */
  const facing = (bearing: number, panels: Scene['panels'] = []) =>
    duo({ panels, players: [person('tuba', [0, 0, 1], { facing: bearing }), person('cornet', [11, 0, 1])] });

  test('one follows: unheard at 20 dB under the own instrument, and unseen past a screen', () => {
    expect(told(facing(90), 'cannot-hear')).toEqual([
      'tuba cannot hear cornet, whom it faces (20.0 dB below the rest)',
    ]);
    expect(told(facing(90, [screen]), 'cannot-see')).toEqual([
      'tuba cannot see cornet, whom it faces (panel in between)',
    ]);
    expect(told(facing(90), 'cannot-see')).toEqual([]);
  });

  test('is nobody when one looks past', () => {
    expect(told(facing(95), 'cannot-hear')).toEqual([]);
    expect(told(facing(95, [screen]), 'cannot-see')).toEqual([]);
  });
});

describe('headphones', () => {
  /*
   * A cue of 100 dBA alike in all octaves is 100 − 7.0 dB in each (10·lg ΣA = 7.0, IEC 61672-1); it leaks 70 dB at 1 m, so
   * −70 + 6.0 at 0.5 m: 29.0 dB. The voice at 0.1 m: 50 − 11.0 + 20 = 59.0 dB.
   */
  const leaking = (level: number): Scene =>
    sceneOf({
      sources: [sounding('singer', [0.5, 0.1, 0], 50, { player: 0 })],
      capsules: [capsuleOf([0.5, 0, 0], [0, 1, 0], { name: 'voice-mic' })],
      mics: [micOf('voice-mic', [0], [0])],
      players: [person('singer', [0, 0, 0], { cue: { ...closed, level } })],
    });

  test('of 100 dBA leak 30 dB under the voice, those of 85 dBA 45 dB', () => {
    expect(told(leaking(100), 'headphone-leak')).toEqual([
      'the headphones of singer leak into voice-mic, 30.0 dB below its quietest signal',
    ]);
    expect(told(leaking(85), 'headphone-leak')).toEqual([]);
  });
});
