/** Whether a figure was measured on the day, or how much of what it rests on was. */
import type { Capsule, Mic, Passage, ReadWay, Scene, Source } from '../scene/scene.ts';
import { sidesOf } from './listening.ts';

export const BASES = [
  'measured', // every way that counts was read at this microphone: the gain cancels
  'levels', // computed from levels that were all measured
  'partly', // computed from levels some of which are the plan's, or cannot be told apart
  'predicted', // from the plan alone
] as const;
export type Basis = (typeof BASES)[number];

/** Names of sources that a figure holds against others: what was read as one must be wholly on one side. */
type Side = readonly Source[];

/** Of the S/B at some capsules of a mic in a passage; null without readings. */
export function bleedBasis(
  scene: Scene,
  mic: Mic,
  capsules: readonly Capsule[],
  passage: Passage,
): Basis | null {
  if (!hasReadings(scene)) return null;
  const { wanted, bleeders } = sidesOf(mic, passage);
  return basisOf(
    [wanted, bleeders].map((side) => sounding(scene, side)),
    capsules,
  );
}

/** Of what is computed from every source at every microphone, one part against the rest; null without readings. */
export function partBasis(scene: Scene, own: readonly number[]): Basis | null {
  if (!hasReadings(scene)) return null;
  const rest = [...scene.sources.keys()].filter((i) => !own.includes(i));
  return basisOf(
    [own, rest].map((side) => sounding(scene, side)),
    scene.capsules,
  );
}

/** Of what ears get: from levels at best; null without readings. */
export function levelBasis(scene: Scene): Basis | null {
  return hasReadings(scene) ? fromLevels([sounding(scene, [...scene.sources.keys()])]) : null;
}

const hasReadings = ({ sources }: Scene): boolean => sources.some(({ read }) => read !== undefined);

const sounding = ({ sources }: Scene, side: readonly number[]): Source[] =>
  side.flatMap((i) => sources[i] ?? []).filter(({ points }) => points.length > 0);

function basisOf(sides: readonly Side[], capsules: readonly Capsule[]): Basis {
  const isRead = (side: Side) => (source: Source) =>
    capsules.every(({ read }) => isWhole(side, source.read && read?.get(source.name)));
  return sides.every((side) => side.every(isRead(side))) ? 'measured' : fromLevels(sides);
}

const isWhole = (side: Side, way: ReadWay | undefined): boolean =>
  way !== undefined && way.moved === undefined && isWithin(side, way.with);

const isWithin = (side: Side, names: readonly string[]): boolean =>
  names.every((name) => side.some((one) => one.name === name));

function fromLevels(sides: readonly Side[]): Basis {
  const held = sides.flatMap((side) =>
    side.map(({ read }) => (read && isWithin(side, read.with) ? read.group : null)),
  );
  if (held.every((group) => group === null)) return 'predicted';
  return held.every((group) => group !== null && group === held[0]) ? 'levels' : 'partly';
}
