/** A move or a set of moves that was tried, and how it compares with others. */
import { CLEAR } from '../judge/verdict.ts';
import type { Tried } from './evaluate.ts';
import { MINUTES, type Move, type MoveKind } from './move.ts';
import type { Standing } from './standing.ts';

export type Suggestion = {
  readonly moves: readonly Move[];
  readonly minutes: number;
  /** How much less is wanting than before, dB. */
  readonly gain: number;
  readonly tried: Tried;
};

export type Minutes = Readonly<Record<MoveKind, number>>;

/** Gains smaller than this are none, dB. */
export const LEAST_GAIN = 0.05;
const ROUNDING = 1e-9;

export const minutesOf = (moves: readonly Move[], minutes: Minutes = MINUTES): number =>
  moves.reduce((sum, { kind }) => sum + minutes[kind], 0);

/** Does not make the worst margin worse, unless it stays clear, and parts nobody who is to see another. */
export function isHarmless(after: Standing, before: Standing): boolean {
  if ((after.worst ?? 0) < Math.min(before.worst ?? 0, CLEAR) - ROUNDING) return false;
  return unseen(after) <= unseen(before);
}

const unseen = ({ rows }: Standing): number => rows.filter(({ kind }) => kind === 'see-each-other').length;

/** What it does for each minute; of equals the quicker. */
export function byWorth(a: Suggestion, b: Suggestion): number {
  return b.gain / b.minutes - a.gain / a.minutes || a.minutes - b.minutes || byGentleness(a, b);
}

/** The less is wanting the better; of equals the quicker. */
export function byGain(a: Suggestion, b: Suggestion): number {
  return b.gain - a.gain || a.minutes - b.minutes || byGentleness(a, b);
}

/** Makers give gentle moves before drastic ones. */
const byGentleness = (a: Suggestion, b: Suggestion): number =>
  a.moves.reduce((sum, { id }, i) => sum || id - (b.moves[i]?.id ?? -1), 0);

/** What is moved, not how far: the same for all moves of a kind about the same. */
export const themeOf = (moves: readonly Move[]): string =>
  moves
    .map(({ kind, about }) => [kind, ...about].join('\n'))
    .sort()
    .join('\n\n');

/** The moves themselves, in whatever order. */
export const keyOf = (moves: readonly Move[]): string =>
  moves
    .map(({ id }) => id)
    .sort((a, b) => a - b)
    .join(' ');

/** The best of each theme, in an order. */
export function bestOfEach(
  all: readonly Suggestion[],
  order: (a: Suggestion, b: Suggestion) => number,
): Suggestion[] {
  const themes = new Set<string>();
  return [...all].sort(order).filter(({ moves }) => {
    const theme = themeOf(moves);
    if (themes.has(theme)) return false;
    themes.add(theme);
    return true;
  });
}
