/** Partitions: the boundary each stands on, what it is made of, and what of it stands open. */

import type { Bands } from '../acoustics/bands.ts';
import { compositeTransmission } from '../acoustics/composite.ts';
import type { Path } from '../finding.ts';
import { lengthsIn } from '../plan/lengths.ts';
import type { PlanData } from '../plan/plan.ts';
import type { PartitionEntry } from '../plan/plan-rooms.ts';
import { noteBareBoundaries, pairKey } from './bare-boundaries.ts';
import { wallTau } from './construction.ts';
import { unknownName } from './lookup.ts';
import type { Materials } from './material.ts';
import { fault, type Notes } from './notes.ts';
import { span } from './polygon.ts';
import type { RoomJob } from './room-job.ts';
import type { RoomPlace } from './room-place.ts';
import { type RoomPlaces, roomNamed } from './room-places.ts';
import { OUTSIDE, type Partition, type WallStretch } from './scene.ts';
import { type FacedElement, wallElements } from './wall-elements.ts';
import { boundary, outerWalls, THICKEST_WALL, TOUCH } from './wall-pieces.ts';

export type FacedPartition = Omit<Partition, 'elements'> & { readonly elements: readonly FacedElement[] };

/** Every partition that is whole; rooms that touch without one are faults. */
export function resolvePartitions(
  plan: PlanData,
  materials: Materials,
  places: RoomPlaces,
  notes: Notes,
): FacedPartition[] {
  const job = { plan, materials, places, notes };
  const taken = new Map<string, string>();
  const partitions = [...job.plan.partitions].flatMap(([name, entry]) => {
    const rooms = roomsBetween(job, name, entry);
    if (!rooms) return [];
    const pair = pairKey(...rooms);
    const earlier = taken.get(pair);
    taken.set(pair, name);
    if (earlier === undefined) return partitionOf(job, name, rooms) ?? [];
    const message = `${entry.between.join(' and ')} are parted by ${earlier} already`;
    fault(
      job.notes,
      'BAD_NAME',
      ['partitions', name, 'between'],
      message,
      'describe a boundary in one partition',
    );
    return [];
  });
  noteBareBoundaries(job, taken);
  return partitions;
}

type Pair = readonly [number, number];

/** The two rooms, the outside last. */
function roomsBetween({ places, notes }: RoomJob, name: string, { between }: PartitionEntry): Pair | null {
  const known = ['outside', ...places.rooms.map((room) => room.name)];
  const [first, second] = between.map((room, i) => {
    if (room === 'outside') return OUTSIDE;
    const index = roomNamed(places, room);
    if (index === null) unknownName(known, room, 'room', { path: ['partitions', name, 'between', i], notes });
    return index;
  });
  if (first === undefined || second === undefined || first === null || second === null || first === second)
    return null;
  return first === OUTSIDE ? [second, first] : [first, second];
}

function partitionOf(job: RoomJob, name: string, rooms: Pair): FacedPartition | null {
  const path = ['partitions', name];
  const entry = job.plan.partitions.get(name) as PartitionEntry;
  const all = job.places.rooms;
  const pieces = rooms[1] === OUTSIDE ? outerWalls(all, rooms[0]) : boundary(all, rooms[0], rooms[1]);
  const roof = roofBetween(all, rooms);
  const elements = wallElements(job, entry, pieces, path);
  const wall = wallTau(job, entry.wall, [...path, 'wall']);
  const area = entry.area ?? pieces.reduce((sum, piece) => sum + stretchArea(piece), roof?.area ?? 0);
  if (area <= 0) return refuseApart(job, entry, path);
  const held = elements.reduce((sum, element) => sum + element.area, 0);
  if (held > area + 1e-6) return refuseFull(job, entry, path, held);
  if (!wall) return null;
  const stretches = pieces.map(({ a, b, low, high }) => ({ a, b, low, high }));
  return { name, path, rooms, stretches, roof, area, wall, elements, tau: composite(wall, area, elements) };
}

export const stretchArea = ({ a, b, low, high }: WallStretch): number => span(a, b) * (high - low);

/** Roof of a booth toward its host, unless the host's ceiling is as near as makes none. */
function roofBetween(rooms: readonly RoomPlace[], [i, j]: Pair) {
  const index = rooms[i]?.host === j ? i : j;
  const booth = rooms[index];
  if (!booth || booth.host === null || booth.host !== (index === i ? j : i)) return null;
  const under = (rooms[booth.host] as RoomPlace).ceiling - booth.ceiling;
  return under <= TOUCH ? null : { outline: booth.outline, height: booth.ceiling, area: booth.area };
}

function composite(wall: Bands, area: number, elements: readonly FacedElement[]): Bands {
  const bare = Math.max(0, area - elements.reduce((sum, element) => sum + element.area, 0));
  return compositeTransmission([{ area: bare, tau: wall }, ...elements]);
}

function refuseApart({ plan, notes }: RoomJob, { between }: PartitionEntry, path: Path): null {
  const [first, second] = between;
  const outside = between.includes('outside');
  const message = outside
    ? `${first === 'outside' ? second : first} has no wall to the outside`
    : `${first} and ${second} share no wall: walls that face each other up to ${lengthsIn(plan.units).close(THICKEST_WALL)} apart`;
  fault(notes, 'BAD_PLACE', [...path, 'between'], message, 'give its `area`, or take the partition out');
  return null;
}

function refuseFull({ notes }: RoomJob, { area }: PartitionEntry, path: Path, held: number): null {
  const message = `doors, windows and openings of ${held.toFixed(2)} m² do not fit into this wall`;
  fault(notes, 'BAD_RANGE', area === undefined ? path : [...path, 'area'], message);
  return null;
}
