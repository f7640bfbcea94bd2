/** Moving a player with all that is his to another room or booth. */
import { holds } from '../scene/polygon.ts';
import type { Room, Scene } from '../scene/scene.ts';
import type { Vec2 } from '../scene/vector.ts';
import { carriedBy, movable } from './carried.ts';
import type { Idea, MoveMaker } from './move.ts';
import { spotWords } from './place-words.ts';
import { tapeOf } from './tape.ts';

/** Shares of width and depth at which spots are tried. */
const GRID = [0.3, 0.5, 0.7];

export const otherRoomMoves: MoveMaker = (base, { sounding }) =>
  movable(base, sounding).flatMap((thing) =>
    base.scene.rooms.flatMap((room, index) =>
      index === thing.room
        ? []
        : spotsIn(base.scene, room, index).map(
            (spot): Idea => ({
              kind: 'other-room',
              about: [thing.name, room.name],
              edits: carriedBy(base, thing, [spot[0] - thing.at[0], spot[1] - thing.at[1]]),
              say: () =>
                `move ${thing.name} with ${thing.section === 'players' ? 'his' : 'its'} mics to ${spotWords({ rooms: base.scene.rooms, tape: tapeOf(base.tree) }, index, spot)}`,
            }),
          ),
    ),
  );

/** Not in a booth that stands in the room. */
function spotsIn({ rooms }: Scene, { outline }: Room, index: number): Vec2[] {
  const [left, right] = edges(outline.map(([x]) => x));
  const [bottom, top] = edges(outline.map(([, y]) => y));
  const booths = rooms.filter(({ host }) => host === index);
  return GRID.flatMap((x) => GRID.map((y): Vec2 => [left + (right - left) * x, bottom + (top - bottom) * y]))
    .map(([x, y]): Vec2 => [Math.round(x * 20) / 20, Math.round(y * 20) / 20])
    .filter(([x, y]) => holds(outline, x, y) && !booths.some((booth) => holds(booth.outline, x, y)));
}

const edges = (values: readonly number[]): [number, number] => [Math.min(...values), Math.max(...values)];
