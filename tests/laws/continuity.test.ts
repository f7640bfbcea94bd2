import { describe, expect, test } from 'vitest';
import type { Vec3 } from '../../src/geometry.ts';
import { prepareScene } from '../../src/transfer/prepared-scene.ts';
import { eachPath } from '../../src/transfer/transfer.ts';
import { sized } from '../sized.ts';
import { type Dice, diceOf, KINDS, type Surroundings, sceneWith, settings } from './continuity.ts';

const LINES = sized(50, 300);
const seeds = (count: number): Dice[] => Array.from({ length: count }, (_, i) => diceOf(7919 * (i + 1)));

describe('no octave from 250 Hz to 8 kHz steps from one millimetre to the next', () => {
  test.each(Object.entries(KINDS))('%s', (_, line) => {
    const steps = seeds(LINES)
      .flatMap(line)
      .sort((a, b) => a - b);
    // a step that is no number would pass as none
    expect(steps.every((step) => step >= 0)).toBe(true);
    expect(steps.at(-1)).toBeLessThan(0.5);
    expect(steps[Math.floor(0.995 * steps.length)]).toBeLessThan(0.3);
  });
});

describe('source and an omni mic may change places past edges, corners and openings', () => {
  /** Energy by band of all but the diffuse field, whose first surfaces are those of the source. */
  function arrives(around: Surroundings, source: Vec3, mic: Vec3): number[] {
    const scene = sceneWith({ ...around, source, mics: [mic], a: 1, aim: [0, 1, 0] });
    const sums = new Array<number>(8).fill(0);
    eachPath(prepareScene(scene), 0, 0, ({ kind, energy, response }) => {
      if (kind === 'diffuse-field') return;
      for (let band = 0; band < 8; band++)
        sums[band] = (sums[band] ?? 0) + (energy[band] ?? 0) * (response[band] ?? 0);
    });
    return sums;
  }

  test.each(Object.entries(settings))('%s', (_, setting) => {
    for (const dice of seeds(LINES)) {
      const { around, ends } = setting(dice);
      const there = arrives(around, ...ends);
      const back = arrives(around, ends[1], ends[0]);
      there.forEach((energy, band) => {
        expect(Math.abs(10 * Math.log10(energy / (back[band] ?? 0)))).toBeLessThan(1e-4);
      });
    }
  });
});
