/** Rooms, what stands between them, and what stands in them, as the plan says it. */
import type { ByBand, Construction, Finish, Named, Point } from './plan-values.ts';

export type RoomEntry = {
  /** Corners, anticlockwise; wall i runs from corner i to corner i + 1. */
  readonly outline: readonly Point[];
  /** What the plan calls wall i: its number along the outline as written ("0"), or "bottom", "right", "top", "left". */
  readonly wallNames: readonly string[];
  readonly height: number;
  readonly floorLevel: number;
  readonly floor?: Finish;
  readonly ceiling?: Finish;
  /** Finish of wall i, null where the plan gives none. */
  readonly walls: readonly (Finish | null)[];
  readonly patches: Named<PatchEntry>;
  readonly reverberation?: ReverberationEntry;
  readonly contents: Named<ContentsEntry>;
  /** dBA. */
  readonly noise?: number;
  readonly booth: boolean;
  /** Outer finish of a booth. */
  readonly outside?: Finish;
};

/** `on` a wall is its index in `outline`. */
export type PatchEntry = {
  readonly on: 'floor' | 'ceiling' | number;
  readonly finish: Finish;
  readonly area: number;
};

export type ReverberationEntry = { readonly seconds: ByBand; readonly measured: 'empty' | 'set-up' };

export type ContentsEntry = { readonly count: number } | { readonly area: number };

export type PartitionEntry = {
  /** Names of two rooms, or of a room and `outside`. */
  readonly between: readonly [string, string];
  readonly wall: Construction;
  readonly doors: readonly LeafEntry[];
  readonly windows: readonly LeafEntry[];
  readonly openings: readonly OpeningEntry[];
  readonly area?: number;
};

export type OpeningEntry = {
  /** Middle of its width, on the plan. */
  readonly at: Point;
  readonly width: number;
  readonly height: number;
  readonly sill?: number;
};

/** A door (`made` is its leaf) or a window (its glass); only what stands open may go without. */
export type LeafEntry = OpeningEntry & {
  readonly made?: Construction;
  readonly state: 'closed' | 'ajar' | 'open';
};

export type BaffleEntry = {
  readonly from: Point;
  readonly to: Point;
  /** Height of its upper edge above the floor. */
  readonly height: number;
  readonly gap: number;
  readonly madeOf: Construction;
  readonly windowFrom?: number;
  readonly fixed: boolean;
};
