/** Rooms: surfaces, volume, what absorbs in them, and how long they were measured to ring. */
import type { Bands } from '../acoustics/bands.ts';
import type { PlanData } from '../plan/plan.ts';
import type { RoomEntry } from '../plan/plan-rooms.ts';
import { outsideAlpha, shellAbsorption, shellOf } from './booth-outside.ts';
import { planBands } from './by-band-notes.ts';
import type { Materials } from './material.ts';
import { caution, fault, type Notes } from './notes.ts';
import type { FacedPartition } from './resolve-partitions.ts';
import { bafflesArea, contentsArea, type Head, peopleArea, sumOf } from './room-contents.ts';
import type { RoomJob } from './room-job.ts';
import type { RoomPlace } from './room-place.ts';
import type { RoomPlaces } from './room-places.ts';
import { roomSurfaces } from './room-surfaces.ts';
import type { Panel, Room } from './scene.ts';

/** `people` is everyone who counts as a body; baffles among `panels` add their faces, `partitions` their doors and windows. */
export function resolveRooms(
  plan: PlanData,
  materials: Materials,
  places: RoomPlaces,
  people: readonly Head[],
  panels: readonly Panel[],
  partitions: readonly FacedPartition[],
  notes: Notes,
): Room[] {
  const job = { plan, materials, places, notes };
  return places.rooms.map((_, index) => roomOf(job, index, { people, panels, partitions }));
}

type Within = {
  readonly people: readonly Head[];
  readonly panels: readonly Panel[];
  readonly partitions: readonly FacedPartition[];
};

function roomOf(job: RoomJob, index: number, { people, panels, partitions }: Within): Room {
  const place = job.places.rooms[index] as RoomPlace;
  const entry = job.plan.rooms.get(place.name) as RoomEntry;
  const { name, path, outline, floor, ceiling, host } = place;
  noteIdleOutside(job, place, entry);
  return {
    name,
    path,
    outline,
    floor,
    ceiling,
    surfaces: roomSurfaces(job, index, partitions),
    volume: ownVolume(job, index),
    contents: sumOf([contentsArea(job, place, entry), ...boothShells(job, index, partitions)]),
    people: peopleArea(job, index, people),
    added: bafflesArea(index, panels),
    measured: measuredTime(job, place, entry),
    host,
    noise: entry.noise ?? null,
    booth: entry.booth,
  };
}

function measuredTime(
  { notes }: RoomJob,
  { path }: RoomPlace,
  { reverberation }: RoomEntry,
): Room['measured'] {
  if (!reverberation) return null;
  const t60 = planBands(reverberation.seconds, 'linear', [...path, 'reverberation'], notes);
  return { t60, setUp: reverberation.measured === 'set-up' };
}

const LEAST_VOLUME = 0.1;

/** Less the booths standing in it; a room that they fill is a fault. */
function ownVolume({ places, notes }: RoomJob, index: number): number {
  const { name, path, area, floor, ceiling } = places.rooms[index] as RoomPlace;
  const booths = places.rooms.filter((room) => room.host === index);
  const taken = booths.reduce(
    (sum, booth) =>
      sum + booth.area * Math.max(0, Math.min(ceiling, booth.ceiling) - Math.max(floor, booth.floor)),
    0,
  );
  const volume = area * (ceiling - floor) - taken;
  if (volume >= LEAST_VOLUME) return volume;
  const filled =
    booths.length > 0 ? `${name} is filled by what stands in it` : `${name} holds less than 0.1 m³`;
  fault(notes, 'BAD_PLACE', path, filled);
  return LEAST_VOLUME;
}

function boothShells(job: RoomJob, host: number, partitions: readonly FacedPartition[]): Bands[] {
  return job.places.rooms.flatMap((room, booth) => {
    const shell = room.host === host ? shellOf(partitions, booth, host) : undefined;
    return shell ? [shellAbsorption(shell, outsideAlpha(job, booth))] : [];
  });
}

function noteIdleOutside({ notes }: RoomJob, { name, path, host }: RoomPlace, { outside }: RoomEntry): void {
  if (!outside || host !== null) return;
  caution(notes, [...path, 'outside'], `${name} stands in no other room: its outer finish is not used`);
}
