/** Where in a wall a door, window or opening comes to lie. */
import type { Path } from '../finding.ts';
import { lengthsIn } from '../plan/lengths.ts';
import type { LeafEntry, OpeningEntry } from '../plan/plan-rooms.ts';
import { assume, fault } from './notes.ts';
import { distanceToStretch } from './polygon.ts';
import type { RoomJob } from './room-job.ts';
import type { WallElement } from './scene.ts';
import type { WallPiece } from './wall-pieces.ts';
import { FURTHEST_FROM_WALL, onWall, type WallSpot } from './wall-spot.ts';

export type Kind = WallElement['kind'];
/** As the plan lists it, with its name in messages: "door", or "door 2" of several. */
export type Written = {
  readonly kind: Kind;
  readonly name: string;
  readonly entry: OpeningEntry & Partial<LeafEntry>;
  readonly path: Path;
};

export type Placed = {
  readonly written: Written;
  readonly spot: WallSpot;
  readonly low: number;
  readonly high: number;
};

/** Sill of a window that gives none, m, where it fits. Common practice, no source. */
const WINDOW_SILL = 0.9;
/** Drawings are rounded: what sticks out by less fits, m. */
const SLACK = 1e-3;

/** Null, with a fault, where it does not fit. */
export function placeOf(job: RoomJob, written: Written, pieces: readonly WallPiece[]): Placed | null {
  const { at, width, height } = written.entry;
  const { size, spot: point } = lengthsIn(job.plan.units);
  const spot = onWall(pieces, at);
  if (!spot) {
    refuse(job, written, `at ${point(at)} ${missedBy(job, pieces, written)}`, 'at');
    return null;
  }
  const { piece, along, length } = spot;
  if (along - width / 2 < -SLACK || along + width / 2 > length + SLACK) {
    const ends = `${point(piece.a)} to ${point(piece.b)}`;
    refuse(
      job,
      written,
      `${size(width)} wide at ${point(at)} reaches past the end of its wall, ${ends}`,
      'at',
    );
    return null;
  }
  const low = piece.low + sillOf(job, written, piece);
  if (low + height > piece.high + SLACK) {
    const tall = size(piece.high - piece.low);
    refuse(job, written, `reaches past the top of its wall, which is ${tall} high`, 'height');
    return null;
  }
  return { written, spot, low, high: low + height };
}

export function refuse(job: RoomJob, written: Written, message: string, key?: string): [] {
  const path = key === undefined ? written.path : [...written.path, key];
  fault(job.notes, 'BAD_PLACE', path, `the ${written.name} ${message}`);
  return [];
}

function missedBy({ plan }: RoomJob, pieces: readonly WallPiece[], { entry }: Written): string {
  if (pieces.length === 0) return 'has no place: the rooms share no wall';
  const away = Math.min(...pieces.map(({ a, b }) => distanceToStretch(entry.at, a, b)));
  const { apart, size } = lengthsIn(plan.units);
  const most = size(FURTHEST_FROM_WALL);
  return `is ${apart(away)} from the nearest wall that the rooms share: more than ${most}`;
}

function sillOf(job: RoomJob, { kind, entry, path }: Written, piece: WallPiece): number {
  if (entry.sill !== undefined) return entry.sill;
  if (kind !== 'window') return 0;
  const sill = Math.max(0, Math.min(WINDOW_SILL, piece.high - piece.low - entry.height));
  assume(
    job.notes,
    'default',
    path,
    `no sill given: ${lengthsIn(job.plan.units).size(sill)} above the floor`,
  );
  return sill;
}

export function overlap(one: Placed, other: Placed): boolean {
  if (one.spot.piece !== other.spot.piece) return false;
  const between = Math.abs(one.spot.along - other.spot.along);
  const wide = (one.written.entry.width + other.written.entry.width) / 2;
  return between < wide - SLACK && Math.min(one.high, other.high) - Math.max(one.low, other.low) > SLACK;
}
