/**
 * Percentiles of a ratio in which one quantity varies, against closed forms derived beside each: a quantity even within
 * ±b has its 10th, 50th and 90th percentile at −0.8 b, 0 and 0.8 b, and a ratio that rises or falls with it takes them along.
 * 20,000 draws leave them open by 0.2 to 0.4 % of the whole width (standard error √(p(1−p)/N)): tolerances are four of these.
 */
import { describe, expect, test } from 'vitest';
import { type Bands, bands } from '../../src/acoustics/bands.ts';
import { directivityOf } from '../../src/acoustics/directivity.ts';
import { tolerancesOf } from '../../src/judge/tolerance.ts';
import type { ToleranceEntry } from '../../src/plan/limits.ts';
import { toleranceOf } from '../../src/scene/perturbation.ts';
import type { Capsule, Source } from '../../src/scene/scene.ts';
import { capsuleOf, pointSource, sceneOf } from '../build-scene.ts';
import { sized } from '../sized.ts';

const DRAWS = sized(2000, 20_000);
/** Fewer draws leave percentiles open by more: the standard error goes as 1/√N. */
const WIDER = Math.sqrt(20_000 / DRAWS);

const RESTS: ToleranceEntry = {
  aim: 0,
  facing: 0,
  place: 0,
  near: 0,
  level: 0,
  guessedLevel: 0,
  panel: 0,
  absorption: 0,
  reverberation: 0,
  draws: DRAWS,
};

/** S/B of the first source over the second at one capsule in the open, all at rest but what is given. */
function percentiles(own: Source, other: Source, capsule: Capsule, varies: ToleranceEntry) {
  const scene = sceneOf({
    sources: [own, other],
    capsules: [capsule],
    tolerance: toleranceOf({ ...RESTS, ...varies }),
  });
  const [row] = tolerancesOf(scene, ['signal-to-bleed']).rows;
  return [row?.p10, row?.p50, row?.p90].map((value) => value ?? Number.NaN);
}

const near = (found: readonly number[], wanted: readonly number[], within: number) =>
  wanted.forEach((value, i) => {
    expect(Math.abs((found[i] ?? Number.NaN) - value), `${found} against ${wanted}`).toBeLessThan(
      within * WIDER,
    );
  });

const lg20 = (ratio: number): number => 20 * Math.log10(ratio);
const radians = (degrees: number): number => (degrees * Math.PI) / 180;
const behind = pointSource([0, -2, 0]);
const ahead = pointSource([0, 1, 0]);
const omni = capsuleOf([0, 0, 0], [0, 1, 0]);

describe('levels', () => {
  test('of one bleeder even within ±3 dB make the S/B even within ±3 dB: 6.02 dB −2.4, 0, +2.4', () => {
    // 1 m against 2 m: 20·lg 2
    const found = percentiles(ahead, { ...behind, measured: false }, omni, { guessedLevel: 3 });
    near(found, [lg20(2) - 2.4, lg20(2), lg20(2) + 2.4], 0.06);
  });

  test('of two sources, ±3 dB each, differ by a triangle of ±6 dB: its tenths lie at ∓(6 − √7.2)', () => {
    // area below −6 + s is s²/72, which is 0.1 at s = √7.2
    const tenth = 6 - Math.sqrt(7.2);
    near(percentiles(ahead, behind, omni, { level: 3 }), [lg20(2) - tenth, lg20(2), lg20(2) + tenth], 0.1);
  });
});

test('the distance of a close mic even within ±20 % moves 40 cm to 46.4, 40 and 33.6 cm', () => {
  // the bleeder is so far away that 8 cm are 0.001 dB to it
  const own = pointSource([0, 0.4, 0]);
  const wanted = [1.16, 1, 0.84].map((factor) => lg20(1000 / (0.4 * factor)));
  near(percentiles(own, pointSource([1000, 0, 0]), omni, { near: 0.2 }), wanted, 0.05);
});

test('a cardioid aimed amiss by δ hears ((1 + cos δ)/(1 − cos δ))² of what is ahead over what is behind: δ is 7.2, 4, 0.8°', () => {
  // S/B = 40·lg cot(δ/2), solved for δ; equal distances
  const cardioid = capsuleOf([0, 0, 0], [0, 1, 0], { a: 0.5 });
  const found = percentiles(ahead, pointSource([0, -1, 0]), cardioid, { aim: 8 });
  const amiss = found.map((ratio) => (2 * Math.atan(10 ** (-ratio / 40)) * 180) / Math.PI);
  near(amiss, [7.2, 4, 0.8], 0.12);
});

describe('a source in the null of a cardioid, where the response is the depth itself', () => {
  const cardioid: Capsule = { ...capsuleOf([0, 0, 0], [0, 1, 0], { a: 0.5, floor: 0.003 }), usualNull: true };
  const only = (band: number): Bands => bands((one) => (one === band ? 1e10 : 0));
  const found = (band: number, varies: ToleranceEntry = {}) =>
    percentiles(
      { ...ahead, power: only(band) },
      pointSource([0, -1, 0], { power: only(band) }),
      cardioid,
      varies,
    );

  test('at 1 kHz is 15 to 30 dB down: 16.5, 22.5, 28.5', () => near(found(4), [16.5, 22.5, 28.5], 0.2));
  test('at 125 Hz is 10 to 20 dB down: 11, 15, 19', () => near(found(1), [11, 15, 19], 0.15));
  test('at 8 kHz is 10 to 20 dB down: 11, 15, 19', () => near(found(7), [11, 15, 19], 0.15));
  test('in every band is as deep as the plan sets it', () =>
    near(found(1, { nullDepth: [26, 20] }), [20.6, 23, 25.4], 0.1));
});

test('a bleeder side-on to the mic, turned by ±20°, gives (1 − sin t)/2: t is −16, 0 and 16°', () => {
  // G = (1 + cos θ)/2 (b = 0, n = 1) at θ = 90° + t
  const directivity = directivityOf(
    () => 2,
    () => Infinity,
  );
  const sideOn = pointSource([0, -1, 0], { directivity, axis: [1, 0, 0] });
  // Q·G = 2·(1 − sin t)/2
  const wanted = [-16, 0, 16].map((t) => -10 * Math.log10(1 - Math.sin(radians(t))));
  near(percentiles(ahead, sideOn, omni, { facing: 20 }), wanted, 0.04);
});
