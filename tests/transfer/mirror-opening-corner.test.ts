import { describe, expect, test } from 'vitest';
import { sameInAllBands } from '../../src/acoustics/bands.ts';
import type { Vec2, Vec3 } from '../../src/geometry.ts';
import { prepareAperture, throughAperture } from '../../src/transfer/aperture.ts';
import { combinedFactor, newWorkspace, startLosses } from '../../src/transfer/barrier-diffraction.ts';
import { addCorners, cornersOf } from '../../src/transfer/corner.ts';
import { pastPanel, setLength } from '../../src/transfer/diffraction-path.ts';
import { type PreparedPanel, preparePanel } from '../../src/transfer/panel.ts';
import { newPanelWorkspace } from '../../src/transfer/panel-diffraction.ts';
import type { Point } from '../../src/transfer/panel-view.ts';
import type { PathEnergy } from '../../src/transfer/path-energy.ts';
import { panelReflectance, reflectInPanel } from '../../src/transfer/reflections.ts';
import { panelFrom } from './panels.ts';

const C = 343.2;
const omni: PathEnergy = (into, _leave, _arrive, spread) => into.free.fill(1 / spread ** 2);

describe('a panel as a mirror', () => {
  const workspace = newPanelWorkspace(C);
  const into = sameInAllBands(0);
  const image: Point = [0, 0, 0];

  function reflect(panel: PreparedPanel, [source, mic]: readonly [Vec3, Vec3]): number {
    const at = reflectInPanel(image, panel, source, mic);
    pastPanel(workspace, panel, image, mic);
    panelReflectance(into, workspace, panel);
    return at;
  }

  test('a large one gives back (1−α)(1−τ) of the image source', () => {
    const panel = preparePanel(
      panelFrom(
        [
          [-30, 0],
          [30, 0],
        ],
        { high: 30, loss: 10, alpha: 0.3 },
      ),
      null,
    );
    const at = reflect(panel, [
      [0, 1, 15],
      [2, 3, 15],
    ]);
    expect(image).toEqual([0, -1, 15]);
    expect(at).toBeCloseTo(0.25, 9);
    for (const factor of into.subarray(2)) expect(factor).toBeCloseTo(0.7 * 0.9, 1);
  });

  test('a small one gives back little at low frequencies, more at high ones', () => {
    const panel = preparePanel(
      panelFrom(
        [
          [-0.6, 0],
          [0.6, 0],
        ],
        { high: 1.6, loss: 40 },
      ),
      null,
    );
    reflect(panel, [
      [-0.5, 1, 1],
      [0.5, 1, 1],
    ]);
    expect(into[0]).toBeLessThan(0.4);
    expect(into[7]).toBeGreaterThan(0.8);
  });

  test.each<readonly [Vec3, Vec3]>([
    [
      [0, 1, 1],
      [0, -1, 1],
    ],
    [
      [0, 0, 1],
      [0, 1, 1],
    ],
  ])('gives nothing between %j and %j, apart or in its plane', (source, mic) => {
    expect(
      reflect(
        preparePanel(
          panelFrom([
            [-1, 0],
            [1, 0],
          ]),
          null,
        ),
        [source, mic],
      ),
    ).toBe(-1);
  });
});

