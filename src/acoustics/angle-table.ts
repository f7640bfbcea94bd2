/** Measured responses by angle, axisymmetric: of sources and of microphones. */
import { BAND_COUNT, type Bands } from './bands.ts';

/** Row i holds the energies of the eight bands at `i·180/(rows−1)` degrees off axis. */
export type AngleTable = { readonly rows: number; readonly energy: Float64Array };

/** Degrees between the rows that a typed table is brought to. */
const STEP = 1;

/** A table of equal steps from rows typed at any angles, dB re on axis, linear in dB between them; the ends hold. */
export function angleTable(degrees: readonly number[], levelsDb: readonly (readonly number[])[]): AngleTable {
  const rows = 180 / STEP + 1;
  const energy = new Float64Array(rows * BAND_COUNT);
  for (let row = 0, upper = 0; row < rows; row++) {
    while (upper < degrees.length - 1 && (degrees[upper] as number) < row * STEP) upper++;
    const lower = Math.max(0, upper - 1);
    const part = shareOf(row * STEP, degrees[lower] ?? 0, degrees[upper] ?? 0);
    for (let band = 0; band < BAND_COUNT; band++) {
      const low = levelsDb[lower]?.[band] ?? 0;
      const high = levelsDb[upper]?.[band] ?? 0;
      energy[row * BAND_COUNT + band] = 10 ** ((low + (high - low) * part) / 10);
    }
  }
  return { rows, energy };
}

/** Where an angle lies between two, 0 to 1; beyond either it holds. */
const shareOf = (at: number, from: number, to: number): number =>
  to > from ? Math.min(1, Math.max(0, (at - from) / (to - from))) : 1;

/** Energy of one band at cos θ, linear between rows. */
export function readAngleTable(table: AngleTable, band: number, cos: number): number {
  const steps = table.rows - 1;
  const at = (Math.acos(Math.min(1, Math.max(-1, cos))) / Math.PI) * steps;
  const row = Math.min(steps - 1, Math.floor(at));
  const low = table.energy[row * BAND_COUNT + band] ?? 0;
  const high = table.energy[(row + 1) * BAND_COUNT + band] ?? 0;
  return low + (high - low) * (at - row);
}

/** Mean energy over the sphere by band, ½ ∫ e(θ) sin θ dθ, exact for energies linear between the rows. */
export function sphereMeans(table: AngleTable): Bands {
  const weights = rowWeights(table.rows);
  const means = new Float64Array(BAND_COUNT);
  for (let i = 0; i < table.energy.length; i++) {
    const band = i % BAND_COUNT;
    means[band] =
      (means[band] as number) + (weights[(i - band) / BAND_COUNT] as number) * (table.energy[i] as number);
  }
  return means;
}

/** What each row counts in the sphere mean: ½ ∫ sin θ over the two ramps that rise to it and fall from it. */
function rowWeights(rows: number): Float64Array {
  const weights = new Float64Array(rows);
  const step = Math.PI / (rows - 1);
  for (let row = 0; row + 1 < rows; row++) {
    const [from, to] = [row * step, (row + 1) * step];
    const slope = (Math.sin(to) - Math.sin(from)) / step;
    weights[row] = (weights[row] as number) + (Math.cos(from) - slope) / 2;
    weights[row + 1] = (slope - Math.cos(to)) / 2;
  }
  return weights;
}
