import type { Vec3 } from '../../src/geometry.ts';

/** Of a box by hand: mean free path ℓ = 4V/S, and Waterhouse's w = 1 + S·λ/(8V) by octave, 63 Hz first, at 343.2 m/s. */
export function boxByHand([x, y, z]: Vec3) {
  const volume = x * y * z;
  const surface = 2 * (x * y + x * z + y * z);
  return {
    freePath: (4 * volume) / surface,
    w: (band: number) => 1 + (surface * (343.2 / (1000 * 10 ** (0.3 * (band - 4))))) / (8 * volume),
  };
}
