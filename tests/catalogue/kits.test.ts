import { describe, expect, test } from 'vitest';
import { instrument, instruments, kits, only } from './shipped-sources.ts';

describe('kits', () => {
  const kit = only(kits, 'drum-kit');

  test('a drum kit has seven pieces, each an instrument of its own', () => {
    expect([...kit.parts.keys()]).toEqual(['kick', 'snare', 'hi-hat', 'tom-1', 'tom-2', 'ride', 'crash']);
    for (const { parts } of kits.values()) {
      expect([...parts.values()].filter((part) => !instruments.has(part.instrument))).toEqual([]);
    }
  });

  test('every piece of a kit knows each way of playing the kit has', () => {
    for (const { parts, playing } of kits.values()) {
      for (const part of parts.values()) {
        expect([...instrument(part.instrument).playing.keys()]).toEqual(expect.arrayContaining([...playing]));
      }
    }
  });

  test('brushes are softer than rods, rods than sticks, on every piece', () => {
    for (const part of kit.parts.values()) {
      const { playing } = instrument(part.instrument);
      const [sticks, rods, brushes] = ['sticks', 'rods', 'brushes'].map(
        (way) => only(playing, way).loudness.steps.mf,
      );
      expect([brushes, rods, sticks]).toEqual([brushes, rods, sticks].toSorted((a = 0, b = 0) => a - b));
      expect(brushes).not.toBe(sticks);
    }
  });

  test('hi-hat left, floor tom right of a right-handed drummer', () => {
    expect(only(kit.parts, 'hi-hat').place[0]).toBeLessThan(0);
    expect(only(kit.parts, 'tom-2').place[0]).toBeGreaterThan(0);
  });

  // KIT_M, energy per stroke re snare: bass drum 1.4, high tom 0.9, floor tom 6.3 dB. Strokes a bar: 4, 0.5, 0.5 against 2
  // of the snare: 1.4 + 10 lg 2 = 4.4, 0.9 - 10 lg 4 = -5.1, 6.3 - 10 lg 4 = 0.3.
  test.each([
    ['kick', 4.4],
    ['tom', -5.1],
    ['floor-tom', 0.3],
  ])('hard playing puts the %s %d dB over the snare, within 1 dB', (name, difference) => {
    const ff = instrument(name).loudness.steps.ff - instrument('snare').loudness.steps.ff;
    expect(Math.abs(ff - difference)).toBeLessThan(1);
  });

  // Sivian, Dunn and White 1931, peak acoustic power at full effort: bass drum 134.0, snare 130.8, cymbals 130.0 dB.
  test.each([
    ['kick', 134.0],
    ['snare', 130.8],
    ['crash', 130.0],
  ])('the hardest strokes on the %s peak near %d dB of sound power', (name, peak) => {
    const { loudness, crest } = instrument(name);
    expect(Math.abs(loudness.steps.ff + crest - peak)).toBeLessThan(1.5);
  });

  // HSE12: 68 to 94 dB at the left ear of hi-hat players, rooms included. Left ear 8 cm left of the head's middle: 0.68 m
  // from the hi-hat, √(0.42² + 0.45² + 0.3²); level in the open: power − 11 − 20 lg 0.685 = power − 7.7 dB.
  test('the hi-hat alone spans what is read at the left ear, a little under for want of the room', () => {
    const { pp, ff } = instrument('hi-hat').loudness.steps;
    expect([pp - 7.7 > 68 - 4, pp - 7.7 < 68, ff - 7.7 > 94 - 4, ff - 7.7 < 94]).toEqual([
      true,
      true,
      true,
      true,
    ]);
  });
});
