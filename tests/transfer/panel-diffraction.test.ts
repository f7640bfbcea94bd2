import { describe, expect, test } from 'vitest';
import { type Bands, bands } from '../../src/acoustics/bands.ts';
import type { Vec3 } from '../../src/geometry.ts';
import { setEdgePaths, setStraight } from '../../src/transfer/diffraction-path.ts';
import { BAND_SIZE, IM, RE, STEADY, setPhases, wavenumbersAt } from '../../src/transfer/edge-diffraction.ts';
import { preparePanel } from '../../src/transfer/panel.ts';
import type { PanelWorkspace } from '../../src/transfer/panel-diffraction.ts';
import { newPanelWorkspace, sumPast, sumPastPanel } from '../../src/transfer/panel-diffraction.ts';
import { panelFrom } from './panels.ts';

const C = 343.2;
const waves = wavenumbersAt(C);

type Complex = readonly [number, number];

/**
 * The mean of the design's `|1 − (a_h − D_l − D_r)(a_v − D_t − D_b)|²` at one wave number, where the phase of each D is off by itself
 * and the mean of its e^{iψ} is γ. By hand: both factors are independent, so that with their means A, B and mean squares P, Q it is
 * `1 − 2·Re(A·B) + P·Q`, `A = a − γ_l·D_l − γ_r·D_r` and `P = |A|² + (1 − γ_l²)|D_l|² + (1 − γ_r²)|D_r|²`.
 */
function squareAt(workspace: PanelWorkspace, band: number, wave: number): number {
  const clear = ([one, other]: PanelWorkspace['sides']): number =>
    (one.there && one.clear) || (other.there && other.clear) ? 0 : 1;
  const factor = (rounds: PanelWorkspace['sides']): { mean: Complex; square: number } => {
    let mean: Complex = [clear(rounds), 0];
    let spread = 0;
    for (const { there, detour, wave: edge } of rounds) {
      if (!there) continue;
      const [c, s] = [Math.cos(wave * detour), Math.sin(wave * detour)];
      const [x = 0, y = 0, gamma = 0] = [RE, IM, STEADY].map((part) => edge[band * BAND_SIZE + part]);
      mean = [mean[0] - gamma * (x * c - y * s), mean[1] - gamma * (x * s + y * c)];
      spread += (1 - gamma ** 2) * (x * x + y * y);
    }
    return { mean, square: mean[0] ** 2 + mean[1] ** 2 + spread };
  };
  const [across, upright] = [factor(workspace.sides), factor(workspace.horizontals)];
  const [a, b] = across.mean;
  const [c, d] = upright.mean;
  const effect = across.square * upright.square - 2 * (a * c - b * d);
  return 1 + effect * leftOf(workspace);
}

/** Of the effect of a panel that the line passes clear of: 1 − lift² for each edge that it is clear of. */
const leftOf = ({ sides, horizontals }: PanelWorkspace): number =>
  [...sides, ...horizontals].reduce(
    (left, { there, clear, lift }) => left * (there && clear ? 1 - lift ** 2 : 1),
    1,
  );

/** Its mean over each band by Simpson's rule, fine enough for the swings of a detour of some metres. */
function meanByIntegral(workspace: PanelWorkspace): Bands {
  const steps = 4000;
  return bands((band) => {
    const [low, high] = [waves.turns[band] ?? 0, waves.turns[band + 1] ?? 0].map(
      (turns) => 2 * Math.PI * turns,
    );
    let sum = 0;
    for (let i = 0; i <= steps; i++) {
      const weight = i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2;
      sum += weight * squareAt(workspace, band, (low ?? 0) + (((high ?? 0) - (low ?? 0)) * i) / steps);
    }
    return sum / (3 * steps);
  });
}

function passOf(source: Vec3, mic: Vec3, low: number, high: number): PanelWorkspace {
  const workspace = newPanelWorkspace(C);
  const ends = [
    [-0.6, 0],
    [0.6, 0],
  ] as const;
  const panel = preparePanel(panelFrom(ends, { low, high, alpha: 0.4 }), null);
  setStraight(workspace, source, mic);
  setEdgePaths(workspace, panel, source, mic);
  return workspace;
}

describe('the energy past a panel, as a mean over each band', () => {
  test.each<readonly [string, Vec3, Vec3, number, number]>([
    ['hidden behind it', [0.1, -1, 1], [-0.2, 1.4, 0.8], 0, 1.5],
    ['clear of one side', [1.3, -1, 1], [0.9, 1.4, 0.8], 0, 1.5],
    ['clear over its top', [0.1, -1, 1.9], [-0.2, 1.4, 1.7], 0, 1.5],
    ['clear of side and top', [1.3, -1, 1.9], [0.9, 1.4, 1.7], 0, 1.5],
    ['with a gap under it', [0.1, -1, 1], [-0.2, 1.4, 0.8], 0.2, 1.5],
    ['alike to both sides', [0, -1, 1], [0, 1.4, 0.8], 0, 1.5],
    ['nearly alike to both sides', [1e-5, -1, 1], [1e-5, 1.4, 0.8], 0, 1.5],
    ['grazing its top', [0.1, -1, 1.5], [-0.2, 1.4, 1.5], 0, 1.5],
    ['some metres round', [0.1, -0.3, 0.2], [-0.2, 0.4, 0.3], 0, 2.5],
  ])('%s is that of the written-out square', (_, source, mic, low, high) => {
    const workspace = passOf(source, mic, low, high);
    const expected = meanByIntegral(workspace);
    sumPast(workspace);
    workspace.past.forEach((value, band) => {
      expect(Math.abs(value / (expected[band] as number) - 1)).toBeLessThan(1e-6);
    });
  });

  test.each([
    [0.1, -0.2, 1],
    [1.3, 0.9, 1.2],
    [0.5, 0.9, 1.8],
    [-0.9, -0.1, 0.4],
  ])('from %d to %d m along it, %d m up, both ways of summing agree', (from, to, height) => {
    const workspace = passOf([from, -1, height], [to, 1.3, height + 0.1], 0, 1.5);
    sumPast(workspace);
    const once = workspace.past.slice();
    sumPastPanel(workspace);
    once.forEach((value, band) => {
      expect(Math.abs(value / (workspace.past[band] as number) - 1)).toBeLessThan(1e-9);
    });
  });
});

test('phases in turns are the sine and cosine of 2π times them', () => {
  const turns = Float64Array.of(0, 0.1, 0.25, 0.5, 0.999, 1, 7.77, 330.123);
  const phases = new Float64Array(2 * turns.length);
  setPhases(phases, 0, turns, 1);
  turns.forEach((turn, i) => {
    const angle = 2 * Math.PI * (turn % 1);
    expect(Math.abs((phases[2 * i] as number) - Math.cos(angle))).toBeLessThan(1e-13);
    expect(Math.abs((phases[2 * i + 1] as number) - Math.sin(angle))).toBeLessThan(1e-13);
  });
});
