/** Microphones that go by a source, when a player turns with it. */
import type { PlanData } from '../plan/plan.ts';
import type { Capsule, Mic, Scene, Source } from '../scene/scene.ts';
import type { Move } from '../scene/stays.ts';
import { CLOSE } from '../scene/tolerance.ts';
import { turnAbout, turnOnPlan } from '../scene/turn.ts';
import {
  add,
  angleBetween,
  cross,
  distance,
  dot,
  scale,
  subtract,
  unit,
  type Vec3,
} from '../scene/vector.ts';
import { middleOf } from '../scene/voice.ts';

/** The turn of a source: each point of what turns, and by how many degrees. */
type Turn = { readonly move: Move; readonly degrees: number };

export type Followers = {
  /** Those close turn along, those further away that look at the source go on looking at it: as if set up by the player. */
  readonly along: ReadonlyMap<number, Capsule>;
  /** Those close keep their side of the source, those further away stay as they are. */
  readonly beside: ReadonlyMap<number, Capsule>;
};

export function followers(
  scene: Scene,
  plan: PlanData,
  around: ReadonlyMap<number, Source>,
  turn: Turn,
): Followers {
  const along = new Map<number, Capsule>();
  const beside = new Map<number, Capsule>();
  for (const mic of scene.mics) {
    const shift = mic.purpose === 'parts' ? shiftOf(scene, mic, around) : null;
    if (!shift) continue;
    const isClose = plan.mics.get(mic.name)?.near !== undefined || shift.away < CLOSE;
    for (const i of mic.capsules) {
      const capsule = scene.capsules[i] as Capsule;
      if (isClose) {
        along.set(i, turnedAlong(capsule, turn));
        beside.set(i, { ...capsule, at: add(capsule.at, subtract(shift.to, shift.from)) });
      } else if (shift.looks) along.set(i, lookingOn(capsule, shift));
    }
  }
  return { along, beside };
}

/** Whence and whither a mic's own source goes, as seen from the middle of its capsules. */
type Shift = {
  readonly middle: Vec3;
  readonly from: Vec3;
  readonly to: Vec3;
  readonly away: number;
  /** Whether it looks straight at the source. */
  readonly looks: boolean;
};

/** A mic aims at what it looks at to within this, degrees. */
const STRAIGHT = 1;

/** Null where what turns is not what the mic is for. */
function shiftOf({ sources, capsules }: Scene, mic: Mic, around: ReadonlyMap<number, Source>): Shift | null {
  const turning = mic.wanted.filter((i) => around.has(i));
  const own = mic.capsules.flatMap((i) => capsules[i] ?? []);
  if (turning.length === 0 || turning.length < mic.wanted.length || own.length === 0) return null;
  const middle = meanOf(own.map(({ at }) => at));
  const from = middleOf(turning.flatMap((i) => sources[i]?.points ?? []));
  const to = middleOf(turning.flatMap((i) => around.get(i)?.points ?? []));
  const nearest = turning.flatMap((i) => sources[i]?.points ?? []).map(({ at }) => distance(at, middle));
  const aim = meanOf(own.map((one) => one.aim));
  const looks = angleBetween(aim, subtract(from, middle)) < STRAIGHT;
  return { middle, from, to, away: Math.min(...nearest), looks };
}

const meanOf = (points: readonly Vec3[]): Vec3 =>
  scale(points.reduce<Vec3>(add, [0, 0, 0]), 1 / Math.max(1, points.length));

const turnedAlong = (capsule: Capsule, { move, degrees }: Turn): Capsule => ({
  ...capsule,
  at: move(capsule.at, 1),
  aim: turnOnPlan(capsule.aim, degrees),
});

/** Turned about the middle of its pair as the way to the source turns. */
function lookingOn(capsule: Capsule, { middle, from, to }: Shift): Capsule {
  const [before, after] = [unit(subtract(from, middle)), unit(subtract(to, middle))];
  const across = cross(before, after);
  if (dot(across, across) < 1e-12) return capsule;
  const [pole, degrees] = [unit(across), angleBetween(before, after)];
  return {
    ...capsule,
    at: add(middle, turnAbout(subtract(capsule.at, middle), pole, degrees)),
    aim: turnAbout(capsule.aim, pole, degrees),
  };
}
