/** A room's surfaces: areas, and the area means of finish, patches, doors, windows and openings. */
import { type Bands, bands, sameInAllBands } from '../acoustics/bands.ts';
import type { PatchEntry, RoomEntry } from '../plan/plan-rooms.ts';
import { finishAlpha } from './finish.ts';
import { fault } from './notes.ts';
import { corner, distanceToStretch, span } from './polygon.ts';
import { type FacedPartition, stretchArea } from './resolve-partitions.ts';
import { roomFinishes } from './room-finishes.ts';
import type { RoomJob } from './room-job.ts';
import type { RoomPlace } from './room-place.ts';
import type { Surface } from './scene.ts';
import type { FacedElement } from './wall-elements.ts';
import { flushWalls, TOUCH } from './wall-pieces.ts';

/** Part of a surface that is not its finish. */
type Piece = { readonly area: number; readonly alpha: Bands; readonly free: boolean };

/** Floor, ceiling, then walls. Without finishes at all (see `roomFinishes`) what does not stand open absorbs nothing. */
export function roomSurfaces(job: RoomJob, index: number, partitions: readonly FacedPartition[]): Surface[] {
  const place = job.places.rooms[index] as RoomPlace;
  const entry = job.plan.rooms.get(place.name) as RoomEntry;
  const areas = surfaceAreas(job.places.rooms, index);
  const elements = elementsByWall(job.places.rooms, index, partitions);
  const finishes = roomFinishes(job, entry, place.path);
  const patches = patchPieces(
    job,
    place,
    entry,
    areas.map((area, s) => area - areaOf(elements[s - 2] ?? [])),
  );
  return areas.map((area, s) => {
    const doors = (elements[s - 2] ?? []).map((door) =>
      finishes || door.free ? door : { ...door, alpha: NOTHING },
    );
    return surfaceOf(surfaceName(place, s), area, finishes?.[s] ?? NOTHING, [
      ...doors,
      ...(patches[s] ?? []),
    ]);
  });
}

const NOTHING = sameInAllBands(0);

const areaOf = (pieces: readonly { readonly area: number }[]): number =>
  pieces.reduce((sum, { area }) => sum + area, 0);

/** "floor", "ceiling", "left wall", "wall 3". */
function surfaceName({ wallNames }: RoomPlace, surface: number): string {
  if (surface < 2) return surface === 0 ? 'floor' : 'ceiling';
  const name = wallNames[surface - 2] ?? '';
  return /^\d+$/.test(name) ? `wall ${name}` : `${name} wall`;
}

function surfaceOf(name: string, area: number, finish: Bands, pieces: readonly Piece[]): Surface {
  const open = areaOf(pieces.filter(({ free }) => free));
  if (area <= 0) return { name, area: 0, alpha: finish, open: 0 };
  const rest = Math.max(0, area - areaOf(pieces));
  const alpha = bands((band) => {
    const absorbed = pieces.reduce((sum, piece) => sum + piece.area * (piece.alpha[band] ?? 0), 0);
    return (rest * (finish[band] ?? 0) + absorbed) / area;
  });
  return { name, area, alpha, open };
}

/** Whole surfaces less what booths stand on, stand against, and reach up to. */
function surfaceAreas(rooms: readonly RoomPlace[], index: number): number[] {
  const { outline, area, floor, ceiling } = rooms[index] as RoomPlace;
  const booths = rooms.flatMap((booth, b) => (booth.host === index ? [{ ...booth, index: b }] : []));
  const under = booths.filter((booth) => ceiling - booth.ceiling <= TOUCH);
  const against = booths.flatMap((booth) => flushWalls(rooms, booth.index));
  const walls = outline.map((a, wall) => {
    const taken = against.filter(({ sides }) =>
      sides.some((side) => side.room === index && side.wall === wall),
    );
    return (
      span(a, corner(outline, wall + 1)) * (ceiling - floor) -
      taken.reduce((sum, s) => sum + stretchArea(s), 0)
    );
  });
  return [area - areaOf(booths), area - areaOf(under), ...walls].map((left) => Math.max(0, left));
}

/** Doors, windows and openings in each wall; those of a booth standing in the room are not in the room's own walls. */
function elementsByWall(
  rooms: readonly RoomPlace[],
  index: number,
  partitions: readonly FacedPartition[],
): FacedElement[][] {
  const place = rooms[index] as RoomPlace;
  const walls: FacedElement[][] = place.outline.map(() => []);
  for (const { rooms: pair, elements } of partitions) {
    const other = pair[0] === index ? pair[1] : pair[0];
    if (!pair.includes(index) || rooms[other]?.host === index) continue;
    for (const element of elements) walls[nearestWall(place, element)]?.push(element);
  }
  return walls;
}

function nearestWall({ outline }: RoomPlace, { a, b }: FacedElement): number {
  const away = outline.map((c, i) => {
    const d = corner(outline, i + 1);
    return distanceToStretch(a, c, d) + distanceToStretch(b, c, d);
  });
  return away.indexOf(Math.min(...away));
}

/** Patches of each surface; one larger than what is `left` of its surface is a fault. */
function patchPieces(job: RoomJob, place: RoomPlace, { patches }: RoomEntry, left: number[]): Piece[][] {
  const pieces: Piece[][] = left.map(() => []);
  for (const [name, patch] of patches) {
    const path = [...place.path, 'patches', name];
    const surface = surfaceIndex(patch.on);
    const room = left[surface] ?? 0;
    const alpha = finishAlpha(job, patch.finish, [...path, 'finish']);
    if (patch.area > room + 1e-6) {
      const message = `${name} is larger than what is free of the ${surfaceName(place, surface)}: ${room.toFixed(2)} m²`;
      fault(job.notes, 'BAD_RANGE', [...path, 'area'], message);
    } else if (alpha) {
      left[surface] = room - patch.area;
      pieces[surface]?.push({ area: patch.area, alpha, free: false });
    }
  }
  return pieces;
}

const surfaceIndex = (on: PatchEntry['on']): number => (on === 'floor' ? 0 : on === 'ceiling' ? 1 : 2 + on);
