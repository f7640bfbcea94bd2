import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Scene } from '../../src/scene/scene.ts';
import { SHARES, type Share } from '../../src/transfer/path-energy.ts';
import { energyAt, transfer } from '../../src/transfer/transfer.ts';
import { expectStated, rms, worst } from '../published/expect-stated.ts';
import { STATED } from '../published/stated.ts';
import { carried, inMirror, moved, turned } from './carried.ts';
import { scene, span } from './scenes.ts';

const RUNS = { numRuns: 80, seed: 7, endOnFailure: true };

/** Differences in dB between two scenes over all sources, capsules and bands, of the given shares, as far as they sound. */
function differences(one: Scene, other: Scene, shares: readonly Share[]): number[] {
  const [a, b] = [transfer(one), transfer(other)];
  const found: number[] = [];
  for (let s = 0; s < a.sources; s++) {
    for (let c = 0; c < a.capsules; c++) {
      for (let band = 0; band < 8; band++) {
        for (const share of shares) {
          const [x, y] = [energyAt(a, s, c, band, share), energyAt(b, s, c, band, share)];
          if (x > 0 || y > 0) found.push(10 * Math.log10(x / y));
        }
      }
    }
  }
  return found;
}

/** The largest of them. */
const apart = (one: Scene, other: Scene, shares: readonly Share[]): number =>
  worst([0, ...differences(one, other, shares)]);

/** What comes through walls holds the field of the room beyond, as far as its openings fill the sphere round the mic. */
const SAMPLED: readonly Share[] = ['room', 'walls'];
const PATHS = SHARES.filter((share) => !SAMPLED.includes(share));

describe('a whole scene', () => {
  test('moved changes nothing', () => {
    fc.assert(
      fc.property(scene, fc.tuple(span(-50, 50), span(-50, 50), span(-5, 5)), (one, by) => {
        expect(apart(one, carried(one, moved(by)), SHARES)).toBeLessThan(1e-6);
      }),
      RUNS,
    );
  });

  // The field takes α₁ from 500 directions that stand still in the world: turning moves them against the walls.
  test('turned changes nothing, the sampled field as little as the page on the model says', () => {
    const field: number[] = [];
    fc.assert(
      fc.property(scene, span(0, 360), (one, by) => {
        const other = carried(one, turned(by));
        expect(apart(one, other, PATHS)).toBeLessThan(1e-6);
        expect(apart(one, other, SAMPLED)).toBeLessThan(0.25);
        field.push(...differences(one, other, ['room']));
      }),
      RUNS,
    );
    expectStated(STATED.turned, { rms: rms(field), worst: worst(field) });
  });

  test('mirrored changes nothing, the sampled field at most 0.25 dB', () => {
    fc.assert(
      fc.property(scene, (one) => {
        const other = carried(one, inMirror);
        expect(apart(one, other, PATHS)).toBeLessThan(1e-6);
        expect(apart(one, other, SAMPLED)).toBeLessThan(0.25);
      }),
      RUNS,
    );
  });
});
