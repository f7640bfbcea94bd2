/** Panels: the plan's baffles, and the walls of booths that stand free in a room. */
import type { PlanData } from '../plan/plan.ts';
import { baffleOf } from './baffle.ts';
import { outsideAlpha } from './booth-outside.ts';
import { wallTau } from './construction.ts';
import type { Materials } from './material.ts';
import { emptyNotes, type Notes } from './notes.ts';
import type { RoomJob } from './room-job.ts';
import type { RoomPlace } from './room-place.ts';
import type { RoomPlaces } from './room-places.ts';
import type { Panel } from './scene.ts';
import { boundary, type WallPiece } from './wall-pieces.ts';

export function resolvePanels(
  plan: PlanData,
  materials: Materials,
  places: RoomPlaces,
  notes: Notes,
): Panel[] {
  const job = { plan, materials, places, notes };
  const baffles = [...plan.baffles].flatMap(([name, entry]) => baffleOf(job, name, entry) ?? []);
  return [...baffles, ...places.rooms.flatMap((_, booth) => boothPanels(job, booth))];
}

/** None where the partition round the booth is missing or unknown: that is a fault of the partition's. */
function boothPanels(job: RoomJob, booth: number): Panel[] {
  const { rooms } = job.places;
  const { name, path, host, wallNames } = rooms[booth] as RoomPlace;
  const hostPlace = rooms[host ?? -1];
  if (host === null || !hostPlace) return [];
  const names = [name, hostPlace.name];
  const entry = [...job.plan.partitions.values()].find(({ between }) =>
    names.every((one) => between.includes(one)),
  );
  const tau = entry && wallTau({ ...job, notes: emptyNotes() }, entry.wall, path);
  if (!tau) return [];
  const alpha = outsideAlpha({ ...job, notes: emptyNotes() }, booth);
  return boundary(rooms, booth, host).map((piece) => ({
    name: `${name}, ${wallNames[wallOf(piece)]}`,
    path,
    room: host,
    a: piece.a,
    b: piece.b,
    // what a booth stands on closes the gap under a raised floor
    low: hostPlace.floor,
    high: piece.high,
    tau,
    alpha,
    windowFrom: Number.POSITIVE_INFINITY,
    booth,
  }));
}

const wallOf = ({ sides }: WallPiece): number => sides[0]?.wall ?? 0;
