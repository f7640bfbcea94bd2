/** What a session under construction stands on: its dice, its rooms, and the names given so far. */
import type { Dice } from './dice.ts';
import { HOSTILE_NAMES } from './hostile.ts';
import { CELL, type Spot, spotIn } from './outlines.ts';
import type { Given } from './words.ts';

export type PlanValue = Record<string, unknown>;
export type Stage = {
  readonly dice: Dice;
  readonly given: Given;
  readonly outlines: readonly (readonly Spot[])[];
};

const THE_OPEN: readonly Spot[] = [
  [0, 0],
  [CELL, 0],
  [CELL, 8],
  [0, 8],
];

export const anyOutline = ({ dice, outlines }: Stage): readonly Spot[] =>
  outlines.length === 0 ? THE_OPEN : dice.pick(outlines);

export const anySpot = (stage: Stage): Spot => spotIn(stage.dice, anyOutline(stage));

/** Now and then a name that could hurt; never one that is there already. */
export function newName({ dice, given }: Stage, space: keyof Given, usual: string): string {
  const hostile = dice.chance(0.02) ? dice.pick(HOSTILE_NAMES) : '';
  const name =
    hostile !== '' && !given[space].includes(hostile) ? hostile : `${usual}-${given[space].length + 1}`;
  given[space].push(name);
  return name;
}
