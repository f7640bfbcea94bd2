/** A move: something one can do in the room, as the entries of the plan that it changes. */
import type { Scene } from '../scene/scene.ts';
import type { Computed } from './bench-plan.ts';
import type { Focus } from './focus.ts';
import type { Edit } from './set-value.ts';

/** In order of effort. */
export const MOVE_KINDS = [
  'high-pass',
  'softer',
  'door',
  'pattern',
  'null',
  'turn-mic',
  'closer',
  'turn-player',
  'turn-baffle',
  'take-baffle-away',
  'move-baffle',
  'swap-mic',
  'shift-player',
  'place-baffle',
  'absorption',
  'swap-players',
  'other-room',
] as const;
export type MoveKind = (typeof MOVE_KINDS)[number];

export type Move = {
  /** Its place among all moves of the plan. */
  readonly id: number;
  readonly kind: MoveKind;
  /** What is moved, as the plan names it: two moves of one kind about the same exclude each other. */
  readonly about: readonly string[];
  readonly edits: readonly Edit[];
  /** In words, with figures to act on; told from the scenes before and after. */
  readonly say: (before: Scene, after: Scene) => string;
  /** Spare things that it takes, as [list of `on-hand`, place in it]. */
  readonly takes?: readonly (readonly ['baffles' | 'absorption' | 'mics', number])[];
  /** A mic that must lose no more than 2 dB of its own source. */
  readonly keeps?: string;
};

/** A move not yet numbered. */
export type Idea = Omit<Move, 'id'>;

/** All moves of a kind worth a try for whoever is in focus; whether each stands is seen when it is tried. */
export type MoveMaker = (base: Computed, focus: Focus) => readonly Idea[];

/** Minutes that each takes one person. Common practice, no source; settable. */
export const MINUTES: Readonly<Record<MoveKind, number>> = {
  'high-pass': 0.5,
  softer: 2,
  door: 0.5,
  pattern: 1,
  null: 2,
  'turn-mic': 2,
  closer: 2,
  'turn-player': 2,
  'turn-baffle': 2,
  'take-baffle-away': 2,
  'move-baffle': 3,
  'swap-mic': 5,
  'shift-player': 5,
  'place-baffle': 5,
  absorption: 10,
  'swap-players': 12,
  'other-room': 20,
};
