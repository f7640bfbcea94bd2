/** Readings made comparable: the noise taken out of each, and how far each can be trusted. */
import { energyOf } from '../acoustics/bands.ts';
import { cellAt, type Readings } from './readings.ts';

export type Cell = {
  readonly row: number;
  readonly column: number;
  readonly layer: number;
  /** Where it stands in what is packed as the readings are. */
  readonly at: number;
  /** Without the noise, dB on the scale of its column. */
  readonly level: number;
  /** Standard deviation, dB: that of a reading, more where the noise is near. */
  readonly sigma: number;
};

export type Cells = {
  readonly cells: readonly Cell[];
  /** Readings left out because they stand less than `ABOVE_NOISE` over the noise. */
  readonly drowned: readonly { readonly row: number; readonly column: number; readonly layer: number }[];
};

/** Of one reading: a meter read by eye over some seconds of playing, dB. Common practice, no source. */
export const READING_SIGMA = 1;
/** Nearer to the noise than this no correction for it holds, dB. ISO 3744, from memory. */
const ABOVE_NOISE = 6;

/** Readings that there are and that stand over the noise. */
export function cellsOf(readings: Readings): Cells {
  const cells: Cell[] = [];
  const drowned: Cells['drowned'][number][] = [];
  for (const row of readings.rows.keys()) {
    for (const column of readings.columns.keys()) {
      for (const layer of readings.layers.keys()) {
        const at = cellAt(readings, row, column, layer);
        const read = readings.levels[at] as number;
        if (Number.isNaN(read)) continue;
        const cleaned = without(read, readings.noise[column * readings.layers.length + layer] as number);
        if (cleaned) cells.push({ row, column, layer, at, ...cleaned });
        else drowned.push({ row, column, layer });
      }
    }
  }
  return { cells, drowned };
}

/**
 * The level less the noise as energies. Both readings are uncertain alike and independent of each other, so that the
 * difference has `σ·√(E² + N²)/(E − N)`.
 */
function without(read: number, noise: number): Pick<Cell, 'level' | 'sigma'> | null {
  if (Number.isNaN(noise)) return { level: read, sigma: READING_SIGMA };
  if (read - noise < ABOVE_NOISE) return null;
  const share = energyOf(noise - read);
  return {
    level: read + 10 * Math.log10(1 - share),
    sigma: (READING_SIGMA * Math.hypot(1, share)) / (1 - share),
  };
}
