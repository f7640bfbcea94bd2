/** How much room a name takes. */
import type { Name } from './layer.ts';
import type { Box, Point } from './plane.ts';
import { textWidth } from './text-width.ts';

export const SIZES = { name: 2.7, note: 2.2 } as const;
/** Line pitch over size, and air on each side of a name, mm. */
export const PITCH = 1.22;
const AIR = 0.35;

export type PlacedName = {
  readonly name: Name;
  readonly box: Box;
  /** From the mark to the name; null for one that stands beside it. */
  readonly leader: readonly [Point, Point] | null;
};

export const boxSize = ({
  text,
  note,
  kind,
}: Pick<Name, 'text' | 'note' | 'kind'>): readonly [number, number] => {
  const size = sizeOf(kind);
  const noteWidth = note === null ? 0 : textWidth(note, SIZES.note);
  const height = size * PITCH + (note === null ? 0 : SIZES.note * PITCH);
  return [Math.max(textWidth(text, size), noteWidth) + 2 * AIR, height + 2 * AIR];
};

export const sizeOf = (kind: Name['kind']): number =>
  kind === 'figure' || kind === 'wall' || kind === 'contour' ? SIZES.note : SIZES.name;
