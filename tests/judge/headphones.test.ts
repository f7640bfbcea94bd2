import { describe, expect, test } from 'vitest';
import { sameInAllBands } from '../../src/acoustics/bands.ts';
import { headphoneLeak } from '../../src/judge/hearing.ts';
import type { Cue, Scene } from '../../src/scene/scene.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { capsuleOf, micOf, sceneOf } from '../build-scene.ts';
import { closed, freeLevel, passage, person, sounding } from './people.ts';

/*
 * A cue alike in all octaves holds 10·lg ΣA less in each than it reads in dBA; A by octave from IEC 61672-1. The phones leak
 * 70 dB at 1 m; the mic is 0.5 m from the ear and 0.1 m from a mouth that speaks at 1 kHz alone, so that this octave counts.
 */
const A = [-26.2, -16.1, -8.6, -3.2, 0, 1.2, 1.0, -1.1].map((gain) => 10 ** (gain / 10));
const PER_OCTAVE = 10 * Math.log10(A.reduce((a, b) => a + b));
const leakAt1k = (cue: number, metres: number) => cue - PER_OCTAVE - 70 - 20 * Math.log10(metres);

const voice = sounding('singer', [0.5, 0.1, 0], 50, { player: 0 });
const mic = capsuleOf([0.5, 0, 0], [0, 1, 0], { name: 'voice-mic' });
const wearer = (cue: Partial<Cue> = {}) =>
  person('singer', [0, 0, 0], { cue: { ...closed, level: 90, ...cue } });
const rowsOf = (parts: Partial<Scene> = {}) => {
  const scene = sceneOf({
    sources: [voice],
    capsules: [mic],
    mics: [micOf('voice-mic', [0], [0])],
    players: [wearer()],
    ...parts,
  });
  return headphoneLeak(scene, transfer(scene));
};

describe('what headphones leak', () => {
  test('is a source at the ear, against the wanted sound in its octaves', () => {
    const [row, ...more] = rowsOf();
    expect(more).toEqual([]);
    expect(row).toMatchObject({ player: 'singer', mic: 'voice-mic', cueLevel: 90, guessed: false });
    expect(row?.leak).toBeCloseTo(leakAt1k(90, 0.5) - freeLevel(50, 0.1), 1);
    // all eight octaves alike
    expect(row?.level).toBeCloseTo(leakAt1k(90, 0.5) + 10 * Math.log10(8), 1);
  });

  // The voice at the mic is 50 − 10.99 + 20 = 59.01 dB; the leak of 90 dBA 90 − 6.99 − 70 + 6.02 = 19.03, 39.98 dB under.
  test('deserves a word from 40 dB under the wanted sound on', () => {
    expect(rowsOf({ players: [wearer({ level: 89.8 })] })[0]?.audible).toBe(false);
    expect(rowsOf({ players: [wearer({ level: 90.2 })] })[0]?.audible).toBe(true);
  });

  test('is against the quietest passage', () => {
    const soft = sounding('hum', [0.5, 0.1, 0], 40, { player: 0, part: 0 });
    const row = rowsOf({
      sources: [voice, soft],
      mics: [micOf('voice-mic', [0], [0, 1])],
      passages: [passage('loud', [true, false]), passage('soft', [false, true])],
    })[0];
    expect(row?.passage).toBe('soft');
    expect(row?.leak).toBeCloseTo(leakAt1k(90, 0.5) - freeLevel(40, 0.1), 1);
  });

  test('is guessed for 85 dBA where the plan gives no level', () => {
    const [row] = rowsOf({ players: [wearer({ level: null })] });
    expect(row).toMatchObject({ cueLevel: 85, guessed: true });
    expect(row?.leak).toBeCloseTo(leakAt1k(85, 0.5) - freeLevel(50, 0.1), 1);
  });

  test('is of a pair what both capsules get, of a line nothing, of bare ears nothing', () => {
    const capsules = [mic, capsuleOf([0, 0.5, 0], [0, 1, 0], { name: 'right', mic: 0 })];
    const mics = [micOf('pair', [0, 1], [0]), micOf('line', [], [0], { line: true })];
    const rows = rowsOf({ capsules, mics });
    expect(rows.map((row) => row.mic)).toEqual(['pair']);
    expect(rows[0]?.level).toBeCloseTo(leakAt1k(90, 0.5) + 10 * Math.log10(16), 1);
    expect(rowsOf({ players: [wearer({ leak: null })] })).toEqual([]);
  });

  test('has no ratio where the mic gets nothing of its own', () => {
    const [row] = rowsOf({ passages: [passage('rest', [false])] });
    expect(row).toMatchObject({ leak: null, passage: null, audible: false });
    expect(row?.level).not.toBeNull();
  });

  test('is held off by the cover over a mic that stands inside', () => {
    const piano = { ...voice, cover: sameInAllBands(0.01) };
    const [open] = rowsOf();
    const [under] = rowsOf({ sources: [piano], mics: [micOf('voice-mic', [0], [0], { inside: 0 })] });
    expect((under?.level ?? 0) - (open?.level ?? 0)).toBeCloseTo(-20, 9);
  });
});
