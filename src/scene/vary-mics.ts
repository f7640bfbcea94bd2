/** Mics somewhat off their place and aim. A pair is one stand: it moves and turns as a whole. */
import type { Luck } from './luck.ts';
import type { Capsule, Mic, Scene, Source } from './scene.ts';
import { shareWithin } from './stays.ts';
import { CLOSE } from './tolerance.ts';
import { turnAbout } from './turn.ts';
import { add, cross, distance, dot, scale, subtract, unit, type Vec3 } from './vector.ts';

/** `moved` are the scene's sources as they stand now. */
export function moveMics(scene: Scene, moved: readonly Source[], luck: Luck): Capsule[] {
  const shifts = scene.mics.map((mic) => (mic.line ? null : shiftOf(scene, mic, moved, luck)));
  return scene.capsules.map((capsule) => {
    const shift = shifts[capsule.mic];
    return shift ? shifted(capsule, shift) : capsule;
  });
}

/** A step of the stand, and a turn about its middle. */
type Shift = {
  readonly middle: Vec3;
  readonly step: Vec3;
  readonly pole: Vec3;
  readonly turn: number;
};

function shiftOf(scene: Scene, mic: Mic, moved: readonly Source[], { roll }: Luck): Shift {
  const { aim, near, place } = scene.tolerance;
  const capsules = mic.capsules.flatMap((index) => scene.capsules[index] ?? []);
  const middle = meanOf(capsules.map(({ at }) => at));
  const lucks: Vec3 = [roll('place'), roll('place'), roll('place')];
  const own = ownPoint(scene, mic, middle);
  const wanted = own ? rideWith(own, moved, middle, 1 + near * lucks[0]) : scale(lucks, place);
  const share = shareWithin(scene, capsules, (at, part) => add(at, scale(wanted, part)));
  const turn = aim * roll('aim');
  const pole = squareTo(unit(meanOf(capsules.map((one) => one.aim))), 180 * roll('aim'));
  return { middle, step: scale(wanted, share), pole, turn };
}

type OwnPoint = { readonly source: number; readonly point: number; readonly at: Vec3 };

/** The nearest point of its own sources, for a mic so close that its stand goes by it; else null. */
function ownPoint({ sources }: Scene, { purpose, wanted }: Mic, from: Vec3): OwnPoint | null {
  if (purpose !== 'parts') return null;
  const points = wanted.flatMap((source) =>
    (sources[source]?.points ?? []).map(({ at }, point) => ({ source, point, at, away: distance(at, from) })),
  );
  const nearest = points.reduce<(typeof points)[number] | null>(
    (a, b) => (a && a.away <= b.away ? a : b),
    null,
  );
  return nearest && nearest.away < CLOSE ? nearest : null;
}

/** A close mic keeps its side of the source and goes where that goes; its distance is off by a factor. */
function rideWith(
  { source, point, at }: OwnPoint,
  moved: readonly Source[],
  from: Vec3,
  factor: number,
): Vec3 {
  const now = moved[source]?.points[point]?.at ?? at;
  return subtract(add(now, scale(subtract(from, at), factor)), from);
}

function shifted(capsule: Capsule, { middle, step, pole, turn }: Shift): Capsule {
  const arm = turn === 0 ? subtract(capsule.at, middle) : turnAbout(subtract(capsule.at, middle), pole, turn);
  return { ...capsule, at: add(add(middle, arm), step), aim: turnAbout(capsule.aim, pole, turn) };
}

/** A unit vector square to an aim, turned about it by so many degrees. */
function squareTo(aim: Vec3, degrees: number): Vec3 {
  const level = cross(aim, [0, 0, 1]);
  const first = dot(level, level) > 1e-12 ? unit(level) : ([1, 0, 0] as const);
  return turnAbout(first, aim, degrees);
}

function meanOf(points: readonly Vec3[]): Vec3 {
  const sum = points.reduce<Vec3>(add, [0, 0, 0]);
  return scale(sum, 1 / Math.max(1, points.length));
}
