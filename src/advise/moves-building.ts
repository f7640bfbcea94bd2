/** Shutting doors and windows, hanging and laying absorption from what is on hand. */
import type { Idea, MoveMaker } from './move.ts';
import { tapeOf } from './tape.ts';
import { nodeAt, nodeOf } from './written.ts';

export const doorMoves: MoveMaker = ({ plan }) =>
  [...plan.partitions].flatMap(([name, partition]) =>
    (['doors', 'windows'] as const).flatMap((kind) =>
      partition[kind].flatMap(({ state, made }, i): Idea[] => {
        if (state === 'closed' || made === undefined) return [];
        const [one] = kind.split(/s$/);
        return [
          {
            kind: 'door',
            about: [name, String(i)],
            edits: [{ path: ['partitions', name, kind, i, 'state'], value: nodeOf('closed') }],
            say: () => `shut the ${one} of ${name}`,
          },
        ];
      }),
    ),
  );

export const absorptionMoves: MoveMaker = ({ plan, tree }) =>
  plan.onHand.absorption.flatMap(({ area }, spare) =>
    [...plan.rooms].flatMap(([room, { wallNames, patches }]) =>
      ['floor', ...wallNames].map((on): Idea => {
        const finish = nodeAt(tree, ['on-hand', 'absorption', spare, 'finish']);
        const value = nodeOf({ on, ...(finish ? { finish: finish as never } : {}), area });
        const name = freeName(`hung-${spare + 1}-${on}`, patches);
        const what = finish?.kind === 'scalar' ? finish.text : 'the absorption';
        const told = tapeOf(tree).area(area);
        const deed =
          on === 'floor'
            ? `lay ${told} of ${what} on the floor`
            : `hang ${told} of ${what} on the ${on} wall`;
        return {
          kind: 'absorption',
          about: [room, on, String(spare)],
          edits: [{ path: ['rooms', room, 'patches', name], value }],
          say: () => `${deed} of ${room}`,
          takes: [['absorption', spare]],
        };
      }),
    ),
  );

export function freeName(wanted: string, taken: { has(name: string): boolean }): string {
  let name = wanted;
  for (let i = 2; taken.has(name); i++) name = `${wanted}-${i}`;
  return name;
}
