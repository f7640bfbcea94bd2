import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { limitRows } from '../../src/judge/criteria.ts';
import { judge, judgeParts } from '../../src/judge/judge.ts';
import type { ToleranceRow } from '../../src/judge/tolerance.ts';
import { drawing, marginAt, runTolerances, tolerancesOf } from '../../src/judge/tolerance.ts';
import { readPlan } from '../../src/plan/plan.ts';
import { toleranceOf } from '../../src/scene/perturbation.ts';
import { resolve } from '../../src/scene/resolve.ts';
import type { Scene } from '../../src/scene/scene.ts';
import { shippedCatalogue } from '../../src/shipped.ts';
import { integers, quantile } from '../../src/statistics.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { capsuleOf, micOf, plainLimits, pointSource, sceneOf } from '../build-scene.ts';
import { scene as anyScene } from '../laws/scenes.ts';
import { sized } from '../sized.ts';

const REST = {
  aim: 0,
  facing: 0,
  place: 0,
  near: 0,
  level: 0,
  guessedLevel: 0,
  nullDepth: [25, 25],
  panel: 0,
  absorption: 0,
  reverberation: 0,
  draws: 3,
} as const;

async function brassHall(): Promise<Scene> {
  const text = readFileSync('fixtures/brass-hall.yaml', 'utf8');
  const { plan } = await readPlan(text, { name: 'plan', load: async () => ({ problem: 'none' }) });
  const scene = plan && resolve(plan, shippedCatalogue()).scene;
  if (!scene) throw new Error('the demo plan must stand');
  return scene;
}

/** Own source at 1 m, bleeder at 2 m, both omni: S/B 6.02 dB; levels vary by ±3 dB at the bleeder alone. */
const evenPair = (more: Partial<Scene> = {}): Scene =>
  sceneOf({
    sources: [pointSource([0, 1, 0]), pointSource([0, -2, 0], { measured: false })],
    capsules: [capsuleOf([0, 0, 0], [0, 1, 0])],
    tolerance: toleranceOf({ ...REST, guessedLevel: 3, draws: 4000 }),
    ...more,
  });

const onlyRow = (scene: Scene): ToleranceRow =>
  tolerancesOf(scene, ['signal-to-bleed']).rows[0] as ToleranceRow;

describe('bounds of 0 give the plain figure in every percentile', () => {
  const spread = ({ p10, p50, p90 }: ToleranceRow) => [p10, p50, p90];

  test('for the S/B of any scene', () => {
    fc.assert(
      fc.property(anyScene, (one) => {
        const still = { ...one, tolerance: toleranceOf(REST) };
        const { mics } = judge(still, transfer(still));
        const { rows } = tolerancesOf(still, ['signal-to-bleed']);
        expect(rows).toHaveLength(mics.length);
        rows.forEach((row, i) => {
          for (const value of spread(row)) expect(value).toBeCloseTo(mics[i]?.signalToBleed ?? Number.NaN, 6);
          expect(row.causes).toEqual([]);
        });
      }),
      { numRuns: sized(15, 40), seed: 5 },
    );
  });

  test('for S/B, ghosts and parts to be edited alone of the demo plan', async () => {
    const scene = { ...(await brassHall()), tolerance: toleranceOf(REST) };
    const result = transfer(scene);
    const { mics, pairs } = judge(scene, result);
    const parts = judgeParts(scene, result);
    const { rows } = tolerancesOf(scene);
    for (const row of rows) {
      const part = parts.find(({ name }) => name === row.about[0]);
      const plain = {
        'signal-to-bleed': [...mics, ...pairs].find(({ name }) => name === row.about[0])?.signalToBleed,
        ghost: part?.ghost,
        isolation: part?.isolation.signalToBleed,
      }[row.kind as 'signal-to-bleed' | 'ghost' | 'isolation'];
      for (const value of spread(row)) expect(value, row.about[0]).toBeCloseTo(plain ?? Number.NaN, 6);
    }
    expect(rows.filter(({ kind }) => kind === 'ghost')).toHaveLength(8);
    expect(rows.filter(({ kind }) => kind === 'isolation').map(({ about }) => about[0])).toEqual(['tuba']);
  });
});

