/** Where a room lies, before anything is known of how it sounds. */
import type { Path } from '../finding.ts';
import type { Vec2 } from './vector.ts';

export type RoomPlace = {
  readonly name: string;
  readonly path: Path;
  readonly outline: readonly Vec2[];
  /** What the plan calls wall i. */
  readonly wallNames: readonly string[];
  /** Area inside the outline, m². */
  readonly area: number;
  /** Heights of floor and ceiling above the ground. */
  readonly floor: number;
  readonly ceiling: number;
  /** The innermost room whose outline holds this one, or null. */
  readonly host: number | null;
};
