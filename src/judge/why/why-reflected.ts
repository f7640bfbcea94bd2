/** Tells first reflections: off floor, ceiling and walls, and off panels. */
import { surfaceAlpha } from '../../acoustics/absorption.ts';
import { mirrored, mirrorIn } from '../../acoustics/mirror.ts';
import type { Screens } from '../../acoustics/past-screens.ts';
import type { SoundPath } from '../../acoustics/path.ts';
import { fromWall, type RoomShape } from '../../acoustics/room-shape.ts';
import { traceLeg } from '../../acoustics/screen-trace.ts';
import type { Stage } from '../../acoustics/stage.ts';
import type { Panel } from '../../scene/scene.ts';
import type { Vec3 } from '../../scene/vector.ts';
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

export function offSurface({ stage, link }: Between, path: SoundPath): Told {
  const { emitter, capsule } = link;
  const { screens } = aroundOf(stage, capsule.room);
  const shape = stage.shapes[capsule.room] as RoomShape;
  const alpha = surfaceAlpha(stage.absorptions[capsule.room] as Stage['absorptions'][number], path.surface);
  const mirror = (at: Vec3): Vec3 => inSurface(shape, path.surface, at);
  const near = heightAbove(shape, path.surface, emitter.at);
  const along = near / (near + heightAbove(shape, path.surface, capsule.at));
  const ends = { source: emitter.at, beyond: mirror(capsule.at), image: mirror(emitter.at), mic: capsule.at };
  const found = screens ? onBothLegs(screens, ends, along, null) : [];
  const course = straightCourse(path);
  const taken = factor('surface', (band) => 1 - (alpha[band] as number));
  const room = stage.scene.rooms[capsule.room];
  return told([...freeFactors(link, course), taken, ...screenFactors(found)], {
    by: room?.surfaces[path.surface]?.name ?? null,
    of: room?.name ?? null,
    course,
    screens: found,
  });
}

/** Distance from floor, ceiling or wall, into the room. */
function heightAbove(shape: RoomShape, surface: number, at: Vec3): number {
  if (surface === 0) return at[2] - shape.floor;
  if (surface === 1) return shape.ceiling - at[2];
  return fromWall(at, shape.walls[surface - 2] as RoomShape['walls'][number]);
}

function inSurface(shape: RoomShape, surface: number, at: Vec3): Vec3 {
  const twice = 2 * heightAbove(shape, surface, at);
  if (surface < 2) return [at[0], at[1], surface === 0 ? at[2] - twice : at[2] + twice];
  const { inX, inY } = shape.walls[surface - 2] as RoomShape['walls'][number];
  return [at[0] - twice * inX, at[1] - twice * inY, at[2]];
}

export function offPanel({ stage, link }: Between, path: SoundPath): Told {
  const { emitter, capsule } = link;
  const { screens } = aroundOf(stage, capsule.room);
  const except = path.panel as Panel;
  const ready = screens?.mirrors.find(({ panel }) => panel === except);
  if (!screens || !ready) throw new Error('a reflection off a panel that is not there');
  const image: [number, number, number] = [0, 0, 0];
  const beyond: [number, number, number] = [0, 0, 0];
  const caught = path.free.slice();
  const along = mirrorIn(caught, image, screens.pass, ready, [emitter.at, capsule.at]);
  mirrored(beyond, ready, capsule.at);
  const found = onBothLegs(screens, { source: emitter.at, beyond, image, mic: capsule.at }, along, except);
  const course = straightCourse(path);
  const face = (band: number) => (1 - (ready.alpha[band] as number)) * (1 - (ready.tau[band] as number));
  const size = factor('size', (band) => (caught[band] as number) / face(band));
  return told([...freeFactors(link, course), factor('face', face), size, ...screenFactors(found)], {
    by: except.name,
    course,
    screens: found,
  });
}

type Ends = { readonly source: Vec3; readonly beyond: Vec3; readonly image: Vec3; readonly mic: Vec3 };

/** From the source toward the mic's image, `beyond`, up to the reflection, and on from the source's image to the mic. */
function onBothLegs(screens: Screens, ends: Ends, along: number, except: Panel | null): Met[] {
  const { source, beyond, image, mic } = ends;
  return [
    ...met('before', traceLeg(screens, { source, mic: beyond, from: 0, to: along, except })),
    ...met('after', traceLeg(screens, { source: image, mic, from: along, to: 1, except })),
  ];
}
