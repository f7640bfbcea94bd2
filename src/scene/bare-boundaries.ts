/** Rooms that touch, and nothing says what stands between them. */
import { type Lengths, lengthsIn } from '../plan/lengths.ts';
import { fault } from './notes.ts';
import { span } from './polygon.ts';
import type { RoomJob } from './room-job.ts';
import type { RoomPlace } from './room-place.ts';
import { boundary, type WallPiece } from './wall-pieces.ts';

/** A fault for each pair of rooms that touch and are not in `described`, by `pairKey`. */
export function noteBareBoundaries(job: RoomJob, described: ReadonlyMap<string, string>): void {
  const { rooms } = job.places;
  const lengths = lengthsIn(job.plan.units);
  rooms.forEach((second, j) => {
    for (let i = 0; i < j; i++) {
      const pieces = boundary(rooms, i, j);
      const first = rooms[i] as RoomPlace;
      if (pieces.length === 0 || described.has(pairKey(i, j))) continue;
      const mend = `add to partitions \`${first.name}-${second.name}: {between: [${first.name}, ${second.name}], wall: ...}\``;
      fault(job.notes, 'MISSING', ['partitions'], messageFor(first, second, pieces, lengths), mend);
    }
  });
}

function messageFor(
  first: RoomPlace,
  second: RoomPlace,
  pieces: readonly WallPiece[],
  { size, spot }: Lengths,
): string {
  const inside = first.host !== second.host;
  if (inside) {
    const booth = first.area < second.area ? first : second;
    return `${booth.name} stands in ${booth === first ? second.name : first.name}: say what its walls are made of`;
  }
  const [longest] = [...pieces].sort((one, other) => span(other.a, other.b) - span(one.a, one.b));
  const { a, b } = longest as WallPiece;
  const where = `${size(span(a, b))} from ${spot(a)} to ${spot(b)}`;
  return `${first.name} and ${second.name} share a wall, ${where}: say what stands between them`;
}

/** One key for two rooms, in whichever order. */
export const pairKey = (i: number, j: number): string => `${Math.min(i, j)} ${Math.max(i, j)}`;
