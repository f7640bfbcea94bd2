/** Which outline lies inside which, and which overlap as no two rooms can. */
import { fault, type Notes } from './notes.ts';
import { corner, crossing, distanceToStretch, holds, type Outline } from './polygon.ts';
import type { RoomPlace } from './room-place.ts';
import type { Vec2 } from './vector.ts';

/** Outlines may run into each other by as much as this: a drawing's rounding, m. */
const SLACK = 2e-3;

/** True where the whole of `inner` lies in `outer`, sides touching allowed. Like outlines do not lie in each other. */
export function liesInside(inner: Outline, outer: Outline): boolean {
  if (sidesCross(inner, outer) || probes(outer).some((p) => deepIn(inner, p))) return false;
  return probes(inner).every((p) => holdsNearly(outer, p)) && probes(inner).some((p) => deepIn(outer, p));
}

/** Rooms that overlap, and neither lies in the other: a fault at the second. */
export function noteOverlaps(rooms: readonly RoomPlace[], notes: Notes): void {
  rooms.forEach((second, j) => {
    for (const first of rooms.slice(0, j)) {
      if (!overlap(first.outline, second.outline)) continue;
      if (liesInside(first.outline, second.outline) || liesInside(second.outline, first.outline)) continue;
      const message = `${second.name} overlaps ${first.name}: two rooms lie side by side, or one stands whole inside the other`;
      fault(notes, 'BAD_PLACE', second.path, message);
    }
  });
}

/** A room that reaches up through the ceiling of the one it stands in: a fault at its height. */
export function noteTooHigh(rooms: readonly RoomPlace[], notes: Notes): void {
  for (const { name, path, host, ceiling } of rooms) {
    const over = rooms[host ?? -1];
    if (!over || ceiling <= over.ceiling + SLACK) continue;
    fault(
      notes,
      'BAD_PLACE',
      [...path, 'height'],
      `${name} reaches through the ceiling of ${over.name}, in which it stands`,
    );
  }
}

function overlap(a: Outline, b: Outline): boolean {
  if (sidesCross(a, b)) return true;
  if (probes(a).some((p) => deepIn(b, p)) || probes(b).some((p) => deepIn(a, p))) return true;
  return probes(a).every((p) => holdsNearly(b, p)) && probes(b).every((p) => holdsNearly(a, p));
}

/** Corners and middles of sides. */
const probes = (outline: Outline): Vec2[] =>
  outline.flatMap((a, i) => {
    const b = corner(outline, i + 1);
    return [a, [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2] as const];
  });

const toBoundary = (outline: Outline, p: Vec2): number =>
  Math.min(...outline.map((a, i) => distanceToStretch(p, a, corner(outline, i + 1))));

const deepIn = (outline: Outline, p: Vec2): boolean =>
  holds(outline, p[0], p[1]) && toBoundary(outline, p) > SLACK;
const holdsNearly = (outline: Outline, p: Vec2): boolean =>
  holds(outline, p[0], p[1]) || toBoundary(outline, p) <= SLACK;

/** True where a side of one runs through a side of the other, by more than the slack on both sides of both. */
function sidesCross(a: Outline, b: Outline): boolean {
  return a.some((a1, i) => {
    const a2 = corner(a, i + 1);
    return b.some((b1, j) => {
      const b2 = corner(b, j + 1);
      if (!crossing(a1, a2, b1, b2)) return false;
      const ends = [distanceToStretch(a1, b1, b2), distanceToStretch(a2, b1, b2)];
      return Math.min(...ends, distanceToStretch(b1, a1, a2), distanceToStretch(b2, a1, a2)) > SLACK;
    });
  });
}
