/** Every single cause that is tried. */
import type { Tried } from './cause.ts';
import { exchangedChannels } from './cause-channels.ts';
import { exchangedMics, otherAims, otherPatterns } from './cause-mics.ts';
import { otherFacings } from './cause-people.ts';
import { otherSetUps, type SetUp } from './cause-set-up.ts';
import type { Plain } from './plain-scene.ts';

export function* causesOf(plain: Plain, setUp: SetUp): Generator<Tried> {
  yield* otherPatterns(plain);
  yield* otherAims(plain);
  yield* exchangedMics(plain);
  yield* exchangedChannels(plain);
  yield* otherFacings(plain, setUp.plan);
  yield* otherSetUps(plain, setUp);
}
