import { describe, expect, test } from 'vitest';
import { BAND_EDGE, MID_BANDS } from '../../src/acoustics/bands.ts';
import { setEdgePaths, setStraight } from '../../src/transfer/diffraction-path.ts';
import { preparePanel } from '../../src/transfer/panel.ts';
import { newPanelWorkspace, sumPastPanel } from '../../src/transfer/panel-diffraction.ts';
import { sized } from '../sized.ts';
import { panelFrom } from '../transfer/panels.ts';
import { expectStated, rms, worst } from './expect-stated.ts';
import { STATED } from './stated.ts';
import { C, energyRatio, type Flat, simulate, snapped } from './wave-grid.ts';

const SOURCES: readonly Flat[] = [
  [0, -0.7],
  [0.5, -1.2],
];
const MICS: readonly Flat[] = [
  [0, 0.7],
  [0.4, 1],
  [-0.9, 1.3],
  [1.3, 0.8],
  [0.2, 1.6],
  [-1.7, 0.6],
];
const WIDTHS = [0.6, 1.2, 2.4] as const;
const BANDS = [1, 2, 3, 4] as const;
/** A quarter of a minute of simulation; `npm test` runs the half with one source. */
const WHOLE = sized(0, 1) === 1;

/**
 * The formula for a strip without end upwards, which leaves both sides. A line source spreads as 1/√r: against a point
 * source's, each edge wave is √(L/d) stronger, which is what the free energies carry.
 */
function formula(width: number, [sx, sy]: Flat, [mx, my]: Flat): Float64Array {
  const workspace = newPanelWorkspace(C);
  const strip = preparePanel(
    panelFrom(
      [
        [-width / 2, 0],
        [width / 2, 0],
      ],
      { high: 3, loss: 200 },
    ),
    null,
    { a: false, b: false, top: true },
  );
  setStraight(workspace, [sx, sy, 1], [mx, my, 1]);
  setEdgePaths(workspace, strip, [sx, sy, 1], [mx, my, 1]);
  for (const side of workspace.sides) side.free.fill(side.length / workspace.straight.length);
  sumPastPanel(workspace);
  return workspace.weighted.slice();
}

/** Ours over the grid, and what the grid itself says that the strip takes, dB. */
type Difference = {
  readonly width: number;
  readonly band: number;
  readonly decibels: number;
  readonly taken: number;
};

function differences(): Difference[] {
  return (WHOLE ? SOURCES : SOURCES.slice(0, 1)).flatMap((wished) => {
    const source = snapped(wished);
    const mics = MICS.map(snapped);
    const free = simulate(source, mics, null);
    return WIDTHS.flatMap((width) => {
      const behind = simulate(source, mics, [-width / 2, width / 2]);
      return mics.flatMap((mic, m) => {
        const ours = formula(width, source, mic);
        return BANDS.map((band): Difference => {
          const middle = MID_BANDS[band] as number;
          const edges: Flat = [middle / BAND_EDGE, middle * BAND_EDGE];
          const grid = energyRatio(behind[m] as Float64Array, free[m] as Float64Array, edges);
          const decibels = 10 * Math.log10((ours[band] as number) / grid);
          return { width, band, decibels, taken: -10 * Math.log10(grid) };
        });
      });
    });
  });
}

describe('a rigid strip 0.6, 1.2 and 2.4 m wide, against a simulation of the wave equation', () => {
  const all = differences();
  const of = (band: number, widths: readonly number[] = WIDTHS): number[] =>
    all.filter((one) => one.band === band && widths.includes(one.width)).map(({ decibels }) => decibels);

  test.each([
    // 125 Hz lies below what the closed form promises; the limit only keeps it from getting worse unseen.
    { band: 1, hertz: 125, limit: 1.5, most: 2.5 },
    { band: 2, hertz: 250, limit: 1, most: 2.5 },
    { band: 3, hertz: 500, limit: 0.5, most: 1 },
    // A point of the grid may lie in a null of the waves, which ours fills: it holds for places known to 2.2 cm.
    { band: 4, hertz: 1000, limit: 0.5, most: 1.5 },
  ])(
    'at $hertz Hz it is within $limit dB rms over all widths and places, $most dB at worst',
    ({ band, limit, most }) => {
      expect(rms(of(band))).toBeLessThan(limit);
      expect(worst(of(band))).toBeLessThan(most);
    },
  );

  test.runIf(WHOLE)('it is as near as the page on the model says', () => {
    const found = (values: readonly number[]) => ({ rms: rms(values), worst: worst(values) });
    expectStated(STATED.strips125, found(of(1)));
    expectStated(STATED.strips250, found(of(2)));
    expectStated(STATED.strips500, found(of(3)));
    expectStated(STATED.strips1k, found(of(4)));
    expectStated(STATED.narrowStrip, found(of(2, [0.6])));
  });

  test('of 1.2 m takes 2 to 3 dB at 125 Hz by the simulation itself, mean of all places', () => {
    const taken = all.filter(({ band, width }) => band === 1 && width === 1.2).map((one) => one.taken);
    const mean = taken.reduce((sum, one) => sum + one, 0) / taken.length;
    expect(mean).toBeGreaterThan(2);
    expect(mean).toBeLessThan(3);
  });

  test.runIf(WHOLE).each(WIDTHS)('%f m alone is within 0.5 dB rms from 500 Hz up', (width) => {
    for (const band of [3, 4]) expect(rms(of(band, [width]))).toBeLessThan(0.5);
  });
});
