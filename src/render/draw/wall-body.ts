/** The body of a partition between the two faces that its rooms have of it. */
import { corner } from '../../scene/polygon.ts';
import { OUTSIDE, type Partition, type Room } from '../../scene/scene.ts';
import type { Vec2 } from '../../scene/vector.ts';
import { between, type Point, span } from './plane.ts';
import type { Sheet } from './sheet.ts';

/** Drawn thickness of a wall of which the plan gives one face alone, and the least of any, mm. */
export const SHELL = 1.6;
const LEAST = 0.6;
/** Walls up to this far apart, m, are the two faces of one, as the plan format has it. */
const THICKEST = 0.4;

export type Body = {
  readonly corners: readonly Point[];
  /** Points along its middle at which its name may hang. */
  readonly spots: readonly Point[];
  readonly length: number;
  readonly thickness: number;
};

type Stretch = { readonly a: Vec2; readonly b: Vec2 };

export function partitionBody(sheet: Sheet, partition: Partition, { a, b }: Stretch): Body {
  const [from, to] = facesOf(sheet, partition, { a, b });
  const along: Vec2 = [(b[0] - a[0]) / spanOf(a, b), (b[1] - a[1]) / spanOf(a, b)];
  const square: Vec2 = [-along[1], along[0]];
  const shifted = ([x, y]: Vec2, by: number): Point => sheet.place([x + square[0] * by, y + square[1] * by]);
  const middle = (from + to) / 2;
  const ends = [shifted(a, middle), shifted(b, middle)] as const;
  return {
    corners: [shifted(a, from), shifted(b, from), shifted(b, to), shifted(a, to)],
    spots: [0.5, 0.2, 0.8, 0.35, 0.65, 0.08, 0.92].map((part) => between(ends[0], ends[1], part)),
    length: span(ends[0], ends[1]),
    thickness: Math.abs(to - from) * sheet.perMetre,
  };
}

/** How far to the left of the stretch a–b each face of the wall lies, m. */
export function facesOf(sheet: Sheet, { rooms }: Partition, stretch: Stretch): readonly [number, number] {
  const known = rooms.flatMap((index) => {
    const room = sheet.scene.rooms[index];
    return room ? (faceOf(room, stretch) ?? []) : [];
  });
  const [one = 0, other = one] = known;
  const [low, high] = [Math.min(one, other), Math.max(one, other)];
  const least = LEAST / sheet.perMetre;
  if (rooms[1] === OUTSIDE) return outward(sheet, rooms[0], stretch, low);
  if (high - low >= least) return [low, high];
  return [(low + high - least) / 2, (low + high + least) / 2];
}

function outward(sheet: Sheet, index: number, { a, b }: Stretch, face: number): readonly [number, number] {
  const thick = SHELL / sheet.perMetre;
  const outline = sheet.scene.rooms[index]?.outline ?? [];
  // outlines run anticlockwise: their inside is to the left of each wall
  const same = outline.some((c, i) => {
    const d = corner(outline, i + 1);
    return (
      onLine(a, c, d) && onLine(b, c, d) && (d[0] - c[0]) * (b[0] - a[0]) + (d[1] - c[1]) * (b[1] - a[1]) > 0
    );
  });
  return same ? [face - thick, face] : [face, face + thick];
}

const onLine = (p: Vec2, c: Vec2, d: Vec2): boolean =>
  Math.abs((d[0] - c[0]) * (p[1] - c[1]) - (d[1] - c[1]) * (p[0] - c[0])) < 1e-6 * spanOf(c, d);

/** The room's wall that runs beside the stretch, as a distance to the left of it; null where none does. */
function faceOf({ outline }: Room, { a, b }: Stretch): number | null {
  const size = spanOf(a, b);
  const middle: Vec2 = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const left = (p: Vec2) => ((b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])) / size;
  const along = (p: Vec2) => ((b[0] - a[0]) * (p[0] - a[0]) + (b[1] - a[1]) * (p[1] - a[1])) / size;
  const beside = outline.flatMap((c, i) => {
    const d = corner(outline, i + 1);
    const [from, to] = [along(c), along(d)].sort((x, y) => x - y) as [number, number];
    const runsPast =
      from <= along(middle) && along(middle) <= to && Math.abs(left(c) - left(d)) < 0.02 * (to - from);
    return runsPast ? [(left(c) + left(d)) / 2] : [];
  });
  const [nearest] = beside.sort((x, y) => Math.abs(x) - Math.abs(y));
  return nearest !== undefined && Math.abs(nearest) <= THICKEST ? nearest : null;
}

const spanOf = (a: Vec2, b: Vec2): number => Math.hypot(b[0] - a[0], b[1] - a[1]);
