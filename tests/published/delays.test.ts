import { describe, expect, test } from 'vitest';
import { soundSpeed } from '../../src/acoustics/air.ts';
import { timings } from '../../src/judge/timing.ts';
import { none } from '../build-scene.ts';
import { computed, onALine } from '../judge/on-a-line.ts';

/** A at 0, its mic at 1 m, the mic of B `further` m behind it. */
function rowAt(celsius: number, further: number, sampleRate?: number) {
  const scene = onALine(
    { A: { at: 0 }, B: { at: 2 + further } },
    { 'mic A': { at: 1, for: [0] }, 'mic B': { at: 1 + further, for: [1] } },
    { air: { soundSpeed: soundSpeed(celsius), loss: none } },
  );
  const { rows } = timings(...computed(scene), {
    reach: 40,
    ...(sampleRate !== undefined && { sampleRate }),
  });
  return rows.find(({ part }) => part === 'A');
}

describe('the delay from mic to mic', () => {
  // 343.2 m/s at 20 °C (ISO 9613-1); 331.3 m/s at 0 °C, 349.0 m/s at 30 °C (handbooks, from memory).
  test.each([
    { celsius: 20, metres: 3.432, ms: 10 },
    { celsius: 0, metres: 3.313, ms: 10 },
    { celsius: 30, metres: 3.49, ms: 10 },
    { celsius: 20, metres: 1, ms: 2.914 },
    { celsius: 0, metres: 1, ms: 3.018 },
  ])('over $metres m at $celsius °C is $ms ms', ({ celsius, metres, ms }) => {
    expect(Math.abs(1e3 * (rowAt(celsius, metres)?.late ?? 0) - ms)).toBeLessThan(0.005);
  });

  // 10 ms are 480 samples at 48 kHz, 441 at 44.1 kHz.
  test.each([
    { sampleRate: undefined, samples: 480 },
    { sampleRate: 44100, samples: 441 },
  ])('of 10 ms at $sampleRate samples a second is $samples samples', ({ sampleRate, samples }) => {
    expect(rowAt(20, 3.432, sampleRate)?.samples).toBeCloseTo(samples, 6);
  });
});
