/** What can be off on the day, and by how much this time. */

/** `near` counts to the place, `guessed-level` to the level, `reverberation` to the absorption. */
export const CAUSES = ['aim', 'facing', 'place', 'level', 'null-depth', 'panel', 'absorption'] as const;
export type Cause = (typeof CAUSES)[number];

export type Luck = {
  /** The next number of a cause, from −1 to 1 as a share of its bound; 0 for a cause that rests. */
  readonly roll: (cause: Cause) => number;
  readonly rests: (cause: Cause) => boolean;
};
