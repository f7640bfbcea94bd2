/** The direct way within one room: straight, past screens, or round the corners of the outline. */
import { sameInAllBands } from '../acoustics/bands.ts';
import { seesWithin, span, type Vec3 } from '../geometry.ts';
import { directPastBarriers, transmitLeg } from './barrier-diffraction.ts';
import { pathRoundCorners } from './corner.ts';
import type { EdgePath } from './panel-diffraction.ts';
import {
  arriveBy,
  hearFree,
  keepOf,
  pathEnergy,
  type SoundPath,
  startPath,
  type Visit,
} from './path-energy.ts';
import type { Obstacles } from './prepared-scene.ts';
import { cosineOf, type Link } from './source-receiver.ts';

const UNHINDERED = sameInAllBands(1);

/** Visits the direct way, where there is one. */
export function directPath(path: SoundPath, obstacles: Obstacles, link: Link, visit: Visit): void {
  const { emitter, capsule } = link;
  const { corners, barriers } = obstacles;
  setStraight(path, link);
  if (
    corners &&
    !seesWithin(corners.outline, [emitter.at[0], emitter.at[1]], [capsule.at[0], capsule.at[1]])
  ) {
    if (bentPath(path, obstacles, link)) visit(path);
    return;
  }
  if (barriers && directPastBarriers(path.energy, barriers, emitter.at, capsule.at, link.way)) hearFree(path);
  else keepOf(path, UNHINDERED);
  visit(path);
}

function setStraight(path: SoundPath, link: Link): void {
  const { emitter, capsule } = link;
  const dx = capsule.at[0] - emitter.at[0];
  const dy = capsule.at[1] - emitter.at[1];
  const dz = capsule.at[2] - emitter.at[2];
  const length = Math.max(Math.sqrt(dx * dx + dy * dy + dz * dz), 1e-9);
  startPath(path, 'direct', 'direct', length);
  arriveBy(path, dx / length, dy / length, dz / length);
  path.cosLeave = cosineOf(path.arrive, emitter.axis);
  path.cosArrive = -cosineOf(path.arrive, capsule.aim);
  pathEnergy(path, link, path.cosLeave, path.cosArrive, length, length);
}

/** Bends at the inner corners; screens act on each straight leg as on an image path. */
function bentPath(path: SoundPath, { corners, barriers, workspace }: Obstacles, link: Link): boolean {
  const { emitter, capsule } = link;
  if (!corners) return false;
  const ends = { source: emitter.at, mic: capsule.at, way: link.way };
  const bends = pathRoundCorners(path.energy, workspace, corners, ends);
  if (!bends) return false;
  path.kind = 'bent';
  hearAround(path, workspace.sides[0]);
  if (!barriers) return true;
  const stops = heightened(emitter.at, bends, capsule.at);
  for (let i = 1; i < stops.length; i++) {
    const leg = { source: stops[i - 1] as Vec3, mic: stops[i] as Vec3, from: 0, to: 1, except: null };
    transmitLeg(path.energy, barriers, leg);
  }
  return true;
}

/** The mic hears it from its last bend. */
function hearAround(path: SoundPath, { arrive, response }: EdgePath): void {
  arriveBy(path, ...arrive);
  path.response.set(response);
}

/** The bends of a way with their heights: it rises evenly from its start to its end. */
function heightened(from: Vec3, bends: readonly (readonly [number, number])[], to: Vec3): Vec3[] {
  const stops = [from, ...bends, to];
  const gone = stops.map((stop, i) => {
    const before = stops[i - 1] ?? stop;
    return span(stop, before);
  });
  const whole = gone.reduce((sum, leg) => sum + leg, 0);
  let sum = 0;
  return stops.map((stop, i): Vec3 => {
    sum += gone[i] as number;
    return [stop[0], stop[1], from[2] + ((to[2] - from[2]) * sum) / whole];
  });
}
