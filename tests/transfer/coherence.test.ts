import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { BAND_COUNT, MID_BANDS } from '../../src/acoustics/bands.ts';
import type { Vec3 } from '../../src/geometry.ts';
import { setEdgePaths, setStraight } from '../../src/transfer/diffraction-path.ts';
import { BAND_SIZE, driftOf, STEADY } from '../../src/transfer/edge-diffraction.ts';
import { preparePanel } from '../../src/transfer/panel.ts';
import type { EdgePath, PanelWorkspace } from '../../src/transfer/panel-diffraction.ts';
import { newPanelWorkspace, sumPast } from '../../src/transfer/panel-diffraction.ts';
import { sized } from '../sized.ts';
import { panelFrom } from './panels.ts';

const C = 343.2;
const PANEL = preparePanel(
  panelFrom(
    [
      [-0.7, 0],
      [0.7, 0],
    ],
    { low: 0.1, high: 1.6, alpha: 0.3 },
  ),
  null,
);

const span = (min: number, max: number) =>
  fc.noBias(fc.integer({ min: 0, max: 2 ** 30 })).map((i) => min + ((max - min) * (i + 0.5)) / 2 ** 30);
const before = fc.tuple(span(-2, 2), span(-3, -0.2), span(0.3, 2));
const behind = fc.tuple(span(-2, 2), span(0.2, 3), span(0.3, 2));

function passFor(source: Vec3, mic: Vec3): PanelWorkspace {
  const workspace = newPanelWorkspace(C);
  setStraight(workspace, source, mic);
  setEdgePaths(workspace, PANEL, source, mic);
  return workspace;
}

const roundsOf = (workspace: PanelWorkspace): EdgePath[] => [...workspace.sides, ...workspace.horizontals];

const steadyIn = ({ wave }: EdgePath, band: number): number => wave[band * BAND_SIZE + STEADY] as number;

function keepInStep({ wave }: EdgePath): void {
  for (let band = 0; band < BAND_COUNT; band++) wave[band * BAND_SIZE + STEADY] = 1;
}

/** |∇δ|² by differences of the detour itself, over both ends. */
function driftByDifferences(edge: number, source: Vec3, mic: Vec3): number {
  const h = 1e-5;
  const detour = (from: Vec3, to: Vec3): number => (roundsOf(passFor(from, to))[edge] as EdgePath).detour;
  const shifted = (point: Vec3, axis: number, by: number): Vec3 =>
    point.map((value, i) => (i === axis ? value + by : value)) as [number, number, number];
  return [0, 1, 2].reduce((sum, axis) => {
    const atMic = detour(source, shifted(mic, axis, h)) - detour(source, shifted(mic, axis, -h));
    const atSource = detour(shifted(source, axis, h), mic) - detour(shifted(source, axis, -h), mic);
    return sum + (atMic / (2 * h)) ** 2 + (atSource / (2 * h)) ** 2;
  }, 0);
}

describe('the part of a wave that is in step', () => {
  test("follows from how its detour changes with both ends' places, 2.2 cm off from 1 kHz up", () => {
    fc.assert(
      fc.property(before, behind, (source, mic) => {
        roundsOf(passFor(source, mic)).forEach((round, edge) => {
          const drift = driftByDifferences(edge, source, mic);
          expect(driftOf(source, round.first, round.last, mic)).toBeCloseTo(drift, 5);
          MID_BANDS.forEach((hertz, band) => {
            const phase = (2 * Math.PI * hertz * 0.022) / C;
            // Of the octaves those count whose waves are shorter than 40 cm: 1 kHz is 34 cm long, 500 Hz 68 cm.
            expect(steadyIn(round, band)).toBeCloseTo(band < 4 ? 1 : 1 / (1 + (phase ** 2 * drift) / 2), 5);
          });
        });
      }),
      { numRuns: 100, seed: 4 },
    );
  });

  test('changes the energy past a panel by as much as the page on the model says: 0.16, 0.30, 0.47 and 0.54 dB rms', () => {
    const cases = fc.sample(fc.tuple(before, behind), { numRuns: sized(5000, 20_000), seed: 5 });
    const squares = new Array<number>(BAND_COUNT).fill(0);
    for (const [source, mic] of cases) {
      const workspace = passFor(source, mic);
      sumPast(workspace);
      const ours = workspace.past.slice();
      for (const round of roundsOf(workspace)) keepInStep(round);
      sumPast(workspace);
      ours.forEach((past, band) => {
        squares[band] =
          (squares[band] as number) + (10 * Math.log10(past / (workspace.past[band] as number))) ** 2;
      });
    }
    const found = squares.map((sum) => Math.sqrt(sum / cases.length));
    // of a quarter of the sample: four times its standard error, √(1/(2·5000)) of the value
    const spare = sized(0.04 * 0.54, 0);
    const stated = [0, 0, 0, 0, 0.16, 0.3, 0.47, 0.54];
    found.forEach((value, band) => {
      expect(value).toBeLessThanOrEqual((stated[band] as number) + spare);
      expect(value).toBeGreaterThan((stated[band] as number) - 0.01 - spare);
    });
  });
});
