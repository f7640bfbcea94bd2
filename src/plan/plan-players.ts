/** People and what sounds, as the plan says it. */
import type { AngleTable, ByBand, Facing, Level, Named, Place, Point } from './plan-values.ts';

export type Later = 'leave' | 'rebalance' | 'tune' | 'replace';
export type Dynamic = 'pp' | 'p' | 'mp' | 'mf' | 'f' | 'ff' | 'soft' | 'medium' | 'loud';

/** What any sounding thing may say of itself. */
export type SourceKeys = {
  readonly instrument?: string;
  /** Relative dB by band. */
  readonly spectrum?: ByBand;
  readonly directivity?: DirectivityEntry;
  readonly radius?: number;
  /** dB re 1 pW in each band; goes before `level`. */
  readonly power?: ByBand;
  /** Its acoustic centre. */
  readonly at?: Place;
  readonly facing?: Facing;
  readonly tilt?: number;
  readonly level?: Level;
  readonly dynamic?: Dynamic;
  readonly playing?: string;
  readonly later?: Later;
  readonly part?: string;
  readonly cover?: CoverEntry;
  readonly fixed: boolean;
};

export type DirectivityEntry =
  | { readonly kind: 'factors'; readonly q: ByBand; readonly frontToBack?: ByBand }
  | { readonly kind: 'table'; readonly table: AngleTable };

/** A cover of the catalogue, or its loss in dB by band. */
export type CoverEntry = { readonly name: string } | { readonly loss: ByBand };

/** Where a body is; `at` is on the floor, or on its riser. */
export type Person = {
  readonly at: Point;
  readonly facing?: Facing;
  readonly standing?: boolean;
  readonly riser?: number;
  readonly cue?: CueEntry;
  readonly fixed: boolean;
};

export type CueEntry = {
  readonly wearing: 'closed' | 'open' | 'one-off' | 'in-ear' | 'none';
  /** At the ear; `at` is 0. */
  readonly level?: Level;
};

export type PlayerEntry = Person & {
  readonly hands: 'right' | 'left';
  /** All he plays; what he says for all of it (`later`, `dynamic`, `level`, `playing`) is already in each. May be empty. */
  readonly plays: readonly PlayedEntry[];
};

export type PlayedEntry = SourceKeys & {
  /** Its name in `plays`, or null for an only instrument that goes by its player's name. */
  readonly name: string | null;
  /** What is changed in, added to (null: taken out of) the parts of a kit. */
  readonly parts: Named<SourceKeys | null>;
};

export type SourceEntry = SourceKeys & {
  readonly at: Place;
  /** Name of the source that it repeats, as a wedge does. */
  readonly repeats?: string;
  /** Who plays it: the name of a player, or one who plays only this. */
  readonly player?: { readonly name: string } | { readonly person: Person };
  readonly section?: SectionEntry;
};

export type SectionEntry = {
  readonly players: number;
  readonly rows?: number;
  /** Width square to `facing`, and depth. */
  readonly size: readonly [number, number];
  /** How much higher each row is than the one before it. */
  readonly rise: number;
};

export type ListenerEntry = Person;
