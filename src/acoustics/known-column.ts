/**
 * All ways from every source to one place of a microphone, kept so that a mic that only turns, or takes another pattern, is heard
 * anew without a ray: of each way what arrives before the mic's response, whence, and how near it seems.
 */
import type { Capsule } from '../scene/scene.ts';
import { wayRead } from './as-read.ts';
import { BAND_COUNT, type Bands, sameInAllBands } from './bands.ts';
import { coverBetween } from './covers.ts';
import { waveRadiusSquared } from './extent.ts';
import { cosineOf } from './link.ts';
import { type Kept, RAYS, weigh } from './mixture.ts';
import { eachPath } from './pair.ts';
import type { SoundPath } from './path.ts';
import { responseAt } from './pattern.ts';
import type { Stage } from './stage.ts';

type KnownWay = {
  readonly row: number;
  readonly arrive: readonly [number, number, number];
  /** 1/r_e², by which the proximity effect goes. */
  readonly nearness: number;
  readonly energy: Bands;
  /** A field is heard from all round. */
  readonly random: boolean;
  /** Ways that interfere, instead of `energy`. */
  readonly mixed: readonly Kept[];
};

/** By source; null where a cover or a reading takes its part by the mic. */
export type KnownColumn = readonly (readonly KnownWay[] | null)[];

export function knownColumn(stage: Stage, capsule: number): KnownColumn {
  return stage.scene.sources.map((_, source) => knownWays(stage, source, capsule));
}

function knownWays(stage: Stage, source: number, capsule: number): KnownWay[] | null {
  const receiver = stage.scene.capsules[capsule] as Capsule;
  if (coverBetween(stage.scene, source, receiver) || wayRead(stage.scene.sources[source], receiver))
    return null;
  const { pass } = stage.surroundings[0] ?? {};
  const radius = stage.scene.sources[source]?.radius ?? 0;
  const ways: KnownWay[] = [];
  if (!pass) return null;
  pass.kept = [];
  eachPath(stage, source, capsule, (path) => {
    ways.push(wayOf(path, radius, pass.kept ?? []));
    pass.kept = [];
  });
  pass.kept = null;
  return ways;
}

function wayOf(path: SoundPath, radius: number, mixed: readonly Kept[]): KnownWay {
  return {
    row: path.row,
    arrive: [...path.arrive],
    nearness: 1 / waveRadiusSquared(radius, path.spread),
    energy: path.energy.slice(),
    random: path.kind === 'field',
    mixed,
  };
}

const response = sameInAllBands(0);
const responses = new Float64Array(RAYS * BAND_COUNT);
const weighted = sameInAllBands(0);

/** Writes the energies of a pair as another capsule in the same place hears them, packed [share][band]: `pairEnergy` to the last bit. */
export function hearAgain(
  into: Float64Array,
  ways: readonly KnownWay[],
  capsule: Capsule,
  stage: Stage,
): void {
  const { inverseK2 } = stage.medium;
  into.fill(0);
  for (const way of ways) {
    if (way.mixed.length > 0) addMixed(into, way, capsule, inverseK2);
    else addPlain(into, way, capsule, inverseK2);
  }
}

function addPlain(into: Float64Array, way: KnownWay, capsule: Capsule, inverseK2: Bands): void {
  const { row, energy, random, arrive, nearness } = way;
  if (!random) responseAt(response, capsule, -cosineOf(arrive, capsule.aim), nearness, inverseK2);
  const heard = random ? capsule.ree : response;
  for (let band = 0; band < BAND_COUNT; band++)
    into[row + band] = (into[row + band] as number) + (energy[band] as number) * (heard[band] as number);
}

function addMixed(into: Float64Array, way: KnownWay, capsule: Capsule, inverseK2: Bands): void {
  const sums = response.fill(0);
  for (const { mixture, through, round } of way.mixed) {
    hearRays(mixture.arrive, capsule, way.nearness, inverseK2);
    weigh(weighted, mixture, responses);
    for (let band = 0; band < BAND_COUNT; band++) {
      const direct = (mixture.free[band] as number) * (responses[band] as number);
      sums[band] =
        (sums[band] as number) +
        ((through[band] as number) * direct +
          (round[band] as number) * Math.max(0, weighted[band] as number));
    }
  }
  for (let band = 0; band < BAND_COUNT; band++)
    into[way.row + band] = (into[way.row + band] as number) + (sums[band] as number);
}

const ray = sameInAllBands(0);

function hearRays(arrive: Float64Array, capsule: Capsule, nearness: number, inverseK2: Bands): void {
  const { aim } = capsule;
  for (let i = 0; i < RAYS; i++) {
    const cos =
      (arrive[3 * i] as number) * aim[0] +
      (arrive[3 * i + 1] as number) * aim[1] +
      (arrive[3 * i + 2] as number) * aim[2];
    responseAt(ray, capsule, -cos, nearness, inverseK2);
    responses.set(ray, i * BAND_COUNT);
  }
}