test('no bounds, however wide, bring out what is no number', async () => {
  const widest = toleranceOf({
    aim: 180,
    facing: 180,
    place: 10,
    near: 1,
    level: 40,
    guessedLevel: 40,
    nullDepth: [0, 100],
    panel: 40,
    absorption: 1,
    reverberation: 1,
    draws: 4,
  });
  const isWhole = (scene: Scene) => {
    const { rows } = tolerancesOf({ ...scene, tolerance: widest });
    for (const {
      sorted,
      about: [name],
    } of rows) {
      expect(sorted, name).toHaveLength(4);
      expect(sorted.every(Number.isFinite), name).toBe(true);
    }
  };
  isWhole(await brassHall());
  const usual = (scene: Scene): Scene => ({
    ...scene,
    capsules: scene.capsules.map((one) => ({ ...one, usualNull: true })),
  });
  fc.assert(
    fc.property(anyScene, (one) => isWhole({ ...usual(one), parts: [] })),
    { numRuns: sized(12, 40), seed: 6 },
  );
});

describe('draws', () => {
  test('are the same to the last bit for one seed, and others for another', async () => {
    const scene = await brassHall();
    const seeded = (seed: number) => tolerancesOf({ ...scene, tolerance: toleranceOf({ seed, draws: 8 }) });
    const [one, again, other] = [seeded(7), seeded(7), seeded(8)];
    expect(again).toEqual(one);
    expect(other.rows[0]?.sorted).not.toEqual(one.rows[0]?.sorted);
  });

  test('come from the Mersenne twister: its 10,000th integer from seed 5489 is 4123659995 (C++ standard)', () => {
    const next = integers(5489);
    for (let i = 1; i < 10_000; i++) next();
    expect(next()).toBe(4123659995);
  });

  test('can be stopped, and are the same with pauses as at once', async () => {
    const scene = evenPair();
    const stop = new AbortController();
    stop.abort();
    expect(await runTolerances(scene, { signal: stop.signal })).toBeNull();
    expect(await runTolerances(scene)).toEqual(tolerancesOf(scene));
  });

  test('count up to the whole', () => {
    const scene = evenPair();
    const steps = [...drawing(scene, ['signal-to-bleed'])];
    expect(steps.map(({ done }) => done)).toEqual(steps.map((_, i) => i + 1));
    expect(steps.at(-1)?.done).toBe(steps.at(-1)?.total);
  });
});

describe('the chance that a limit holds', () => {
  // 20·lg 2 dB, even within ±3 dB: above by 1.5 dB in a quarter of the cases
  test.each([
    { over: -3.5, share: 1 },
    { over: -1.5, share: 0.75 },
    { over: 1.5, share: 0.25 },
    { over: 3.5, share: 0 },
  ])('$over dB over the middle of an even ±3 dB is $share', ({ over, share }) => {
    const limit = 20 * Math.log10(2) + over;
    const { holds } = onlyRow(evenPair({ mics: [micOf('mic', [0], [0], { limit })] }));
    expect(Math.abs((holds ?? Number.NaN) - share)).toBeLessThan(0.03);
  });
});

describe('what matters most', () => {
  test('is the one thing that varies, its spread eight tenths of the whole', () => {
    const { causes } = onlyRow(evenPair());
    expect(causes.map(({ cause }) => cause)).toEqual(['level']);
    // from 100 draws: √(0.1·0.9/100) of the 6 dB at either end, four times
    expect(Math.abs((causes[0]?.spread ?? 0) - 4.8)).toBeLessThan(1);
  });

  test('is the greater of two, whichever it is', () => {
    const both = (guessedLevel: number) =>
      onlyRow(evenPair({ tolerance: toleranceOf({ ...REST, guessedLevel, place: 0.3, draws: 100 }) }));
    expect(both(6).causes.map(({ cause }) => cause)).toEqual(['level', 'place']);
    expect(both(0.2).causes.map(({ cause }) => cause)).toEqual(['place', 'level']);
  });
});

describe('no figure', () => {
  test('where no other source sounds: the limit holds always', () => {
    const row = onlyRow(
      evenPair({ sources: [pointSource([0, 1, 0])], passages: [{ name: null, path: [], sounds: [true] }] }),
    );
    expect(row).toMatchObject({ p10: null, p50: null, p90: null, holds: 1 });
  });

  test('where its own source sounds in no passage: neither holds nor fails', () => {
    const row = onlyRow(evenPair({ passages: [{ name: 'intro', path: [], sounds: [false, true] }] }));
    expect(row).toMatchObject({ p10: null, p50: null, p90: null, holds: null, causes: [] });
  });

  test('where it gets nothing of its own: the limit never holds', () => {
    const silent = pointSource([0, 1, 0], { power: new Float64Array(8) });
    const row = onlyRow(evenPair({ sources: [silent, pointSource([0, -2, 0])] }));
    expect(row).toMatchObject({ p50: null, holds: 0 });
  });
});

