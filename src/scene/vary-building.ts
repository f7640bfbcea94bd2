/** Rooms that absorb somewhat more or less than thought, walls and screens that let through more or less. */
import { type Bands, energyOf } from '../acoustics/bands.ts';
import type { Luck } from './luck.ts';
import { span } from './polygon.ts';
import type { Panel, Partition, Room, Scene, Surface, WallElement } from './scene.ts';

export function varyBuilding(
  scene: Scene,
  { roll }: Luck,
): { readonly rooms: Room[]; readonly partitions: Partition[]; readonly panels: Panel[] } {
  const { absorption, reverberation, panel } = scene.tolerance;
  const lucks = scene.rooms.map(() => roll('absorption'));
  const factors = lucks.map((luck, i) => (scene.rooms[i]?.measured ? 1 : 1 + absorption * luck));
  const lets = scene.partitions.map(() => energyOf(-panel * roll('panel')));
  return {
    rooms: scene.rooms.map((room, i) =>
      room.measured
        ? withTime(room, room.measured, 1 + reverberation * (lucks[i] ?? 0))
        : withAbsorption(room, factors[i] ?? 1),
    ),
    partitions: scene.partitions.map((one, i) => withTransmission(one, lets[i] ?? 1)),
    panels: scene.panels.map((one) => {
      const shell = shellOf(scene, one);
      const factor = shell < 0 ? energyOf(-panel * roll('panel')) : (lets[shell] ?? 1);
      return { ...one, tau: times(one.tau, factor), alpha: scaled(one.alpha, factors[one.room] ?? 1) };
    }),
  };
}

/** The partition whose wall a booth's panel is, or −1 for a baffle. */
const shellOf = ({ partitions }: Scene, { booth, room }: Panel): number =>
  booth === null ? -1 : partitions.findIndex(({ rooms }) => rooms.includes(booth) && rooms.includes(room));

const withTime = (room: Room, { t60, setUp }: NonNullable<Room['measured']>, factor: number): Room => ({
  ...room,
  measured: { t60: t60.map((time) => time * factor), setUp },
});

/** One factor for all that absorbs in a room: handbook values err the same way more often than they cancel. */
function withAbsorption(room: Room, factor: number): Room {
  if (factor === 1) return room;
  return {
    ...room,
    surfaces: room.surfaces.map((surface) => withFinish(surface, factor)),
    contents: room.contents.map((area) => area * factor),
    people: room.people.map((area) => area * factor),
    added: room.added.map((area) => area * factor),
  };
}

/** What stands open absorbs all it gets, whatever the finish. */
function withFinish(surface: Surface, factor: number): Surface {
  const { area, open } = surface;
  if (area <= 0) return surface;
  const share = open / area;
  return { ...surface, alpha: surface.alpha.map((alpha) => Math.min(1, (alpha - share) * factor + share)) };
}

/** One factor for wall, doors and windows; what stands open lets all through. */
function withTransmission(partition: Partition, factor: number): Partition {
  if (factor === 1) return partition;
  const { wall, elements, area, tau } = partition;
  const free = elements.filter((element) => element.free);
  const share = Math.min(1, free.reduce((sum, element) => sum + areaOf(element), 0) / area);
  return {
    ...partition,
    wall: times(wall, factor),
    elements: elements.map((one) => (one.free ? one : { ...one, tau: times(one.tau, factor) })),
    tau: tau.map((all) => Math.min(1, Math.max(0, all - share) * factor + share)),
  };
}

const areaOf = ({ a, b, low, high }: WallElement): number => span(a, b) * (high - low);

/** A transmission factor times another; 1 is no wall at all and stays. */
const times = (tau: Bands, factor: number): Bands =>
  tau.map((one) => (one >= 1 ? 1 : Math.min(1, one * factor)));

const scaled = (alpha: Bands, factor: number): Bands => alpha.map((one) => Math.min(1, one * factor));
