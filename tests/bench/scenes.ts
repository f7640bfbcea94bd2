/** Seeded scenes of a size that matters: made up for measuring speed, no plan of anyone's. */
import { sameInAllBands } from '../../src/acoustics/bands.ts';
import { directivityOf } from '../../src/acoustics/directivity.ts';
import { compositeTransmission } from '../../src/acoustics/room-acoustics.ts';
import type { Vec2, Vec3 } from '../../src/geometry.ts';
import type { Panel, Partition, Room, Scene } from '../../src/scene/scene.ts';
import { boxRoom, capsuleOf, pointSource, roomAir, roomOf, sceneOf } from '../build-scene.ts';

/** Minimal standard generator (Park and Miller 1988): the same numbers on every machine. */
export function randomNumbers(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state * 16807) % 2147483647;
    return state / 2147483647;
  };
}

/** 16 directional sources and 24 cardioids in one box room. */
export function oneRoom(): Scene {
  return filled([boxRoom(9, 7, 3.6)], [], 0);
}

/** The same with panels in the hall, and two rooms beside it behind walls with a window each. */
export function threeRooms(panels: number): Scene {
  const rooms = [boxRoom(9, 7, 3.6), shifted(9.2, 0), shifted(9.2, 3.5)];
  return filled(rooms, [wall(1, 9.1, 0), wall(2, 9.1, 3.5)], panels);
}

function filled(rooms: Room[], partitions: Partition[], panels: number): Scene {
  const random = randomNumbers(7);
  const place = (): { at: Vec3; room: number } => {
    const room = rooms.length > 1 && random() < 0.2 ? 1 + Math.floor(random() * 2) : 0;
    const [x, y, width, depth] = room === 0 ? [0, 0, 9, 7] : [9.2, room === 1 ? 0 : 3.5, 3, 3.3];
    return {
      at: [x + 0.3 + random() * (width - 0.6), y + 0.3 + random() * (depth - 0.6), 0.6 + random() * 1.2],
      room,
    };
  };
  const aim = (): Vec3 => [Math.cos(random() * 6.28), Math.sin(random() * 6.28), 0];
  const directivity = directivityOf(
    (band) => 1.2 + band * 0.3,
    (band) => 3 + band * 2,
  );
  const sources = Array.from({ length: 16 }, () => {
    const { at, room } = place();
    return pointSource(at, { room, axis: aim(), radius: 0.1, directivity });
  });
  const capsules = Array.from({ length: 24 }, (_, i) => {
    const { at, room } = place();
    return capsuleOf(at, aim(), { room, a: 0.5, floor: 0.003, proximity: true, name: `mic ${i}` });
  });
  const scene = sceneOf({ air: roomAir, rooms, partitions, sources, capsules });
  return { ...scene, panels: Array.from({ length: panels }, (_, i) => panel(i, random)) };
}

function shifted(x: number, y: number): Room {
  const corners: Vec2[] = [
    [x, y],
    [x + 3, y],
    [x + 3, y + 3.3],
    [x, y + 3.3],
  ];
  return roomOf(corners, 2.6, { alpha: 0.3 });
}

function wall(room: number, x: number, y: number): Partition {
  const pane = { a: [x, y + 1] as Vec2, b: [x, y + 2.2] as Vec2, low: 0.9, high: 2.1 };
  const tau = sameInAllBands(1e-4);
  const glass = sameInAllBands(1e-3);
  return {
    name: `wall ${room}`,
    path: ['partitions', `wall ${room}`],
    rooms: [0, room],
    stretches: [{ a: [x, y], b: [x, y + 3.3], low: 0, high: 2.6 }],
    roof: null,
    area: 3.3 * 2.6,
    wall: tau,
    elements: [{ ...pane, name: 'window', kind: 'window', state: 'closed', free: false, tau: glass }],
    tau: compositeTransmission([
      { area: 3.3 * 2.6 - 1.44, tau },
      { area: 1.44, tau: glass },
    ]),
  };
}

function panel(i: number, random: () => number): Panel {
  const [x, y, turn] = [1 + random() * 6.5, 1 + random() * 5, random() * 3.14];
  const half = 0.6;
  return {
    name: `screen ${i}`,
    path: ['baffles', `screen ${i}`],
    room: 0,
    a: [x - half * Math.cos(turn), y - half * Math.sin(turn)],
    b: [x + half * Math.cos(turn), y + half * Math.sin(turn)],
    low: 0,
    high: 1.5,
    tau: sameInAllBands(0.01),
    alpha: sameInAllBands(0.6),
    windowFrom: Number.POSITIVE_INFINITY,
    booth: null,
  };
}
