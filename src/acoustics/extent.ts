/** Spreading from a source of some size. */

/** Nearer than this counts as this far, m: a disc's or point's near field ends somewhere. */
export const NEAREST = 0.01;

/**
 * Spreading factor E(r) in 1/m² of an incoherent disc of radius a on its axis: ln(1 + a²/r²)/a², which tends to 1/r².
 * Mean of 1/ρ² over the disc, exact: ∫ 2x dx/(a²(r² + x²)).
 */
export function spreading(radius: number, r: number): number {
  const near = Math.max(r, NEAREST);
  const r2 = near * near;
  const x = (radius * radius) / r2;
  return x < FLAT ? lowSeries(x) / r2 : Math.log1p(x) / (radius * radius);
}

/** Up to this a²/r² a few terms of ln(1 + x)/x are exact to 2e-13; the logarithm was a tenth of a way's cost. */
const FLAT = 0.01;

const lowSeries = (x: number): number =>
  1 - x * (1 / 2 - x * (1 / 3 - x * (1 / 4 - x * (1 / 5 - x * (1 / 6)))));

/** Squared distance r_e² = r² + a² of the spherical wave that a disc of radius a stands for, m². */
export function waveRadiusSquared(radius: number, r: number): number {
  const near = Math.max(r, NEAREST);
  return near * near + radius * radius;
}
