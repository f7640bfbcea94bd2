/**
 * Nulls turned at what is not wanted. The microphone stands at (5, 5, 1.2), its own source straight up the page of it at
 * (5, 6, 1.2), so that the plain aim is (0, 1, 0). Null angles θ from A + B cos θ = 0, A + B = 1: cos θ = −A/(1 − A).
 */
import { describe, expect, test } from 'vitest';
import type { Vec3 } from '../../src/geometry.ts';
import { angleBetween, bearingOf, direction, subtract, tiltOf } from '../../src/geometry.ts';
import { energyAt, transfer } from '../../src/transfer/transfer.ts';
import { capsuleNamed, expectVector, faultsOf, resolved, sceneOf } from './resolved.ts';

const MIC: Vec3 = [5, 5, 1.2];

/** Both sources omnidirectional; the other one so many degrees to the right of the aim and above it, 2 m off. */
function plan(mic: string, bearing: number, tilt = 0): string {
  const at = direction(bearing, tilt).map((part, i) => (part * 2 + (MIC[i] ?? 0)).toFixed(9));
  return `sources:
  own: {spectrum: 0, level: 80 dB at 1 m, at: [5, 6, 1.2], facing: 180}
  other: {spectrum: 0, level: 80 dB at 1 m, at: [${at.join(', ')}], facing: 180}
mics:
  m: {for: own, at: [5, 5, 1.2], null-at: other, ${mic}}
  plain: {for: own, at: [5, 5, 1.2], pattern: omni}`;
}

const NULLS = [
  { pattern: 'figure-8', cone: 90, working: 'cos θ = 0' },
  { pattern: 'hypercardioid', cone: 109.471, working: 'cos θ = −0.25/0.75 = −1/3' },
  { pattern: 'supercardioid', cone: 125.262, working: 'cos θ = −0.366/0.634 = −0.57729' },
  { pattern: 'cardioid', cone: 180, working: 'cos θ = −1' },
  { pattern: '{A: 0.4}', cone: 131.81, working: 'cos θ = −0.4/0.6 = −2/3' },
] as const;

describe('as little as needed', () => {
  test.each(NULLS)(
    '$pattern, null at $cone° ($working): 6° short of it, it turns 6° away',
    async ({ pattern, cone }) => {
      // the other source stands 6° in front of the null: the aim turns that much to the left
      const { aim } = capsuleNamed(
        await sceneOf(plan(`pattern: "${pattern}"`.replace(/"(\{.*\})"/, '$1'), cone - 6)),
        'm',
      );
      expect(((bearingOf(aim) + 180) % 360) - 180).toBeCloseTo(-6, 2);
      expect(tiltOf(aim)).toBeCloseTo(0, 6);
    },
  );

  test.each(NULLS.filter(({ cone }) => cone < 170))(
    '$pattern, null at $cone°: 6° behind it, it turns 6° toward it',
    async ({ pattern, cone }) => {
      const { aim } = capsuleNamed(await sceneOf(plan(`pattern: ${pattern}`, cone + 6)), 'm');
      expect(((bearingOf(aim) + 180) % 360) - 180).toBeCloseTo(6, 2);
    },
  );

  test('a null that looks there already does not move', async () => {
    expectVector(capsuleNamed(await sceneOf(plan('pattern: cardioid', 180)), 'm').aim, [0, 1, 0]);
    expectVector(capsuleNamed(await sceneOf(plan('pattern: figure-8', 90)), 'm').aim, [0, 1, 0]);
  });

  test('it turns in the plane of aim and target, upward from what lies below', async () => {
    // 60° below the aim; a figure-8 turns 30° up: (0, cos 30°, sin 30°), at 20 lg cos 30° = −1.25 dB
    expectVector(capsuleNamed(await sceneOf(plan('pattern: figure-8', 0, -60)), 'm').aim, [0, 0.86603, 0.5]);
  });

  test.each([
    [70, 25],
    [100, -50],
    [130, 10],
    [250, 40],
  ])('at bearing %i°, tilt %i° the null meets it, and no smaller turn would do', async (bearing, tilt) => {
    const scene = await sceneOf(plan('pattern: hypercardioid, aim-loss: 60 dB', bearing, tilt));
    const { aim } = capsuleNamed(scene, 'm');
    const away = subtract(scene.sources[1]?.points[0]?.at ?? MIC, MIC);
    expect(angleBetween(aim, away)).toBeCloseTo(109.471, 2);
    // on a sphere the nearest point of a circle is as far off as the angles differ
    expect(angleBetween(aim, [0, 1, 0])).toBeCloseTo(Math.abs(109.471 - angleBetween([0, 1, 0], away)), 2);
  });
});

