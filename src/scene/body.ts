/** People: where they stand, whither they look, and how the axes of their instruments lie in the room. */
import type { Axis, Postures } from './instrument.ts';
import { add, direction, scale, type Vec3 } from './vector.ts';

export type Body = {
  /** On the floor, or on the riser. */
  readonly at: Vec3;
  /** Degrees. */
  readonly facing: number;
  readonly standing: boolean;
};

/** A place in the player's axes (right, ahead, up) as a point in the room. */
export function inRoom(body: Body, place: Vec3): Vec3 {
  const [right, ahead, up] = place;
  const flat = add(scale(direction(body.facing + 90), right), scale(direction(body.facing), ahead));
  return add(body.at, [flat[0], flat[1], up]);
}

/** The way an instrument speaks, as a unit vector in the room. */
export const axisInRoom = (body: Body, axis: Axis): Vec3 => direction(body.facing + axis.bearing, axis.tilt);

export const postureOf = (postures: Postures, standing: boolean): Vec3 =>
  standing ? postures.standing : postures.seated;
