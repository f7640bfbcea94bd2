/** Tells the direct way where it bends round inner corners of the room. */
import { roundCorners } from '../../acoustics/corner.ts';
import { BAND_SIZE, edgeEnergy } from '../../acoustics/edge-wave.ts';
import { cosineOf } from '../../acoustics/link.ts';
import { traceLeg } from '../../acoustics/screen-trace.ts';
import type { Vec2, Vec3 } from '../../scene/vector.ts';
import { factor, freeFactors } from './why-gains.ts';
import { aroundOf, type Between, met, screenFactors, type Told, told } from './why-told.ts';

export function bent({ stage, link }: Between): Told {
  const { emitter, capsule, way } = link;
  const { corners, screens, pass } = aroundOf(stage, capsule.room);
  const [side] = pass.sides;
  const ends = { source: emitter.at, mic: capsule.at, way };
  const bends = corners && roundCorners(side.free.slice(), pass, corners, ends);
  if (!bends) throw new Error('a bent way without a bend');
  const course = {
    cosLeave: cosineOf(emitter.axis, side.leave),
    cosArrive: -cosineOf(capsule.aim, side.arrive),
    spread: pass.straight.whole,
    travelled: side.whole,
  };
  const wave = factor('corners', (band) => edgeEnergy(side.wave, band * BAND_SIZE));
  const found = screens
    ? legsOf(emitter.at, bends, capsule.at).flatMap((leg) => met('whole', traceLeg(screens, leg)))
    : [];
  return told([...freeFactors(link, course), wave, ...screenFactors(found)], { course, screens: found });
}

/** The straight stretches of a bent way, which rises evenly from its start to its end. */
function legsOf(from: Vec3, bends: readonly Vec2[], to: Vec3) {
  const stops = [from, ...bends, to];
  const gone = [0];
  stops.slice(1).forEach((stop, i) => {
    const before = stops[i] as Vec2 | Vec3;
    gone.push((gone[i] as number) + Math.hypot(stop[0] - before[0], stop[1] - before[1]));
  });
  const whole = gone.at(-1) as number;
  const raised = stops.map(
    (stop, i): Vec3 => [stop[0], stop[1], from[2] + ((to[2] - from[2]) * (gone[i] as number)) / whole],
  );
  return raised.slice(1).map((mic, i) => ({ ...WHOLE, source: raised[i] as Vec3, mic }));
}

const WHOLE = { from: 0, to: 1, except: null } as const;
