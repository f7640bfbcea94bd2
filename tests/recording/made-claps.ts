/** Recordings of claps made up of noise that decays as asked, and what backward integration must read of them. */
import type { Wave } from '../../src/recording/wave.ts';
import { integers } from '../../src/statistics.ts';

/** A part of a decay: its time in s, and its level at the start in dB. */
export type Slope = readonly [time: number, level: number];

export type Made = {
  readonly slopes: readonly Slope[];
  /** Noise of the room, dB against the start of a decay of level 0. */
  readonly noise?: number;
  /** Seconds before and after the clap. */
  readonly before?: number;
  readonly after?: number;
  readonly rate?: number;
  readonly seed?: number;
};

/** Normal numbers of the Mersenne twister, by Box and Muller 1958. */
export function normal(seed: number): () => number {
  const next = integers(seed);
  return () =>
    Math.sqrt(-2 * Math.log((next() + 1) / 2 ** 32)) * Math.cos((2 * Math.PI * next()) / 2 ** 32) || 0;
}

/** Mean square of a decay at a time after its start: 60 dB in each slope's time. */
export const energyAt = (slopes: readonly Slope[], time: number): number =>
  slopes.reduce((sum, [t, level]) => sum + 10 ** (level / 10 - (6 * time) / t), 0);

export const RATE = 16_000;

/** Noise of one part of full scale in 30 that decays from `before` on. */
export function madeClap({
  slopes,
  noise,
  before = 0.3,
  after = 1.5,
  rate = RATE,
  seed = 1,
}: Made): Float64Array {
  const [sound, room] = [normal(seed), normal(seed + 1000)];
  const floor = noise === undefined ? 0 : 10 ** (noise / 20);
  return Float64Array.from({ length: Math.round((before + after) * rate) }, (_, i) => {
    const time = i / rate - before;
    const decay = time < 0 ? 0 : Math.sqrt(energyAt(slopes, time)) * sound();
    return (decay + floor * room()) / 30;
  });
}

export function joined(...parts: readonly Float64Array[]): Float64Array {
  const whole = new Float64Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

export const waveOf = (channels: readonly Float64Array[], rate = RATE): Wave => ({
  channels: channels.length,
  rate,
  frames: channels[0]?.length ?? 0,
  read: (frame, count) => channels.map((samples) => samples.slice(frame, frame + count)),
});

/**
 * Seconds for 60 dB between two levels below the start, by hand: energy from t on is Σ E_i·T_i/(6·ln 10)·10^(−6t/T_i), its level is
 * fitted by least squares.
 */
export function timeBetween(slopes: readonly Slope[], from: number, to: number): number {
  const left = (time: number) =>
    slopes.reduce((sum, [t, level]) => sum + t * 10 ** (level / 10 - (6 * time) / t), 0);
  const points = Array.from({ length: 15_000 }, (_, i) => i / 5000)
    .map((time) => ({ time, level: 10 * Math.log10(left(time) / left(0)) }))
    .filter(({ level }) => level <= -from && level >= -to);
  const mean = (of: (point: (typeof points)[number]) => number) =>
    points.reduce((sum, point) => sum + of(point), 0) / points.length;
  const [time, level] = [mean((point) => point.time), mean((point) => point.level)];
  const slope =
    mean((point) => (point.time - time) * (point.level - level)) / mean((point) => (point.time - time) ** 2);
  return -60 / slope;
}
