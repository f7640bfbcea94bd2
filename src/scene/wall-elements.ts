/** Doors, windows and openings of a partition, each set on its stretch of wall. */
import { type Bands, sameInAllBands } from '../acoustics/bands.ts';
import type { Path } from '../finding.ts';
import type { OpeningEntry, PartitionEntry } from '../plan/plan-rooms.ts';
import { type Made, madeOf } from './construction.ts';
import { type Kind, overlap, type Placed, placeOf, refuse, type Written } from './element-place.ts';
import type { RoomJob } from './room-job.ts';
import type { WallElement } from './scene.ts';
import type { WallPiece } from './wall-pieces.ts';

/** An element with the absorption of its face, and the area it takes of the wall: a leaf ajar without its slit. */
export type FacedElement = WallElement & { readonly alpha: Bands; readonly area: number };

/** An ajar door is open by this much over the leaf's height, m. */
export const SLIT = 0.05;

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
