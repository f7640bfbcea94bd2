/** The recording angle of a stereo pair: how far to either side a source may stand before its image sticks to a loudspeaker. */
import { readAngleTable } from '../../acoustics/angle-table.ts';
import type { Capsule } from '../../scene/scene.ts';
import { add, cross, dot, length, scale, subtract, unit, type Vec3 } from '../../scene/vector.ts';

/** Degrees to the left and to the right of the pair's middle; null on a side where the image never gets there. */
export type RecordingAngle = { readonly left: number | null; readonly right: number | null };

/**
 * An image is all the way out at 15 dB between the channels, at 1.12 ms, or at 6 dB with 0.5 ms (a microphone maker's teaching
 * page, name withheld; the curve is Williams's, from memory). `BEND` lets one curve pass all three:
 * (6/15)^0.806 + (0.5/1.12)^0.806 = 1.
 */
const FULL_LEVEL = 15;
const FULL_TIME = 1.12e-3;
const BEND = 0.806;

/** Band of 1 kHz, at which the patterns are taken. */
const KILOHERTZ = 4;
const STEP = 0.5;

/**
 * Of a far source in the plane of the aims, with textbook patterns at 1 kHz. Within 7° of the tables for the usual pairs
 * (Williams; Sengpiel); these differ among themselves by up to 16°, so ±10° is fair. Null for a pair that looks two ways at once.
 */
export function recordingAngle(left: Capsule, right: Capsule, soundSpeed: number): RecordingAngle | null {
  const ahead = unit(add(left.aim, right.aim));
  const apart = subtract(right.at, left.at);
  const across = length(apart) > 1e-6 ? apart : subtract(right.aim, left.aim);
  const toRight = unit(subtract(across, scale(ahead, dot(across, ahead))));
  if (length(ahead) < 0.5 || length(toRight) < 0.5) return null;
  const shift = (degrees: number): number => {
    const angle = (degrees * Math.PI) / 180;
    const toward = add(scale(ahead, Math.cos(angle)), scale(toRight, Math.sin(angle)));
    const time = dot(apart, toward) / soundSpeed;
    return bent(levelDifference(left, right, toward) / FULL_LEVEL) + bent(time / FULL_TIME);
  };
  return { left: firstOut((degrees) => -shift(-degrees)), right: firstOut(shift) };
}

const bent = (part: number): number => Math.sign(part) * Math.abs(part) ** BEND;

/** Level at the right capsule over that at the left, dB; large but finite in a null. */
function levelDifference(left: Capsule, right: Capsule, toward: Vec3): number {
  return 10 * Math.log10(Math.max(response(right, toward), 1e-12) / Math.max(response(left, toward), 1e-12));
}

function response({ aim, pattern }: Capsule, toward: Vec3): number {
  const cos = Math.cos(Math.atan2(length(cross(aim, toward)), dot(aim, toward)));
  if (pattern.table) return readAngleTable(pattern.table, KILOHERTZ, cos);
  const a = pattern.a[KILOHERTZ] ?? 1;
  return (a + (1 - a) * cos) ** 2;
}

/** The smallest angle up to 180° at which the image is all the way out, halved down from the step in which it gets there. */
function firstOut(shift: (degrees: number) => number): number | null {
  let inside = 0;
  let outside = 0;
  while (shift(outside) < 1) {
    inside = outside;
    outside += STEP;
    if (outside > 180) return null;
  }
  for (let i = 0; i < 20; i++) {
    const middle = (inside + outside) / 2;
    if (shift(middle) < 1) inside = middle;
    else outside = middle;
  }
  return outside;
}
