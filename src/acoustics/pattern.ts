/** Microphones of the first order: `A + B·cos θ`, A + B = 1, with a null of finite depth and the proximity effect. */
import { BAND_COUNT, type Bands, bands, MID_BANDS } from './bands.ts';
import { type DirectivityTable, readAngleTable, sphereMeans } from './directivity.ts';

/** Energy floor ε² of a null of the given depth in dB; 0 for null (a textbook pattern). */
export const nullFloor = (depthDb: number | null): number => (depthDb === null ? 0 : 10 ** (-depthDb / 10));

/**
 * Energy response D² at cos θ for a wave whose radius is r_e: `ε² + (1−ε²)·[(A + B cos θ)² + (B cos θ/(k r_e))²]`.
 * `inverseKr` is 1/(k r_e)², 0 for a plane wave or with the proximity effect switched off. Second term: pressure gradient
 * of a spherical wave.
 */
export function firstOrder(a: number, floor: number, cos: number, inverseKr: number): number {
  const gradient = (1 - a) * cos;
  const sum = a + gradient;
  return floor + (1 - floor) * (sum * sum + gradient * gradient * inverseKr);
}

/** Random energy efficiency of a first-order pattern: `ε² + (1−ε²)(A² + B²/3)`. */
export function randomEfficiency(a: number, floor: number): number {
  return floor + (1 - floor) * (a * a + (1 - a) ** 2 / 3);
}

/** Random energy efficiency by band of a pattern: first order, or the sphere mean of its table. */
export function efficiencyByBand(a: Bands, table: DirectivityTable | null, floor: Bands): Bands {
  return table ? sphereMeans(table) : bands((band) => randomEfficiency(a[band] ?? 1, floor[band] ?? 0));
}

/** 1/k² by band in m²: (c/2πf)². */
export function inverseWaveNumberSquared(soundSpeed: number): Bands {
  return bands((band) => (soundSpeed / (2 * Math.PI * (MID_BANDS[band] ?? 1))) ** 2);
}

/** Energy response of a measured table at cos θ, by band. A table carries its own nulls and no proximity effect. */
export function tableResponse(into: Bands, table: DirectivityTable, cos: number): void {
  for (let band = 0; band < BAND_COUNT; band++) into[band] = readAngleTable(table, band, cos);
}

/** Angle of the null in degrees from the aim, or null where the pattern has none. */
export function nullAngle(a: number): number | null {
  return a <= 0.5 ? (Math.acos(-a / (1 - a)) * 180) / Math.PI : null;
}
