/** Turning, shifting and swapping players, with all that is theirs; and what stands by itself. */

import type { Computed } from './bench-plan.ts';
import { carriedBy, movable, type Thing } from './carried.ts';
import type { Idea, MoveMaker } from './move.ts';
import { spotWords, stepWords } from './place-words.ts';
import type { Edit } from './set-value.ts';
import { tapeOf } from './tape.ts';
import { nodeAt, nodeOf } from './written.ts';

/** Degrees. Finer steps change too little to ask for. Our own choice. */
const TURNS = [-30, 30, -60, 60, -90, 90, 180];
/** Steps on the plan, m, and into how many directions. */
const STEPS = [
  { step: 0.5, ways: 4 },
  { step: 1, ways: 8 },
];

export const turnPlayerMoves: MoveMaker = (base, { sounding }) =>
  movable(base, sounding).flatMap((thing) =>
    TURNS.map((turn): Idea => {
      const facing = Math.round(thing.facing + turn + 720) % 360;
      const side = turn === 180 ? 'round' : `${Math.abs(turn)}° to the ${turn > 0 ? 'right' : 'left'}`;
      return {
        kind: 'turn-player',
        about: [thing.name],
        edits: [{ path: [thing.section, thing.name, 'facing'], value: nodeOf(facing) }],
        say: () => `turn ${thing.name} ${side}, to face ${facing}°`,
      };
    }),
  );

export const shiftPlayerMoves: MoveMaker = (base, { sounding }) => {
  const tape = tapeOf(base.tree);
  return movable(base, sounding).flatMap((thing) =>
    STEPS.flatMap(({ step, ways }) =>
      Array.from({ length: ways }, (_, i): Idea => {
        const way = (i * 2 * Math.PI) / ways;
        const by = [step * Math.sin(way), step * Math.cos(way)] as const;
        return {
          kind: 'shift-player',
          about: [thing.name],
          edits: carriedBy(base, thing, by),
          say: () =>
            `shift ${thing.name} with ${thing.section === 'players' ? 'his' : 'its'} mics ${stepWords(by, tape)}, to ${spotWords({ rooms: base.scene.rooms, tape }, thing.room, [thing.at[0] + by[0], thing.at[1] + by[1]])}`,
        };
      }),
    ),
  );
};

export const swapPlayersMoves: MoveMaker = (base, { sounding }) => {
  const people = movable(base, sounding).filter(({ section }) => section === 'players');
  return people.flatMap((one, i) =>
    people.slice(i + 1).map(
      (other): Idea => ({
        kind: 'swap-players',
        about: [one.name, other.name],
        edits: [...inPlaceOf(base, one, other), ...inPlaceOf(base, other, one)],
        say: () => `let ${one.name} and ${other.name} change places`,
      }),
    ),
  );
};

/** Whoever looks along a bearing takes over that of the place. */
function inPlaceOf(base: Computed, one: Thing, other: Thing): Edit[] {
  const facing = nodeAt(base.tree, ['players', one.name, 'facing']);
  const turned =
    facing?.kind === 'scalar' &&
    typeof facing.value === 'string' &&
    Number.isNaN(Number.parseFloat(facing.text));
  return [
    ...carriedBy(base, one, [other.at[0] - one.at[0], other.at[1] - one.at[1]]),
    ...(turned
      ? []
      : [{ path: ['players', one.name, 'facing'], value: nodeOf(Math.round(other.facing) % 360) }]),
  ];
}
