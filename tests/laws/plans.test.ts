import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { judge } from '../../src/judge/judge.ts';
import type { Report } from '../../src/judge/report.ts';
import { readPlan } from '../../src/plan/plan.ts';
import { resolve } from '../../src/scene/resolve.ts';
import { shippedCatalogue } from '../../src/shipped.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { sized } from '../sized.ts';
import type { Hand, Session } from './plan-text.ts';
import { inFeet, mirror, movedBy, plain, planText, session, turnedBy } from './plan-text.ts';
import { span } from './scenes.ts';

const RUNS = { numRuns: sized(9, 15), seed: 23, endOnFailure: true };
const catalogue = shippedCatalogue();

async function reportOf(one: Session, hand: Hand): Promise<Report> {
  const text = planText(one, hand);
  const { plan, findings, show } = await readPlan(text, {
    name: 'plan',
    load: async () => ({ problem: 'none' }),
  });
  if (!plan) throw new Error(show(findings));
  const { scene, findings: more } = resolve(plan, catalogue);
  if (!scene) throw new Error(show(more));
  return judge(scene, transfer(scene));
}

/** All levels, S/B and 3:1 ratios of a report; of a mirrored one, left and right of a pair change places. */
function figures(report: Report, swapped = false): Map<string, number | null> {
  const named = (name: string) =>
    swapped ? name.replace(/left|right/, (side) => (side === 'left' ? 'right' : 'left')) : name;
  const rows = report.mics.flatMap((mic) => [
    [`${named(mic.name)} S/B`, mic.signalToBleed] as const,
    ...mic.levels.flatMap((row) =>
      row.byBand.map((level, band) => [`${named(mic.name)} ${row.source} ${band}`, level] as const),
    ),
  ]);
  const ratios = report.threeToOne.map(
    ({ mics, ratio }) => [[...mics].map(named).sort().join(' '), ratio] as const,
  );
  return new Map([...rows, ...ratios]);
}

/** Largest difference of two reports' figures; they must have the same ones. */
function apart(one: Map<string, number | null>, other: Map<string, number | null>): number {
  expect([...other.keys()].sort()).toEqual([...one.keys()].sort());
  return Math.max(...[...one].map(([key, value]) => Math.abs((value ?? 0) - (other.get(key) ?? 0))));
}

describe('a plan', () => {
  test('written in feet says the same as in metres', async () => {
    await fc.assert(
      fc.asyncProperty(session, async (one) => {
        const [metres, feet] = [await reportOf(one, plain), await reportOf(one, inFeet)];
        expect(apart(figures(metres), figures(feet))).toBeLessThan(1e-6);
      }),
      RUNS,
    );
  });

  test('drawn elsewhere on the page says the same', async () => {
    await fc.assert(
      fc.asyncProperty(session, span(-40, 40), span(-40, 40), async (one, dx, dy) => {
        const [here, there] = [await reportOf(one, plain), await reportOf(one, movedBy(dx, dy))];
        expect(apart(figures(here), figures(there))).toBeLessThan(1e-6);
      }),
      RUNS,
    );
  });

  // What turns against the 500 still directions of the first-hit share is the room's field: see carrying.test.ts.
  test('turned on the page says the same within 0.25 dB', async () => {
    await fc.assert(
      fc.asyncProperty(session, span(0, 360), async (one, degrees) => {
        const [here, there] = [await reportOf(one, plain), await reportOf(one, turnedBy(degrees))];
        expect(apart(figures(here), figures(there))).toBeLessThan(0.25);
      }),
      RUNS,
    );
  });

  test('mirrored says the same within 0.25 dB, left for right', async () => {
    await fc.assert(
      fc.asyncProperty(session, async (one) => {
        const [here, there] = [await reportOf(one, plain), await reportOf(one, mirror)];
        expect(apart(figures(here), figures(there, true))).toBeLessThan(0.25);
      }),
      RUNS,
    );
  });
});
