/** The direct path within one room: straight, past barriers, or round the corners of the outline. */
import { seesWithin, type Vec3 } from '../geometry.ts';
import { directPastBarriers, transmitLeg } from './barrier-diffraction.ts';
import { pathRoundCorners } from './corner.ts';
import { BAND_SIZE, edgeEnergy } from './edge-diffraction.ts';
import { setPoint } from './panel-view.ts';
import { hearFree, keepOf, type Visit } from './path-energy.ts';
import type { Obstacles } from './prepared-scene.ts';
import { recordFree, type SourceReceiver, startStraightPath, UNHINDERED } from './source-receiver.ts';
import { barrierFactors, factor } from './trace.ts';

/** Visits the direct path, where there is one. */
export function directPath(pair: SourceReceiver, obstacles: Obstacles, visit: Visit): void {
  const { emitter, capsule, path, workspace } = pair;
  const { corners, barriers } = obstacles;
  startStraightPath(pair, 'direct', 'direct');
  if (
    corners &&
    !seesWithin(corners.outline, [emitter.at[0], emitter.at[1]], [capsule.at[0], capsule.at[1]])
  ) {
    if (bentPath(pair, obstacles)) visit(path);
    return;
  }
  if (barriers && directPastBarriers(path.energy, barriers, emitter.at, capsule.at, pair.pathEnergy)) {
    hearFree(path);
    workspace.record?.factors.push(
      factor('screens', (band) => (path.energy[band] as number) / (path.free[band] as number)),
    );
  } else keepOf(path, UNHINDERED);
  visit(path);
}

/** Bends at the inner corners; barriers act on each straight leg as on an image path. The mic picks it up from its last bend. */
function bentPath(pair: SourceReceiver, { corners, barriers }: Obstacles): boolean {
  const { emitter, capsule, path, workspace } = pair;
  if (!corners) return false;
  const ends = { source: emitter.at, mic: capsule.at, pathEnergy: pair.pathEnergy };
  const bends = pathRoundCorners(path.energy, workspace, corners, ends);
  if (!bends) return false;
  const [side] = workspace.sides;
  const { record } = workspace;
  path.kind = 'bent';
  setPoint(path.arrive, ...side.arrive);
  path.response.set(side.response);
  recordFree(pair, side);
  record?.factors.push(factor('corners', (band) => edgeEnergy(side.wave, band * BAND_SIZE)));
  if (!barriers) return true;
  const stops = withHeights(emitter.at, bends, capsule.at);
  for (let i = 1; i < stops.length; i++) {
    const leg = { source: stops[i - 1] as Vec3, mic: stops[i] as Vec3, from: 0, to: 1, except: null };
    transmitLeg(path.energy, barriers, { ...leg, where: 'whole' });
  }
  record?.factors.push(...barrierFactors(record));
  return true;
}

/** The bends of a path with their heights: it rises evenly from its start to its end. */
function withHeights(from: Vec3, bends: readonly (readonly [number, number])[], to: Vec3): Vec3[] {
  const stops = [from, ...bends, to];
  const gone = stops.map((stop, i) => {
    const before = stops[i - 1] ?? stop;
    return Math.hypot(stop[0] - before[0], stop[1] - before[1]);
  });
  const whole = gone.reduce((sum, leg) => sum + leg, 0);
  let sum = 0;
  return stops.map((stop, i): Vec3 => {
    sum += gone[i] as number;
    return [stop[0], stop[1], from[2] + ((to[2] - from[2]) * sum) / whole];
  });
}