describe('an opening', () => {
  const workspace = newPanelWorkspace(C);
  function passed(width: number, high: number, source: Vec3, mic: Vec3): number[] {
    const into = sameInAllBands(0);
    const opening = prepareAperture(
      { a: [0, 0], b: [width, 0], low: 0, high },
      [{ outline: [], floor: 0, ceiling: 3 }],
      sameInAllBands(1),
    );
    expect(throughAperture(into, workspace, opening, { source, mic, pathEnergy: omni })).toBe(true);
    const free = 1 / Math.hypot(mic[0] - source[0], mic[1] - source[1], mic[2] - source[2]) ** 2;
    return [...into].map((energy) => 10 * Math.log10(energy / free));
  }

  test('a wide one up to the ceiling passes everything', () => {
    for (const level of passed(60, 3, [30, -1, 1], [30, 1, 1])) expect(Math.abs(level)).toBeLessThan(0.7);
  });

  test('on the line of its jamb half the pressure comes through', () => {
    // Knife edge at grazing, J(0) = 6 dB (ITU-R P.526); 1 m + 1 m, the other jamb far off.
    for (const level of passed(60, 3, [0, -1, 1], [0, 1, 1]).slice(2)) expect(level).toBeCloseTo(-6.02, 0);
  });

  test('missed by the line it still passes some, less at high frequencies', () => {
    const levels = passed(0.9, 2, [2, -1, 1], [2, 1, 1]);
    levels.slice(1).forEach((level, i) => {
      expect(level).toBeLessThan((levels[i] as number) + 1);
    });
    expect(levels[7]).toBeLessThan(-20);
  });

  test('a narrow slit passes energy as its width at low frequencies', () => {
    // Both jambs' waves nearly cancel: what is left is in proportion to the width, so 3 dB of width is 6 dB of level.
    const wide = passed(0.1, 3, [0.05, -2, 1], [0.05, 2, 1]);
    const slim = passed(0.05, 3, [0.025, -2, 1], [0.025, 2, 1]);
    expect((wide[3] as number) - (slim[3] as number)).toBeCloseTo(6, 0);
  });
});

describe('an L-shaped room', () => {
  const outline: readonly Vec2[] = [
    [0, 0],
    [6, 0],
    [6, 3],
    [3, 3],
    [3, 6],
    [0, 6],
  ];
  const workspace = newWorkspace(C);
  /** Where the sound bends, and what is left of it by band. */
  const bends = (alpha: number, source: Vec3, mic: Vec3) => {
    const corners = cornersOf(
      outline,
      outline.map(() => sameInAllBands(alpha)),
    );
    setLength(workspace, source, mic);
    startLosses(workspace);
    const found = addCorners(workspace, corners, [source, mic]);
    return { at: found?.map(({ at }) => at), left: combinedFactor(workspace) };
  };

  test('where the two see each other nothing bends', () => {
    expect(bends(0.1, [1, 1, 1], [5, 2, 1]).at).toEqual([]);
    expect(bends(0.1, [1, 5, 1], [4, 1, 1]).at).toEqual([]);
  });

  test('else the direct sound bends at the inner corner', () => {
    expect(bends(0.1, [2.5, 5.5, 1], [5.5, 2.5, 1]).at).toEqual([[3, 3]]);
  });

  test('symmetric, lined: the loss is the incident term alone', () => {
    // By hand, λ(1 kHz) = 0.3432: r0 = r = √(0.25+6.25) = 2.5495; β = 270°, ν = 2/3; φ − φ0 = 270° − 2·atan(0.5/2.5) = 247.38°;
    // m = (cos 120° − cos 164.92°)/(2/3·sin 120°) = (−0.5 + 0.96556)/0.57735 = 0.80638; Γ = √(2·r²/(λ·2r)) = √(2.5495/0.3432) =
    // 2.72555; X1 = 2.19782, f = 0.14336, g = 0.00913 (series 7.3.27-28); |D| = d/L/√2·√(f² + g²) with d = 3√2 = 4.2426, L =
    // 5.0990: 0.08452, 21.46 dB.
    const { left } = bends(1, [2.5, 5.5, 1], [5.5, 2.5, 1]);
    expect(-10 * Math.log10(left[4] as number)).toBeCloseTo(21.46, 1);
  });

  test('half of the pressure is left on the shadow line, and a hard wall changes nothing there', () => {
    // X1 = 0: c1 + D1 is 1/2 from either side. On the line through the corner φ + φ0 = π + 2·φ0, whose wave is added as s·D2.
    const { left } = bends(1, [2, 5, 1], [4.0001, 0.9999, 1]);
    for (const band of [3, 4, 5]) expect(-10 * Math.log10(left[band] as number)).toBeCloseTo(6.02, 1);
  });
});
