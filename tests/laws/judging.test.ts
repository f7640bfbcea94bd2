import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Vec3 } from '../../src/geometry.ts';
import { judge } from '../../src/judge/judge.ts';
import type { Report } from '../../src/judge/report.ts';
import type { Scene, Source } from '../../src/scene/scene.ts';
import { energyAt, transfer } from '../../src/transfer/transfer.ts';
import { pointSource } from '../build-scene.ts';
import { sized } from '../sized.ts';
import { scene, source, span } from './scenes.ts';

const RUNS = { numRuns: sized(30, 60), seed: 17, endOnFailure: true };
const WEIGHTINGS = ['own', 'Z', 'A', 'C'] as const;

const reportOf = (one: Scene): Report => judge(one, transfer(one));

const weighted = (one: Scene, weighting: (typeof WEIGHTINGS)[number]): Scene => ({
  ...one,
  limits: { ...one.limits, weighting },
});

function louder(one: Scene, which: number, gainDb: number): Scene {
  const sources = one.sources.map((s, i) =>
    i === which ? { ...s, power: s.power.map((power) => power * 10 ** (gainDb / 10)) } : s,
  );
  return { ...one, sources };
}

const withSource = (one: Scene, more: Source): Scene => ({
  ...one,
  sources: [...one.sources, more],
  passages: one.passages.map((passage) => ({ ...passage, sounds: [...passage.sounds, true] })),
});

describe('a source 10 dB louder', () => {
  test('raises its rows by exactly 10 dB and no other', () => {
    fc.assert(
      fc.property(scene, fc.integer({ min: 0, max: 2 }), (one, which) => {
        const [before, after] = [
          reportOf(weighted(one, 'Z')),
          reportOf(weighted(louder(one, which, 10), 'Z')),
        ];
        before.mics.forEach((mic, m) => {
          mic.levels.forEach((row, s) => {
            const raised = after.mics[m]?.levels[s];
            const wanted = s === which ? 10 : 0;
            expect((raised?.level ?? 0) - (row.level ?? 0)).toBeCloseTo(wanted, 9);
            row.byBand.forEach((level, band) => {
              expect((raised?.byBand[band] ?? 0) - (level ?? 0)).toBeCloseTo(wanted, 9);
            });
          });
        });
      }),
      RUNS,
    );
  });

  test('that is the wanted one raises the S/B by exactly 10 dB in every weighting', () => {
    fc.assert(
      fc.property(scene, fc.constantFrom(...WEIGHTINGS), (one, weighting) => {
        const [before, after] = [
          reportOf(weighted(one, weighting)),
          reportOf(weighted(louder(one, 0, 10), weighting)),
        ];
        const [x, y] = [before, after].map((report) => report.mics[0]?.signalToBleed ?? Number.NaN);
        expect((y ?? 0) - (x ?? 0)).toBeCloseTo(10, 9);
      }),
      RUNS,
    );
  });

  test('all together leave every S/B where it was', () => {
    fc.assert(
      fc.property(scene, span(-30, 30), (one, gain) => {
        const all = one.sources.reduce((now, _, i) => louder(now, i, gain), one);
        const [before, after] = [reportOf(one), reportOf(all)];
        before.mics.forEach((mic, m) => {
          const shift = (after.mics[m]?.signalToBleed ?? Number.NaN) - (mic.signalToBleed ?? Number.NaN);
          expect(shift).toBeCloseTo(0, 9);
        });
      }),
      RUNS,
    );
  });
});

describe('one source more', () => {
  test('never raises anybody’s S/B', () => {
    fc.assert(
      fc.property(scene, source(0), fc.constantFrom(...WEIGHTINGS), (one, more, weighting) => {
        const judged = weighted(one, weighting);
        const [before, after] = [reportOf(judged), reportOf(withSource(judged, more))];
        before.mics.forEach((mic, m) => {
          expect(after.mics[m]?.signalToBleed).toBeLessThanOrEqual((mic.signalToBleed ?? 0) + 1e-9);
          expect(after.mics[m]?.signalToBleedUnweighted).toBeLessThan(mic.signalToBleedUnweighted ?? 0);
        });
      }),
      RUNS,
    );
  });
});

describe('the rows of a mic', () => {
  test('add up to its signal and its bleed', () => {
    fc.assert(
      fc.property(scene, (one) => {
        for (const mic of reportOf(one).mics) {
          const sum = (side: 'signal' | 'bleed') =>
            mic.levels
              .filter((row) => row.role === side)
              .reduce((all, { level }) => all + 10 ** ((level ?? -300) / 10), 0);
          expect(10 * Math.log10(sum('signal'))).toBeCloseTo(mic.signal ?? Number.NaN, 9);
          expect(10 * Math.log10(sum('bleed'))).toBeCloseTo(mic.bleed ?? Number.NaN, 9);
        }
      }),
      RUNS,
    );
  });

  test('have shares that add up to one', () => {
    fc.assert(
      fc.property(scene, (one) => {
        for (const { bleedShares } of reportOf(one).mics) {
          const sum = Object.values(bleedShares ?? {}).reduce((all, share) => all + share, 0);
          expect(sum).toBeCloseTo(1, 9);
        }
      }),
      RUNS,
    );
  });
});

/** Every number in a value, however deep. */
function numbersIn(value: unknown): number[] {
  if (typeof value === 'number') return [value];
  if (value instanceof Float64Array) return [...value];
  return typeof value === 'object' && value !== null ? Object.values(value).flatMap(numbersIn) : [];
}

describe('every number of a report is finite', () => {
  const corners: fc.Arbitrary<Vec3> = fc.constantFrom<Vec3>(
    [0, 0, 0],
    [7, 5, 3],
    [3.5, 0, 1],
    [3.5, 2.5, 0],
    [3.5, 2.5, 1],
  );

  test('whatever stands in corners, on walls or in one and the same place', () => {
    fc.assert(
      fc.property(scene, corners, corners, corners, (one, a, b, c) => {
        const capsules = one.capsules.map((mic, i) => (i < 2 ? { ...mic, at: [a, b][i] ?? a } : mic));
        const put = withSource({ ...one, capsules }, pointSource(c, { room: 0, part: 3, name: 'put' }));
        const sources = put.sources.map((s, i) => (i === 0 ? pointSource(a, { room: 0 }) : s));
        const all = { ...put, sources };
        const result = transfer(all);
        for (let i = 0; i < result.energy.length; i++) {
          expect(Number.isFinite(result.energy[i]) && (result.energy[i] ?? -1) >= 0).toBe(true);
        }
        expect(numbersIn(judge(all, result)).filter((value) => !Number.isFinite(value))).toEqual([]);
        expect(energyAt(result, 0, 0, 4)).toBeGreaterThan(0);
      }),
      RUNS,
    );
  });
});
