/** Microphones that are not what the plan says: another pattern, another aim, stands exchanged. */
import { sameInAllBands } from '../acoustics/bands.ts';
import { efficiencyByBand } from '../acoustics/pattern.ts';
import type { Capsule, Mic } from '../scene/scene.ts';
import { turnAbout } from '../scene/turn.ts';
import { add, cross, dot, scale, subtract, unit, type Vec3 } from '../scene/vector.ts';
import type { How, Tried } from './cause.ts';
import { columnsOf, type Plain, withCapsules } from './plain-scene.ts';

/** A of the textbook patterns: what a switchable microphone may have been left at. */
const PATTERNS = {
  omni: 1,
  'wide-cardioid': 0.7,
  cardioid: 0.5,
  supercardioid: 0.366,
  hypercardioid: 0.25,
  'figure-8': 0,
} as const;

/** Kilohertz band: what a pattern that drifts with frequency is called by. */
const KILOHERTZ = 4;
const STEP = 15;

/** Mics that were read, with their capsules by number. */
function heard({ scene, readings }: Plain): { mic: Mic; capsules: ReadonlyMap<number, Capsule> }[] {
  return scene.mics.flatMap((mic) => {
    const capsules = new Map(mic.capsules.map((i) => [i, scene.capsules[i] as Capsule]));
    return columnsOf(readings, capsules).length > 0 ? [{ mic, capsules }] : [];
  });
}

/** Mid-side is left out: its two channels are decoded from two patterns at once. */
export function* otherPatterns(plain: Plain): Generator<Tried> {
  for (const { mic, capsules } of heard(plain)) {
    if (mic.stereo === 'mid-side') continue;
    const own = [...capsules.values()].map(({ pattern }) => pattern)[0];
    for (const [pattern, a] of Object.entries(PATTERNS)) {
      if (own?.name === pattern || (!own?.table && own?.a[KILOHERTZ] === a)) continue;
      const changed = new Map([...capsules].map(([i, capsule]) => [i, withPattern(capsule, pattern, a)]));
      yield {
        cause: { kind: 'pattern', about: [mic.name], how: { pattern } },
        predicted: withCapsules(plain, changed),
      };
    }
  }
}

function withPattern(capsule: Capsule, name: string, a: number): Capsule {
  const pattern = { name, a: sameInAllBands(a), table: null };
  return { ...capsule, pattern, ree: efficiencyByBand(pattern.a, null, capsule.nullFloor) };
}

/** Turned sideways and up or down, in steps of 15° to 180°; a pair as a whole about its middle. */
export function* otherAims(plain: Plain): Generator<Tried> {
  for (const { mic, capsules } of heard(plain)) {
    const { middle, level, upright } = frameOf([...capsules.values()]);
    for (let degrees = STEP; degrees <= 180; degrees += STEP) {
      for (const [toward, pole, sign] of WAYS) {
        if (degrees === 180 && toward !== 'left') continue;
        const about = pole === 'upright' ? upright : level;
        const turned = new Map(
          [...capsules].map(([i, one]) => [i, turnedAbout(one, middle, about, sign * degrees)]),
        );
        const how: How = { degrees, toward };
        yield { cause: { kind: 'aim', about: [mic.name], how }, predicted: withCapsules(plain, turned) };
      }
    }
  }
}

/** By the right-hand rule a turn about the upright pole goes left, one about the level pole, which points right, up. */
const WAYS = [
  ['left', 'upright', 1],
  ['right', 'upright', -1],
  ['up', 'level', 1],
  ['down', 'level', -1],
] as const;

type Frame = { readonly middle: Vec3; readonly level: Vec3; readonly upright: Vec3 };

/** Middle of a mic's capsules; the pole to the right of the aim, and the one square to both. */
function frameOf(capsules: readonly Capsule[]): Frame {
  const mean = (points: readonly Vec3[]) => scale(points.reduce<Vec3>(add, [0, 0, 0]), 1 / points.length);
  const aim = unit(mean(capsules.map((one) => one.aim)));
  const across = cross(aim, [0, 0, 1]);
  const level: Vec3 = dot(across, across) > 1e-12 ? unit(across) : [1, 0, 0];
  return { middle: mean(capsules.map(({ at }) => at)), level, upright: unit(cross(level, aim)) };
}

function turnedAbout(capsule: Capsule, middle: Vec3, pole: Vec3, degrees: number): Capsule {
  const arm = subtract(capsule.at, middle);
  return {
    ...capsule,
    at: add(middle, turnAbout(arm, pole, degrees)),
    aim: turnAbout(capsule.aim, pole, degrees),
  };
}

/** Single microphones of unlike patterns, each on the other's stand, every channel still with its stand. */
export function* exchangedMics(plain: Plain): Generator<Tried> {
  const single = heard(plain).filter(({ capsules }) => capsules.size === 1);
  for (const [k, a] of single.entries()) {
    for (const b of single.slice(k + 1)) {
      const [[i, first], [j, second]] = [...a.capsules, ...b.capsules] as [
        [number, Capsule],
        [number, Capsule],
      ];
      if (first.pattern.name === second.pattern.name && first.pattern.name !== 'custom') continue;
      const changed = new Map([
        [i, likeOf(first, second)],
        [j, likeOf(second, first)],
      ]);
      const cause = { kind: 'mics', about: [a.mic.name, b.mic.name], how: null } as const;
      yield { cause, predicted: withCapsules(plain, changed) };
    }
  }
}

/** A capsule in its place, of the make of another. */
const likeOf = (place: Capsule, { pattern, nullFloor, proximity, ree }: Capsule): Capsule => ({
  ...place,
  pattern,
  nullFloor,
  proximity,
  ree,
});