describe('at a confidence', () => {
  const limits = { ...plainLimits, confidence: 0.9, threeToOne: 3 };

  test('a mic is judged by what 90 % of runs reach', () => {
    // plain: 6.02 dB against 4 dB, 2.02 dB over; the 10th percentile is 2.4 dB lower, 0.38 dB under
    const mics = [micOf('mic', [0], [0], { limit: 4 })];
    const plain = evenPair({ mics });
    expect(judge(plain, transfer(plain)).mics[0]).toMatchObject({ verdict: 'marginal' });
    const sure = evenPair({ mics, limits });
    const report = judge(sure, transfer(sure));
    expect(report.mics[0]).toMatchObject({ verdict: 'short' });
    expect(Math.abs((report.mics[0]?.margin ?? 0) + 0.38)).toBeLessThan(0.15);
    expect(report.mics[0]?.signalToBleed).toBeCloseTo(20 * Math.log10(2), 9);
    expect(report.mics[0]?.remark).toMatch(/^at least 3\.[5-7] dB in 90 % of runs/);
    expect(report.cautions.map(({ message }) => message)).toEqual([
      expect.stringMatching(/met in 90 % of 4000 random runs/),
    ]);
  });

  test('the 3:1 rule is judged so too', () => {
    // mics 3.1 m apart, 1 m from their sources: 0.28 dB over as planned; 10 cm either way bring it under in many draws
    const scene = evenPair({
      sources: [pointSource([0, 1, 0]), pointSource([3.1, 1, 0], { name: 'other', part: 1 })],
      capsules: [
        capsuleOf([0, 0, 0], [0, 1, 0], { name: 'one' }),
        capsuleOf([3.1, 0, 0], [0, 1, 0], { name: 'other', mic: 1 }),
      ],
      mics: [micOf('one', [0], [0]), micOf('other', [1], [1])],
      limits,
      tolerance: toleranceOf({ ...REST, place: 0.1, draws: 300 }),
    });
    const plain = { ...scene, limits: { ...limits, confidence: null } };
    expect(judge(plain, transfer(plain)).threeToOne[0]).toMatchObject({ verdict: 'marginal' });
    expect(judge(scene, transfer(scene)).threeToOne[0]).toMatchObject({ verdict: 'short' });
  });

  test('ghosts and parts to be edited alone are judged so too', async () => {
    const scene = await brassHall();
    const result = transfer(scene);
    const tolerances = tolerancesOf({ ...scene, tolerance: toleranceOf({ draws: 40 }) });
    const sure = { ...scene, limits: { ...scene.limits, confidence: 0.9 } };
    const { parts } = judge(sure, result, [], tolerances);
    const row = (kind: ToleranceRow['kind'], name: string) =>
      tolerances.rows.find((one) => one.kind === kind && one.about[0] === name) as ToleranceRow;
    const named = (name: string) => parts.find((part) => part.name === name);
    // a ghost may be at most −25 dB, in nine draws of ten: its 90th percentile; S/B of the tuba at least 20 dB: its 10th
    expect(named('soprano')?.margin).toBeCloseTo(-25 - (row('ghost', 'soprano').p90 ?? 0), 9);
    expect(named('tuba')?.isolation.margin).toBeCloseTo((row('isolation', 'tuba').p10 ?? 0) - 20, 9);
    expect(named('drums')).toMatchObject({ margin: null, verdict: null });
    const limit = limitRows(judge(sure, result, [], tolerances));
    expect(limit.find(({ kind, about }) => kind === 'ghost' && about[0] === 'soprano')?.margin).toBe(
      named('soprano')?.margin,
    );
  });

  test('what may be at most so much is judged at its upper end', () => {
    const row = { limit: -25, limitIs: 'most', sorted: Float64Array.from([-40, -30, -20]) } as const;
    expect(marginAt(row, 0.5)).toBe(5);
    expect(marginAt(row, 1)).toBe(-5);
  });
});

describe('percentiles', () => {
  // Hyndman and Fan's definition 7: at (n − 1)·p, linear between neighbours
  test.each([
    [0, 1],
    [0.1, 1.3],
    [0.5, 2.5],
    [1, 4],
  ])('%d of 1, 2, 3, 4 is %d', (p, value) => {
    expect(quantile(Float64Array.of(1, 2, 3, 4), p)).toBeCloseTo(value, 12);
  });

  test('next to what is infinite are infinite, never NaN', () => {
    const sorted = Float64Array.of(Number.NEGATIVE_INFINITY, 1, Number.POSITIVE_INFINITY);
    expect([0, 0.25, 0.5, 0.75, 1].map((p) => quantile(sorted, p))).toEqual([
      Number.NEGATIVE_INFINITY,
      Number.NEGATIVE_INFINITY,
      1,
      Number.POSITIVE_INFINITY,
      Number.POSITIVE_INFINITY,
    ]);
  });
});
