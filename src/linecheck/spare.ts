import type { Cell } from './cells.ts';
import { groupsOf } from './groups.ts';
import type { Readings } from './readings.ts';

/** Readings beyond the levels and gains that they determine, layer by layer. */
export function spareOf(cells: readonly Cell[], { layers }: Readings): number {
  return layers.reduce<number>((sum, _, layer) => {
    const own = cells.filter((cell) => cell.layer === layer);
    const unknowns = groupsOf(own).map(({ rows, columns }) => rows.length + columns.length - 1);
    return sum + own.length - unknowns.reduce((all, one) => all + one, 0);
  }, 0);
}
