/** Choices at random that the same seed makes again. */
import { integers } from '../../src/statistics.ts';

export type Dice = {
  /** From 0 to below 1. */
  readonly share: () => number;
  readonly chance: (share: number) => boolean;
  readonly whole: (from: number, to: number) => number;
  readonly between: (from: number, to: number) => number;
  readonly pick: <T>(list: readonly T[]) => T;
};

export function diceOf(seed: number): Dice {
  const next = integers(seed >>> 0);
  const share = () => next() / 2 ** 32;
  const whole = (from: number, to: number) => from + Math.floor(share() * (to - from + 1));
  return {
    share,
    whole,
    chance: (wanted) => share() < wanted,
    between: (from, to) => from + share() * (to - from),
    pick: <T>(list: readonly T[]) => list[whole(0, list.length - 1)] as T,
  };
}

/** Of one input of a run: neighbours have nothing in common. */
export const seedOf = (run: number, index: number): number =>
  Math.imul(Math.imul(run ^ 0x9e3779b9, 0x85ebca6b) ^ (index + 1), 0xc2b2ae35) >>> 0;
