/** Doors, windows and openings of a partition, each set on its stretch of wall. */
import { type Bands, sameInAllBands } from '../acoustics/bands.ts';
import type { Path } from '../finding.ts';
import type { LeafEntry, OpeningEntry, PartitionEntry } from '../plan/plan-rooms.ts';
import { type Made, madeOf } from './construction.ts';
import { assume, fault } from './notes.ts';
import { distanceToStretch } from './polygon.ts';
import type { RoomJob } from './room-job.ts';
import { spotName } from './room-places.ts';
import type { WallElement } from './scene.ts';
import type { WallPiece } from './wall-pieces.ts';
import { onWall, type WallSpot } from './wall-spot.ts';

/** An element with the absorption of its face, and the area it takes of the wall: a leaf ajar without its slit. */
export type FacedElement = WallElement & { readonly alpha: Bands; readonly area: number };

/** An ajar door is open by this much over the leaf's height, m. */
export const SLIT = 0.05;
/** Sill of a window that gives none, m, where it fits. Common practice, no source. */
const WINDOW_SILL = 0.9;
/** Drawings are rounded: what sticks out by less fits, m. */
const SLACK = 1e-3;

/** Those that fit; the others, and those that overlap an earlier one, are faults. */
export function wallElements(
  job: RoomJob,
  entry: PartitionEntry,
  pieces: readonly WallPiece[],
  path: Path,
): FacedElement[] {
  const placed: Placed[] = [];
  return writtenElements(entry, path).flatMap((written) => {
    const place = placeOf(job, written, pieces);
    if (!place) return [];
    const other = placed.find((earlier) => overlap(earlier, place));
    if (other) return refuse(job, written, `overlaps the ${other.written.name} in the same wall`);
    placed.push(place);
    return facesOf(job, place);
  });
}

type Kind = WallElement['kind'];
type Written = {
  readonly kind: Kind;
  readonly name: string;
  readonly entry: OpeningEntry & Partial<LeafEntry>;
  readonly path: Path;
};

function writtenElements(entry: PartitionEntry, path: Path): Written[] {
  const list = (kind: Kind, entries: readonly OpeningEntry[]): Written[] =>
    entries.map((one, i) => ({
      kind,
      name: entries.length > 1 ? `${kind} ${i + 1}` : kind,
      entry: one,
      path: [...path, `${kind}s`, i],
    }));
  return [...list('door', entry.doors), ...list('window', entry.windows), ...list('opening', entry.openings)];
}

type Placed = {
  readonly written: Written;
  readonly spot: WallSpot;
  readonly low: number;
  readonly high: number;
};

function placeOf(job: RoomJob, written: Written, pieces: readonly WallPiece[]): Placed | null {
  const { at, width, height } = written.entry;
  const spot = onWall(pieces, at);
  if (!spot) {
    refuse(job, written, `at ${spotName(at)} ${missedBy(pieces, written)}`, 'at');
    return null;
  }
  const { piece, along, length } = spot;
  if (along - width / 2 < -SLACK || along + width / 2 > length + SLACK) {
    const ends = `${spotName(piece.a)} to ${spotName(piece.b)}`;
    refuse(
      job,
      written,
      `${width} m wide at ${spotName(at)} reaches past the end of its wall, ${ends}`,
      'at',
    );
    return null;
  }
  const low = piece.low + sillOf(job, written, piece);
  if (low + height > piece.high + SLACK) {
    const tall = Math.round((piece.high - piece.low) * 100) / 100;
    refuse(job, written, `reaches past the top of its wall, which is ${tall} m high`, 'height');
    return null;
  }
  return { written, spot, low, high: low + height };
}

function refuse(job: RoomJob, written: Written, message: string, key?: string): [] {
  const path = key === undefined ? written.path : [...written.path, key];
  fault(job.notes, 'BAD_PLACE', path, `the ${written.name} ${message}`);
  return [];
}

function missedBy(pieces: readonly WallPiece[], { entry }: Written): string {
  if (pieces.length === 0) return 'has no place: the rooms share no wall';
  const away = Math.min(...pieces.map(({ a, b }) => distanceToStretch(entry.at, a, b)));
  return `is ${away.toFixed(2)} m from the nearest wall that the rooms share: more than 0.3 m`;
}

function sillOf(job: RoomJob, { kind, entry, path }: Written, piece: WallPiece): number {
  if (entry.sill !== undefined) return entry.sill;
  if (kind !== 'window') return 0;
  const sill = Math.max(0, Math.min(WINDOW_SILL, piece.high - piece.low - entry.height));
  assume(job.notes, 'default', path, `no sill given: ${Math.round(sill * 100) / 100} m above the floor`);
  return sill;
}

function overlap(one: Placed, other: Placed): boolean {
  if (one.spot.piece !== other.spot.piece) return false;
  const between = Math.abs(one.spot.along - other.spot.along);
  const wide = (one.written.entry.width + other.written.entry.width) / 2;
  return between < wide - SLACK && Math.min(one.high, other.high) - Math.max(one.low, other.low) > SLACK;
}

function facesOf(job: RoomJob, place: Placed): FacedElement[] {
  const { kind, entry, path } = place.written;
  const { made: leaf, state = 'open' } = entry;
  if (state === 'open') return [freeElement(place, state, entry.width)];
  if (!leaf) throw new Error(`${path.join('.')}: neither open nor made of anything`);
  const made =
    kind === 'opening' ? null : madeOf(job, leaf, kind, [...path, kind === 'door' ? 'leaf' : 'glass']);
  if (!made) return [];
  if (state === 'closed') return [leafElement(place, made, 0)];
  const slit = Math.min(SLIT, entry.width);
  return [leafElement(place, made, slit), freeElement(place, state, slit)];
}

function leafElement(place: Placed, { tau, alpha }: Made, slit: number): FacedElement {
  const { width, height, state = 'closed' } = place.written.entry;
  return { ...elementOf(place, width), state, free: false, tau, alpha, area: (width - slit) * height };
}

function freeElement(place: Placed, state: WallElement['state'], width: number): FacedElement {
  const all = sameInAllBands(1);
  const { height } = place.written.entry;
  return { ...elementOf(place, width), state, free: true, tau: all, alpha: all, area: width * height };
}

function elementOf({ written, spot, low, high }: Placed, width: number) {
  const { kind, name } = written;
  return { kind, name, a: spot.point(-width / 2), b: spot.point(width / 2), low, high };
}