describe('what it brings', () => {
  test.each(NULLS)(
    '$pattern: the other source lies 25 dB down, the depth of the null',
    async ({ pattern, cone }) => {
      const scene = await sceneOf(plan(`pattern: ${pattern}, proximity: false`, cone - 6));
      const result = transfer(scene);
      for (let band = 0; band < 8; band++) {
        const down = energyAt(result, 1, 0, band) / energyAt(result, 1, 1, band);
        expect(10 * Math.log10(down)).toBeCloseTo(-25, 3);
      }
    },
  );
});

describe('what it may cost', () => {
  // cardioid, 60° of turn: 20 lg((1 + cos 60°)/2) = −2.4988 dB. 2 dB: (1 + cos θ)/2 = 10^−0.1 = 0.79433, θ = 53.94°.
  test('2 dB where the plan does not say: it stops there, and says how far off and what the rest would cost', async () => {
    const { scene, findings } = await resolved(plan('pattern: cardioid', 120));
    expect(bearingOf(scene?.capsules[0]?.aim ?? MIC)).toBeCloseTo(360 - 53.94, 1);
    expect(findings).toHaveLength(1);
    expect(findings[0]).toMatchObject({
      code: 'WARNING',
      severity: 'warning',
      path: ['mics', 'm', 'null-at'],
      message: 'the null is 6° short of other: turning it all 60° would cost 2.5 dB of signal',
      fix: 'allow it with `aim-loss: 3 dB`, or move the mic',
    });
  });

  test('with aim-loss as proposed there it turns the whole way, and nothing is said', async () => {
    const scene = await sceneOf(plan('pattern: cardioid, aim-loss: 3 dB', 120));
    expect(bearingOf(capsuleNamed(scene, 'm').aim)).toBeCloseTo(300, 6);
  });

  test('aim-loss: 0 dB does not turn at all', async () => {
    const { scene, findings } = await resolved(plan('pattern: cardioid, aim-loss: 0 dB', 120));
    expectVector(scene?.capsules[0]?.aim, [0, 1, 0]);
    expect(findings[0]?.message).toContain('is 60° short of other');
  });

  test('what stands right before its own source cannot be nulled: it says so and does not lose the source', async () => {
    const { scene, findings } = await resolved(plan('pattern: figure-8', 0));
    // 20 lg cos θ = −2: θ = 37.41°
    expect(angleBetween(scene?.capsules[0]?.aim ?? MIC, [0, 1, 0])).toBeCloseTo(37.41, 1);
    expect(findings[0]?.message).toContain('the null is 53° short of other: turning it all 90°');
    expect(findings[0]?.message).not.toMatch(/NaN|Infinity/);
  });
});

describe('refused', () => {
  test.each(['omni', 'wide-cardioid', 'lavalier-omni', '{A: 0.6}'])('%s has no null', async (pattern) => {
    expect(await faultsOf(plan(`pattern: ${pattern}`, 120))).toEqual([
      expect.stringMatching(/^mics\.m\.null-at: this pattern has no null to point/),
    ]);
  });

  test('a target that is not there', async () => {
    expect(await faultsOf(plan('pattern: cardioid', 120).replace('null-at: other', 'null-at: othr'))).toEqual(
      [expect.stringMatching(/^mics\.m\.null-at: .*"othr".*"other"/)],
    );
  });

  test('a capsule whose A drifts counts with its A at 1 kHz', async () => {
    // large-cardioid: A = 0.5 at 1 kHz, 0.32 at 8 kHz: the null of 1 kHz lies at 180°
    expectVector(capsuleNamed(await sceneOf(plan('pattern: large-cardioid', 180)), 'm').aim, [0, 1, 0]);
  });
});
