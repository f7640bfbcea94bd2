/** Where a thing stands, as two lengths of tape from the walls of its room. */
import { corner, crossing, type Outline, seesWithin, span } from '../../scene/polygon.ts';
import type { Vec2 } from '../../scene/vector.ts';

/** A length of tape in metres, square to a wall (its number along the outline), or from one of its corners. */
export type Tape =
  | { readonly from: 'wall'; readonly wall: number; readonly length: number }
  | { readonly from: 'corner'; readonly corner: number; readonly length: number };

/** Two walls that stand flatter to each other than this give a poor fix, degrees. */
const FLATTEST = 30;

/**
 * Square to the nearest wall that a tape can reach, and to the nearest that stands at an angle to it. Where a room has no such
 * two, from both ends of its nearest wall. `booths` stand in the room, and no tape goes through them.
 */
export function tapesTo(
  point: Vec2,
  outline: Outline,
  booths: readonly Outline[] = [],
): readonly [Tape, Tape] {
  const reached = outline
    .map((_, wall) => ({ wall, foot: footOn(outline, wall, point) }))
    .flatMap(({ wall, foot }) =>
      foot && isFree(point, foot, outline, booths) ? [{ wall, length: span(point, foot) }] : [],
    )
    .sort((a, b) => a.length - b.length);
  const [first] = reached;
  const second = first && reached.find(({ wall }) => angleOf(outline, first.wall, wall) >= FLATTEST);
  if (!first || !second) return cornersTo(point, outline, booths);
  return [
    { from: 'wall', ...first },
    { from: 'wall', ...second },
  ];
}

/** The two ends of the wall whose ends are nearest together: on the near side of it there is but one such point. */
function cornersTo(point: Vec2, outline: Outline, booths: readonly Outline[]): readonly [Tape, Tape] {
  const away = outline.map((at, i) => ({
    from: 'corner' as const,
    corner: i,
    length: span(point, at),
    free: isFree(point, at, outline, booths),
  }));
  const pairs = away.map((end, i) => [end, away[(i + 1) % away.length] ?? end] as const);
  const cost = ([a, b]: (typeof pairs)[number]) => a.length + b.length + (a.free && b.free ? 0 : BLOCKED);
  const [best] = [...pairs].sort((a, b) => cost(a) - cost(b));
  const plain = ({ from, corner: at, length }: (typeof away)[number]): Tape => ({ from, corner: at, length });
  const [one, other] = best ?? [];
  return one && other ? [plain(one), plain(other)] : NOWHERE;
}

/** Longer than any tape: a way that is blocked is taken only where there is no other. */
const BLOCKED = 1e6;
const NOWHERE: readonly [Tape, Tape] = [
  { from: 'corner', corner: 0, length: 0 },
  { from: 'corner', corner: 0, length: 0 },
];

/** Where the square from a point meets a wall; null beyond its ends. */
function footOn(outline: Outline, wall: number, [x, y]: Vec2): Vec2 | null {
  const [a, b] = [corner(outline, wall), corner(outline, wall + 1)];
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const along = ((x - a[0]) * dx + (y - a[1]) * dy) / (dx * dx + dy * dy);
  return along >= -1e-9 && along <= 1 + 1e-9 ? [a[0] + along * dx, a[1] + along * dy] : null;
}

function isFree(point: Vec2, end: Vec2, outline: Outline, booths: readonly Outline[]): boolean {
  return seesWithin(outline, point, end) && booths.every((booth) => !isCrossed(booth, point, end));
}

const isCrossed = (booth: Outline, a: Vec2, b: Vec2): boolean =>
  booth.some((c, i) => crossing(a, b, c, corner(booth, i + 1)) !== null);

/** Between the lines of two walls, 0 to 90 degrees. */
function angleOf(outline: Outline, one: number, other: number): number {
  const [a, b] = [one, other].map((wall) => {
    const [from, to] = [corner(outline, wall), corner(outline, wall + 1)];
    return Math.atan2(to[1] - from[1], to[0] - from[0]);
  }) as [number, number];
  return (Math.asin(Math.min(1, Math.abs(Math.sin(a - b)))) * 180) / Math.PI;
}
