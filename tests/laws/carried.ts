/** A whole scene carried elsewhere: moved, turned about the vertical, or seen in a mirror. */

import type { Vec2, Vec3 } from '../../src/geometry.ts';
import type { Partition, Room, Scene } from '../../src/scene/scene.ts';

type Carry = {
  readonly place: (at: Vec3) => Vec3;
  readonly look: (axis: Vec3) => Vec3;
  /** True where left becomes right: corners then run the other way round. */
  readonly mirrored: boolean;
};

export const moved = ([dx, dy, dz]: Vec3): Carry => ({
  place: ([x, y, z]) => [x + dx, y + dy, z + dz],
  look: (axis) => axis,
  mirrored: false,
});

export function turned(degrees: number): Carry {
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)];
  const turn = ([x, y, z]: Vec3): Vec3 => [x * cos - y * sin, x * sin + y * cos, z];
  return { place: turn, look: turn, mirrored: false };
}

const flip = ([x, y, z]: Vec3): Vec3 => [-x, y, z];

export const inMirror: Carry = { place: flip, look: flip, mirrored: true };

export function carried(scene: Scene, carry: Carry): Scene {
  const { place, look } = carry;
  const flat = ([x, y]: Vec2): Vec2 => {
    const [px, py] = place([x, y, 0]);
    return [px, py];
  };
  const rise = place([0, 0, 0])[2];
  const stretch = <S extends { a: Vec2; b: Vec2; low: number; high: number }>(one: S): S => ({
    ...one,
    a: flat(one.a),
    b: flat(one.b),
    low: one.low + rise,
    high: one.high + rise,
  });
  const partition = (one: Partition): Partition => ({
    ...one,
    stretches: one.stretches.map(stretch),
    elements: one.elements.map(stretch),
  });
  return {
    ...scene,
    rooms: scene.rooms.map((room) => carriedRoom(room, flat, rise, carry.mirrored)),
    partitions: scene.partitions.map(partition),
    panels: scene.panels.map((panel) => ({ ...stretch(panel), windowFrom: panel.windowFrom + rise })),
    sources: scene.sources.map((source) => ({
      ...source,
      points: source.points.map((point) => ({ ...point, at: place(point.at), axis: look(point.axis) })),
    })),
    capsules: scene.capsules.map((capsule) => ({
      ...capsule,
      at: place(capsule.at),
      aim: look(capsule.aim),
    })),
  };
}

/** Corners stay anticlockwise: mirrored, they are read backward, and wall i comes to stand at n − 2 − i. */
function carriedRoom(room: Room, flat: (at: Vec2) => Vec2, rise: number, mirrored: boolean): Room {
  const corners = room.outline.map(flat);
  const [floor, ceiling, ...walls] = room.surfaces;
  const count = walls.length;
  const order = walls.map((_, i) => (mirrored ? (2 * count - 2 - i) % count : i));
  return {
    ...room,
    outline: mirrored ? corners.reverse() : corners,
    floor: room.floor + rise,
    ceiling: room.ceiling + rise,
    surfaces: [floor, ceiling, ...order.map((i) => walls[i])].flatMap((surface) => surface ?? []),
  };
}
