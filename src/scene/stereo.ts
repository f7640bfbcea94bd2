/** Stereo pairs as two capsules, by textbook geometry. */
import { bands } from '../acoustics/bands.ts';
import type { StereoEntry } from '../plan/plan-mics.ts';
import type { Pattern } from './scene.ts';
import { add, bearingOf, cross, direction, scale, tiltOf, unit, type Vec3 } from './vector.ts';

export type PairHalf = {
  readonly side: 'left' | 'right';
  readonly at: Vec3;
  readonly aim: Vec3;
  readonly pattern: Pattern;
};

/** Spacing in m and total angle in degrees: the radio pairs of 17 cm and 110°, and of 30 cm and 90°. */
const GEOMETRY = { ortf: { apart: 0.17, angle: 110 }, nos: { apart: 0.3, angle: 90 } } as const;
const CROSSED = 90;
/** Within so many degrees of up or down an aim has no bearing of its own. */
const UPRIGHT = 30;

type Pair = {
  readonly at: Vec3;
  readonly aim: Vec3;
  readonly pattern: Pattern;
  /** Facing of the first source's player: stands in for the bearing of an aim that looks up or down. */
  readonly facing: number;
};

/** Left and right as one looks along the aim. */
export function pairHalves(stereo: StereoEntry, pair: Pair): readonly [PairHalf, PairHalf] {
  const right = rightOf(pair, stereo.kind === 'spaced' ? stereo.line : undefined);
  switch (stereo.kind) {
    case 'xy':
      return angled(pair, right, 0, stereo.angle);
    case 'crossed-8':
      return angled(pair, right, 0, CROSSED);
    case 'ortf':
    case 'nos':
      return angled(pair, right, GEOMETRY[stereo.kind].apart, GEOMETRY[stereo.kind].angle);
    case 'spaced':
      return angled(pair, right, stereo.distance, 0);
    case 'mid-side':
      return decoded(pair, right);
  }
}

/** Unit vector to the right of the aim, level; along the `line` where the plan gives one. */
function rightOf({ aim, facing }: Pair, line: number | undefined): Vec3 {
  const upright = Math.abs(tiltOf(aim)) > 90 - UPRIGHT;
  const right = direction((upright ? facing : bearingOf(aim)) + 90);
  if (line === undefined) return right;
  const along = direction(line);
  return along[0] * right[0] + along[1] * right[1] < 0 ? scale(along, -1) : along;
}

function angled(pair: Pair, right: Vec3, apart: number, angle: number): readonly [PairHalf, PairHalf] {
  const half = (angle / 2) * (Math.PI / 180);
  const across = angle === 0 ? right : squareTo(pair.aim, right);
  const one = (side: 'left' | 'right', sign: number): PairHalf => ({
    side,
    at: add(pair.at, scale(right, (sign * apart) / 2)),
    aim: unit(add(scale(pair.aim, Math.cos(half)), scale(across, sign * Math.sin(half)))),
    pattern: pair.pattern,
  });
  return [one('left', -1), one('right', 1)];
}

/**
 * Mid-side as decoded: M ± S with a figure-8 of the same on-axis gain is again first order,
 * A + √(B² + 1)·cos(θ ∓ φ) with tan φ = 1/B, brought to 0 dB on its own axis. For a cardioid M: A = 0.309 at ±63°.
 * The axes take the 1 kHz angle, the patterns each band's own A.
 */
function decoded(pair: Pair, right: Vec3): readonly [PairHalf, PairHalf] {
  const { a } = pair.pattern;
  const side = (band: number) => Math.hypot(1 - (a[band] ?? 1), 1);
  const angle = (Math.atan2(1, 1 - (a[4] ?? 1)) * 180) / Math.PI;
  const pattern = {
    name: `${pair.pattern.name} and side`,
    a: bands((band) => (a[band] ?? 1) / ((a[band] ?? 1) + side(band))),
    table: null,
  };
  return angled({ ...pair, pattern }, right, 0, 2 * angle);
}

/** The part of `right` square to the aim. */
const squareTo = (aim: Vec3, right: Vec3): Vec3 => unit(cross(cross(aim, right), aim));
