/** Energy of all octaves together, unweighted. */
import type { Bands } from '../acoustics/bands.ts';

export const allBands = (energies: Bands): number => energies.reduce((sum, energy) => sum + energy, 0);
