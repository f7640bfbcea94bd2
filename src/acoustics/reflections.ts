/** First-order reflections off the surfaces of a room. */
import type { Vec3 } from '../scene/vector.ts';
import { BAND_COUNT } from './bands.ts';
import { dimJoined, dimSeen, stretch } from './dim-behind.ts';
import { wayEnergy } from './free-way.ts';
import { meetsLevels, newReflection, offLevel, offWall, type Reflection } from './images.ts';
import { cosineOf, type Link, sightsFrom, sightsTo } from './link.ts';
import type { Screens } from './past-screens.ts';
import { arriveBy, keepOf, type SoundPath, startPath, type Visit } from './path.ts';
import type { RoomShape } from './room-shape.ts';
import { inSurface } from './spot.ts';
import type { Surroundings } from './surroundings.ts';

type Reflecting = {
  readonly shape: RoomShape;
  /** Energy factors of its surfaces, packed [surface][band]. */
  readonly reflected: Float64Array;
  readonly around: Surroundings;
};

const reflection = newReflection();

/** Visits each reflection off a surface. */
export function surfacePaths(path: SoundPath, room: Reflecting, link: Link, visit: Visit): void {
  const { shape } = room;
  const from = link.emitter.at;
  const to = link.capsule.at;
  if (meetsLevels(shape, from, to)) {
    if (offLevel(reflection, 0, shape.floor, from, to)) surfacePath(path, 0, room, link, visit);
    if (offLevel(reflection, 1, shape.ceiling, from, to)) surfacePath(path, 1, room, link, visit);
  }
  for (let w = 0; w < shape.walls.length; w++)
    if (offWall(reflection, w, shape, from, to)) surfacePath(path, 2 + w, room, link, visit);
}

function surfacePath(path: SoundPath, surface: number, room: Reflecting, link: Link, visit: Visit): void {
  const { axis } = link.emitter;
  const { reflected, around } = room;
  const hit = reflection;
  startPath(path, 'surface', 'reflections', hit.length);
  path.surface = surface;
  arriveBy(path, hit.arriveX, hit.arriveY, hit.arriveZ);
  path.cosLeave = hit.leaveX * axis[0] + hit.leaveY * axis[1] + hit.leaveZ * axis[2];
  path.cosArrive = -cosineOf(path.arrive, link.capsule.aim);
  wayEnergy(path, link, path.cosLeave, path.cosArrive, hit.length, hit.length);
  keepOf(path, reflected, surface * BAND_COUNT);
  if (around.screens) dimReflection(path, around.screens, hit, link);
  visit(path);
}

/** Screens as they stand where the line image → mic meets them after the reflection, and source → the mic's image before. */
function dimReflection(path: SoundPath, screens: Screens, hit: Reflection, link: Link): void {
  const { emitter, capsule } = link;
  const { along, length } = hit;
  const source = sightsFrom(screens, link);
  const mic = sightsTo(screens, link);
  const image = inSurface(screens, path.surface);
  screens.pass.straight.whole = length;
  dimSeen(path.energy, screens, stretch(along, 1, -1), source, image, mic, 0);
  dimSeen(path.energy, screens, stretch(0, along, -1), source, 0, mic, image);
  if (screens.joined.length === 0) return;
  const [mx, my, mz] = capsule.at;
  const [sx, sy, sz] = emitter.at;
  const from: Vec3 = [mx - length * hit.arriveX, my - length * hit.arriveY, mz - length * hit.arriveZ];
  const beyond: Vec3 = [sx + length * hit.leaveX, sy + length * hit.leaveY, sz + length * hit.leaveZ];
  dimJoined(path.energy, screens, { source: from, mic: capsule.at, from: along, to: 1, except: null });
  dimJoined(path.energy, screens, { source: emitter.at, mic: beyond, from: 0, to: along, except: null });
}
