/** Figures whose tolerance is asked for, and how to read them off a scene that has been computed. */
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Scene } from '../../scene/scene.ts';

export type Gauge = {
  readonly kind: 'signal-to-bleed' | 'ghost' | 'editable' | 'three-to-one';
  /** What the figures are about, in their order; the limit of each, or null where none is judged. */
  readonly rows: readonly { readonly name: string; readonly limit: number | null }[];
  /** Whether a limit is the least or the most that a figure may be. */
  readonly limitIs: 'least' | 'most';
  /**
   * One figure for each row, in dB: +∞ and −∞ where one side of a ratio is silent, null where there is no such figure. The
   * scene is the one asked about or a variation of it.
   */
  readonly read: (scene: Scene, result: Transfer) => readonly (number | null)[];
};
