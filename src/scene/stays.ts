/** How far a thing can be moved and still be where it was: in its room, on its side of every screen. */
import { crossing, holds } from './polygon.ts';
import { OUTSIDE, type Panel, type Room, type Scene } from './scene.ts';
import type { Vec3 } from './vector.ts';

/** A point with the room that holds it. */
export type Spot = { readonly at: Vec3; readonly room: number };

/** A move of points, by the share of it that is made: 0 leaves them where they are. */
export type Move = (at: Vec3, share: number) => Vec3;

type Place = Pick<Scene, 'rooms' | 'panels'>;

const HALVINGS = 12;

/**
 * The share of a move that can be made: 1, or as much as leaves every point in its room and before its screens. A point that
 * stands in a doorway, in no room's outline, is not held.
 */
export function shareWithin(place: Place, spots: readonly Spot[], move: Move): number {
  const held = spots.filter((spot) => stays(place, spot, spot.at));
  const fits = (share: number) => held.every((spot) => stays(place, spot, move(spot.at, share)));
  if (fits(1)) return 1;
  let low = 0;
  let high = 1;
  for (let i = 0; i < HALVINGS; i++) {
    const middle = (low + high) / 2;
    if (fits(middle)) low = middle;
    else high = middle;
  }
  return low;
}

function stays({ rooms, panels }: Place, { at, room }: Spot, to: Vec3): boolean {
  const own = rooms[room];
  if (room !== OUTSIDE && own && !isIn(own, rooms, room, to)) return false;
  return !panels.some((panel) => panel.room === room && isBetween(panel, at, to));
}

/** Within the outline, between floor and ceiling, and in no booth that stands in the room. */
function isIn(own: Room, rooms: readonly Room[], index: number, [x, y, z]: Vec3): boolean {
  if (z < own.floor - 1e-9 || z > own.ceiling + 1e-9 || !holds(own.outline, x, y)) return false;
  return !rooms.some((other) => other.host === index && holds(other.outline, x, y));
}

function isBetween({ a, b, low, high }: Panel, from: Vec3, to: Vec3): boolean {
  const z = (from[2] + to[2]) / 2;
  return z > low && z < high && crossing([from[0], from[1]], [to[0], to[1]], a, b) !== null;
}
