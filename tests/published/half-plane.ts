/**
 * A rigid half-plane x = 0 below z = edge, without end along y, point source and mic, one frequency, c = 343.2:
 * our reference table `half_plane`. Losses in dB: exact (Macdonald 1915), the closed form (Hadden and Pierce 1981)
 * and the formulas of the trade, each evaluated independently when the table was made.
 */
import { sameInAllBands } from '../../src/acoustics/bands.ts';
import {
  edgeWave,
  IM,
  newBend,
  newEdgeWave,
  passesClear,
  RE,
  setHalfAngle,
  wavenumbersAt,
} from '../../src/transfer/edge-diffraction.ts';

export const C = 343.2;

type Spot = readonly [number, number, number];

export type Place = {
  readonly source: Spot;
  readonly mic: Spot;
  readonly edge: number;
  readonly hertz: number;
};

export type Row = Place & {
  readonly id: string;
  readonly loss: number;
  readonly closed: number;
  /** 10 lg(3 + 20N); the fit to Maekawa's chart; Kurze and Anderson; ISO 9613-2 with C2 = 20, at most 20 dB. */
  readonly maekawa: number;
  readonly fit: number;
  readonly kurze: number;
  readonly iso: number;
};

/** Loss past the edge as we compute it. */
export function closedFormLoss(row: Place): number {
  const [sx, sy, sz] = row.source;
  const [mx, my, mz] = row.mic;
  const bend = newBend();
  bend.before = Math.hypot(sx, row.edge - sz);
  bend.after = Math.hypot(mx, row.edge - mz);
  setHalfAngle(bend.toSource, Math.abs(sx), row.edge - sz);
  setHalfAngle(bend.toMic, Math.abs(mx), row.edge - mz);
  bend.whole = Math.hypot(bend.before + bend.after, my - sy);
  bend.straight = Math.hypot(mx - sx, my - sy, mz - sz);
  const wave = newEdgeWave();
  edgeWave(wave, bend, sameInAllBands(1), {
    ...wavenumbersAt(C),
    inverseRoot: sameInAllBands(Math.sqrt(row.hertz / C)),
  });
  const [re = 0, im = 0] = [wave[RE], wave[IM]];
  const phase = (2 * Math.PI * row.hertz * (bend.whole - bend.straight)) / C;
  const through = passesClear(bend) ? 1 : 0;
  const total = Math.hypot(
    through + re * Math.cos(phase) - im * Math.sin(phase),
    re * Math.sin(phase) + im * Math.cos(phase),
  );
  return -20 * Math.log10(total);
}

// biome-ignore format: a table
export const ROWS: readonly Row[] = ([
  //         source          mic          edge   hertz  exact   closed  maekawa fit     kurze   iso
  ['G1-125', [-0.5, 0, 1], [0.5, 0, 1], 1.5, 125, 9.98, 9.871, 9.559, 9.843, 8.886, 7.794],
  ['G1-500', [-0.5, 0, 1], [0.5, 0, 1], 1.5, 500, 14.699, 14.709, 14.336, 13.817, 13.869, 11.781],
  ['G1-2000', [-0.5, 0, 1], [0.5, 0, 1], 1.5, 2000, 20.498, 20.5, 19.981, 19.837, 19.819, 17.099],
  ['G1-8000', [-0.5, 0, 1], [0.5, 0, 1], 1.5, 8000, 26.5, 26.5, 25.902, 25.858, 25.84, 20],
  ['G2-125', [-0.3, 0, 1], [0.3, 0, 1], 1.5, 125, 12.773, 12.629, 10.511, 10.554, 9.83, 8.527],
  ['G2-1000', [-0.3, 0, 1], [0.3, 0, 1], 1.5, 1000, 20.39, 20.397, 18.388, 18.184, 18.168, 15.562],
  ['G2-4000', [-0.3, 0, 1], [0.3, 0, 1], 1.5, 4000, 26.359, 26.359, 24.264, 24.205, 24.187, 20],
  ['G3-250', [-1, 0, 1], [1, 0, 1], 1.5, 250, 9.934, 9.923, 9.947, 10.131, 9.266, 8.088],
  ['G3-1000', [-1, 0, 1], [1, 0, 1], 1.5, 1000, 15.044, 15.048, 14.845, 14.385, 14.416, 12.242],
  ['G3-4000', [-1, 0, 1], [1, 0, 1], 1.5, 4000, 20.906, 20.907, 20.533, 20.406, 20.388, 17.636],
  ['G4-125', [-0.5, 0, 1], [2, 0, 1], 1.5, 125, 7.803, 7.759, 8.397, 8.986, 7.796, 6.952],
  ['G4-500', [-0.5, 0, 1], [2, 0, 1], 1.5, 500, 12.374, 12.378, 12.708, 12.261, 12.124, 10.346],
  ['G4-2000', [-0.5, 0, 1], [2, 0, 1], 1.5, 2000, 18.044, 18.045, 18.171, 17.957, 17.941, 15.354],
  ['G5-250', [-0.3, 0, 0.6], [2, 0, 1.2], 2, 250, 15.926, 15.936, 15.823, 15.458, 15.462, 13.141],
  ['G5-1000', [-0.3, 0, 0.6], [2, 0, 1.2], 2, 1000, 21.804, 21.806, 21.58, 21.479, 21.46, 18.66],
  ['G6-250', [-1, 0, 1.2], [1, 0, 1.2], 1.3, 250, 5.469, 5.448, 5.173, 6.163, 5.259, 4.977],
  ['G6-1000', [-1, 0, 1.2], [1, 0, 1.2], 1.3, 1000, 7.654, 7.644, 6.194, 7.26, 5.976, 5.54],
  ['G6-4000', [-1, 0, 1.2], [1, 0, 1.2], 1.3, 4000, 10.693, 10.691, 8.837, 9.31, 8.199, 7.263],
  ['G7-500', [-1, 0, 1.2], [1, 0, 1.2], 1.2, 500, 4.842, 4.849, 4.771, 5, 5, 4.771],
  ['G7-2000', [-1, 0, 1.2], [1, 0, 1.2], 1.2, 2000, 5.442, 5.443, 4.771, 5, 5, 4.771],
  ['G8-250', [-1, 0, 1.2], [1, 0, 1.2], 1.1, 250, 3.265, 3.304, 4.329, 3.837, 4.73, 4.556],
  ['G8-2000', [-1, 0, 1.2], [1, 0, 1.2], 1.1, 2000, 1.891, 1.888, 0, 1.866, 2.429, 2.642],
  ['G9-500', [-1, 0, 1], [1.5, 1, 1.1], 1.8, 500, 14.146, 14.151, 14.269, 13.742, 13.797, 11.721],
  ['G9-2000', [-1, 0, 1], [1.5, 1, 1.1], 1.8, 2000, 19.97, 19.971, 19.908, 19.762, 19.744, 17.029],
] as const).map(([id, source, mic, edge, hertz, loss, closed, maekawa, fit, kurze, iso]) => ({
  id, source, mic, edge, hertz, loss, closed, maekawa, fit, kurze, iso,
}));
