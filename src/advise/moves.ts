/** Every move that is worth a try in a plan, in order of effort. */
import type { Computed } from './bench-plan.ts';
import type { Focus } from './focus.ts';
import { MOVE_KINDS, type Move, type MoveKind, type MoveMaker } from './move.ts';
import { nullMoves, turnMicMoves } from './moves-aim.ts';
import { moveBaffleMoves, placeBaffleMoves, takeBaffleAwayMoves, turnBaffleMoves } from './moves-baffles.ts';
import { absorptionMoves, doorMoves } from './moves-building.ts';
import { closerMoves } from './moves-closer.ts';
import { filterMoves } from './moves-filter.ts';
import { patternMoves, swapMicMoves } from './moves-pattern.ts';
import { shiftPlayerMoves, swapPlayersMoves, turnPlayerMoves } from './moves-people.ts';
import { otherRoomMoves } from './moves-rooms.ts';
import { softerMoves } from './moves-softer.ts';

const MAKERS: Readonly<Record<MoveKind, MoveMaker>> = {
  'high-pass': filterMoves,
  softer: softerMoves,
  door: doorMoves,
  pattern: patternMoves,
  null: nullMoves,
  'turn-mic': turnMicMoves,
  closer: closerMoves,
  'turn-player': turnPlayerMoves,
  'turn-baffle': turnBaffleMoves,
  'take-baffle-away': takeBaffleAwayMoves,
  'move-baffle': moveBaffleMoves,
  'swap-mic': swapMicMoves,
  'shift-player': shiftPlayerMoves,
  'place-baffle': placeBaffleMoves,
  absorption: absorptionMoves,
  'swap-players': swapPlayersMoves,
  'other-room': otherRoomMoves,
};

export const movesOf = (base: Computed, focus: Focus): Move[] =>
  MOVE_KINDS.flatMap((kind) => [...MAKERS[kind](base, focus)]).map((idea, id) => ({ id, ...idea }));
