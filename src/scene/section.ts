/** A section as a grid of points: a choir, a desk of strings. */
import type { SectionEntry } from '../plan/plan-players.ts';
import { add, direction, scale, type Vec3 } from './vector.ts';

const LEAST_POINTS = 4;
const MOST_POINTS = 12;

/**
 * Places of 4 to 12 points that stand for the section, from its middle: width square to the facing, rows going back from
 * the front, each `rise` higher than the one before.
 */
export function sectionPoints(section: SectionEntry, middle: Vec3, facing: number): Vec3[] {
  const written = section.rows ?? rowsFor(section);
  const rows = Math.min(written, 3);
  const least = Math.ceil(LEAST_POINTS / rows);
  const columns = Math.max(
    least,
    Math.min(Math.floor(MOST_POINTS / rows), Math.ceil(section.players / rows)),
  );
  const [width, depth] = section.size;
  return Array.from({ length: rows * columns }, (_, i) => {
    const row = Math.floor(i / columns);
    const across = (((i % columns) + 0.5) / columns - 0.5) * width;
    const back = ((row + 0.5) / rows - 0.5) * depth;
    const height = (((row + 0.5) / rows) * written - 0.5) * section.rise;
    const flat = add(scale(direction(facing + 90), across), scale(direction(facing), -back));
    return add(middle, [flat[0], flat[1], height]);
  });
}

/** Corners of the floor it takes up. */
export function sectionCorners({ size }: SectionEntry, middle: Vec3, facing: number): Vec3[] {
  const across = scale(direction(facing + 90), size[0] / 2);
  const back = scale(direction(facing), size[1] / 2);
  const ends = [add(middle, across), add(middle, scale(across, -1))];
  return ends.flatMap((end) => [add(end, back), add(end, scale(back, -1))]);
}

/** Rows of about a metre's depth where the plan does not say. */
function rowsFor({ players, size }: SectionEntry): number {
  return Math.max(1, Math.min(players, Math.round(size[1])));
}
