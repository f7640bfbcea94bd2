/**
 * Incoherent sum over all image sources of a box up to some order: independent of our kernels. Images at
 * (1 − 2q)·x + 2nL an axis, |n − q| reflections off the wall at 0 and |n| off the wall at L. Kuttruff, Room Acoustics, 6th ed.,
 * eqs. (4.6), (9.23); Allen & Berkley, J. Acoust. Soc. Am. 65, 1979.
 */
import type { Vec3 } from '../../src/geometry.ts';

export type Box = {
  readonly size: Vec3;
  /** Absorption at x = 0, x = L, y = 0, y = L, z = 0, z = L. */
  readonly alpha: readonly [number, number, number, number, number, number];
};

/** A source: its place, axis and gain over the cosine off the axis, already times Q. */
export type Speaker = {
  readonly at: Vec3;
  readonly axis?: Vec3;
  readonly gain?: (cos: number) => number;
};

/** A mic: its place, aim and response over the cosine off the aim. */
export type Listener = {
  readonly at: Vec3;
  readonly aim?: Vec3;
  readonly response?: (cos: number) => number;
};

type Step = {
  /** Image coordinate less the mic's. */
  readonly offset: number;
  /** The sign of the image's axis. */
  readonly turn: number;
  readonly reflections: number;
  readonly kept: number;
};

/** Energy at the mic for one unit of sound power, images of up to `order` reflections. */
export function imageSum(box: Box, speaker: Speaker, listener: Listener, order: number): number {
  const [xs, ys, zs] = [0, 1, 2].map((axis) => steps(box, speaker, listener, axis, order)) as [
    Step[],
    Step[],
    Step[],
  ];
  let sum = 0;
  for (const x of xs) {
    for (const y of ys) {
      const left = order - x.reflections - y.reflections;
      if (left < 0) continue;
      for (const z of zs) if (z.reflections <= left) sum += energy(speaker, listener, x, y, z);
    }
  }
  return sum;
}

/** How many images there are up to an order, the source itself left out. */
export function imageCount(order: number): number {
  const box: Box = { size: [1, 1, 1], alpha: [0, 0, 0, 0, 0, 0] };
  const alike = { at: [0.1, 0.2, 0.3] as const };
  const all = [0, 1, 2].map((axis) => steps(box, alike, { at: [0.5, 0.5, 0.5] }, axis, order));
  const [xs, ys, zs] = all as [Step[], Step[], Step[]];
  const count = (x: Step, y: Step) =>
    zs.filter((z) => x.reflections + y.reflections + z.reflections <= order).length;
  return xs.flatMap((x) => ys.map((y) => count(x, y))).reduce((sum, n) => sum + n, 0) - 1;
}

function steps(box: Box, speaker: Speaker, listener: Listener, axis: number, order: number): Step[] {
  const length = box.size[axis] ?? 0;
  const [low, high] = [1 - (box.alpha[2 * axis] ?? 0), 1 - (box.alpha[2 * axis + 1] ?? 0)];
  const found: Step[] = [];
  for (let n = -order; n <= order; n++) {
    for (const q of [0, 1]) {
      const reflections = Math.abs(n - q) + Math.abs(n);
      if (reflections > order) continue;
      const turn = 1 - 2 * q;
      const offset = turn * (speaker.at[axis] ?? 0) + 2 * n * length - (listener.at[axis] ?? 0);
      found.push({ offset, turn, reflections, kept: low ** Math.abs(n - q) * high ** Math.abs(n) });
    }
  }
  return found;
}

function energy(speaker: Speaker, listener: Listener, x: Step, y: Step, z: Step): number {
  const square = x.offset ** 2 + y.offset ** 2 + z.offset ** 2;
  const kept = (x.kept * y.kept * z.kept) / (4 * Math.PI * square);
  if (!speaker.gain && !listener.response) return kept;
  const distance = Math.sqrt(square);
  const [ax, ay, az] = speaker.axis ?? [0, 0, 0];
  const [mx, my, mz] = listener.aim ?? [0, 0, 0];
  const leave = -(x.offset * x.turn * ax + y.offset * y.turn * ay + z.offset * z.turn * az) / distance;
  const arrive = (x.offset * mx + y.offset * my + z.offset * mz) / distance;
  return kept * (speaker.gain?.(leave) ?? 1) * (listener.response?.(arrive) ?? 1);
}
