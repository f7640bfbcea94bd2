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
  const a2 = radius * radius;
  return a2 > 0 ? Math.log1p(a2 / r2) / a2 : 1 / r2;
}

/** Squared distance r_e² = r² + a² of the spherical wave that a disc of radius a stands for, m². */
export function waveRadiusSquared(radius: number, r: number): number {
  const near = Math.max(r, NEAREST);
  return near * near + radius * radius;
}
