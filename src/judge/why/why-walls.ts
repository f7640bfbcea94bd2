/** Tells a way from one room into the next: straight through the wall or what is set in it, or through what stands open. */
import { throughOpening } from '../../acoustics/opening.ts';
import { inFront, type ReadyPanel } from '../../acoustics/panel.ts';
import type { SoundPath } from '../../acoustics/path.ts';
import { edgesOf, traceLeg } from '../../acoustics/screen-trace.ts';
import { throughWall } from '../../acoustics/through-wall.ts';
import type { Partition } from '../../scene/scene.ts';
import { distance } from '../../scene/vector.ts';
import { factor, freeFactors } from './why-gains.ts';
import {
  aroundOf,
  type Between,
  type Met,
  met,
  screenFactors,
  straightCourse,
  type Told,
  told,
} from './why-told.ts';

/** The straight line through a wall, roof, door or window. */
export function throughElement(between: Between, path: SoundPath): Told {
  const { stage, link } = between;
  const { emitter, capsule } = link;
  const { passage } = throughWall(stage.scene, emitter, capsule);
  if (!passage?.tau) throw new Error('a way through a wall that is not there');
  const { tau, at } = passage;
  const part = distance(emitter.at, at) / distance(emitter.at, capsule.at);
  const screens = inBothRooms(between, Math.min(1, part));
  const course = straightCourse(path);
  const wall = factor('wall', (band) => tau[band] as number);
  return told([...freeFactors(link, course), wall, ...screenFactors(screens)], {
    by: path.element,
    of: passage.partition.name,
    course,
    screens,
  });
}

/** Through an opening, seen or missed by the straight line. */
export function throughHole(between: Between, path: SoundPath): Told {
  const { stage, link } = between;
  const { emitter, capsule, way } = link;
  const { pass } = aroundOf(stage, capsule.room);
  const { partition, ready } = openingNamed(between, path.element);
  const passed = path.free.slice();
  throughOpening(passed, pass, ready, { source: emitter.at, mic: capsule.at, way });
  const edges = edgesOf(pass, [ready], emitter.at);
  const near = inFront(ready, emitter.at);
  const screens = inBothRooms(between, near / (near - inFront(ready, capsule.at)));
  const course = straightCourse(path);
  const hole = factor('opening', (band) => (passed[band] as number) / (path.free[band] as number));
  return told([...freeFactors(link, course), hole, ...screenFactors(screens)], {
    by: path.element,
    of: partition.name,
    course,
    screens,
    edges,
  });
}

function openingNamed(
  { stage, link }: Between,
  name: string,
): { readonly partition: Partition; readonly ready: ReadyPanel } {
  const rooms = [link.emitter.room, link.capsule.room];
  const partition = stage.scene.partitions.find((one) => rooms.every((room) => one.rooms.includes(room)));
  const element = partition?.elements.find((one) => one.free && one.name === name);
  const ready = element && stage.openings.get(element);
  if (!partition || !ready) throw new Error('a way through an opening that is not there');
  return { partition, ready };
}

/** Panels of either room on the line, which leaves the first at this share of its length; a booth's own walls are left out. */
function inBothRooms({ stage, link }: Between, part: number): Met[] {
  const { emitter, capsule } = link;
  const line = { source: emitter.at, mic: capsule.at, except: null };
  const toward = (room: number, next: number) => {
    const around = aroundOf(stage, room);
    return around.toward.get(next) ?? around.screens;
  };
  const before = toward(emitter.room, capsule.room);
  const after = toward(capsule.room, emitter.room);
  return [
    ...(before ? met('before', traceLeg(before, { ...line, from: 0, to: part })) : []),
    ...(after ? met('after', traceLeg(after, { ...line, from: part, to: 1 })) : []),
  ];
}
