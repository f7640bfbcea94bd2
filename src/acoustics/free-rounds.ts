/** Free energies of the ways of one pass, where their directions count: on the direct way, not on reflected ones. */
import type { Vec3 } from '../scene/vector.ts';
import type { Pass, Point, Round } from './rectangle.ts';
import type { FreeWay } from './way.ts';

/** Of the straight line, set with its directions. */
export function freeStraight({ straight }: Pass, way: FreeWay): void {
  way(straight, straight.leave, straight.arrive, straight.whole, straight.whole);
}

/** Of every way round: at d for spreading and proximity, over L for the air. */
export function freeRounds(pass: Pass, source: Vec3, mic: Vec3, way: FreeWay): void {
  for (const side of pass.sides) if (side.there) freeRound(pass, side, source, mic, way);
  for (const cap of pass.caps) if (cap.there) freeRound(pass, cap, source, mic, way);
}

export function freeRound(pass: Pass, round: Round, source: Vec3, mic: Vec3, way: FreeWay): void {
  aim(round.leave, source, round.first);
  aim(round.arrive, round.last, mic);
  way(round, round.leave, round.arrive, pass.straight.whole, round.whole);
}

/** Unit vector from one point to another; nothing for a way of no length. */
export function aim(into: Point, from: Vec3, to: Vec3): void {
  const x = to[0] - from[0];
  const y = to[1] - from[1];
  const z = to[2] - from[2];
  const length = Math.sqrt(x * x + y * y + z * z) || 1;
  into[0] = x / length;
  into[1] = y / length;
  into[2] = z / length;
}
