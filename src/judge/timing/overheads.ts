/** Pairs for parts, as overheads are: the spots under them, and whether the snare stays in the middle. */
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Mic, Scene } from '../../scene/scene.ts';
import { arrivalAt } from './arrival.ts';
import { type SpotDelay, spotDelays } from './spot-delays.ts';

export type OverheadRow = {
  readonly pair: string;
  /** Spots for what the pair is for too. */
  readonly spots: readonly SpotDelay[];
  readonly snare: SnareRow | null;
};

/** A snare as far from both capsules stands in the middle of the picture, and adds up in mono. */
export type SnareRow = {
  readonly source: string;
  /** The capsule that has it first; null where both have it at once. */
  readonly nearer: string | null;
  /** How much further the other is, m. */
  readonly apart: number;
  /** How much later it hears it, s. */
  readonly late: number;
};

export function overheadRows(scene: Scene, result: Transfer, sampleRate: number): OverheadRow[] {
  const pairs = scene.mics.filter(({ purpose, capsules }) => purpose === 'parts' && capsules.length > 1);
  return pairs.flatMap((pair) => {
    const spots = scene.mics.filter((mic) => isSpotUnder(mic, pair));
    const delays = spotDelays(scene, result, pair, { spots, sampleRate });
    const snare = snareUnder(scene, result, pair);
    return delays.length > 0 || snare ? [{ pair: pair.name, spots: delays, snare }] : [];
  });
}

const isSpotUnder = (mic: Mic, pair: Mic): boolean =>
  mic !== pair &&
  mic.purpose === 'parts' &&
  mic.capsules.length < 2 &&
  mic.wanted.every((source) => pair.wanted.includes(source));

/** The first snare that the pair is for and both capsules hear directly. */
function snareUnder(scene: Scene, { stage }: Transfer, pair: Mic): SnareRow | null {
  const [left, right] = pair.capsules as [number, number];
  for (const source of pair.wanted.filter((one) => isSnare(scene, one))) {
    const [one, other] = [left, right].map((capsule) => arrivalAt(stage, source, capsule)?.way);
    if (one === undefined || other === undefined) continue;
    const apart = Math.abs(one - other);
    const nearer = apart < ROUNDING ? null : one < other ? left : right;
    return {
      source: scene.sources[source]?.name ?? '',
      nearer: nearer === null ? null : (scene.capsules[nearer]?.name ?? null),
      apart,
      late: apart / scene.air.soundSpeed,
    };
  }
  return null;
}

/** m. */
const ROUNDING = 1e-9;

/** By its instrument, or by its name in a kit. */
function isSnare(scene: Scene, source: number): boolean {
  const { instrument, name } = scene.sources[source] ?? {};
  return instrument === 'snare' || /(^|\.)snare/.test(name ?? '');
}
