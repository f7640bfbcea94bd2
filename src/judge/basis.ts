/** Whether a figure was measured on the day, or how much of what it rests on was. */
import { decibels } from '../acoustics/bands.ts';
import { WEIGHTS, weightedSum } from '../acoustics/weighting.ts';
import type { Capsule, Passage, ReadWay, Scene, Source } from '../scene/scene.ts';
import { heard, type Listening, sidesOf } from './listening.ts';

export const BASES = [
  'measured', // every way that counts was read at this microphone: the gain cancels
  'overall', // the same over all octaves: how it is spread over them is the plan's
  'levels', // computed from levels that were all measured
  'partly', // computed from levels some of which are the plan's, or cannot be told apart
  'predicted', // from the plan alone
] as const;
export type Basis = (typeof BASES)[number];

/** Names of sources that a figure holds against others: what was read as one must be wholly on one side. */
type Side = readonly Source[];

/** Of the S/B at some capsules in a passage, dB as judged; null without readings. */
export function bleedBasis(
  scene: Scene,
  listening: Listening,
  capsules: readonly Capsule[],
  { passage, ratio }: { readonly passage: Passage; readonly ratio: number },
): Basis | null {
  if (!hasReadings(scene)) return null;
  const { wanted, bleeders } = sidesOf(listening.mic, passage);
  const sides = [wanted, bleeders].map((side) => sounding(scene, side));
  const basis = basisOf(sides, capsules);
  if (basis !== 'overall') return basis;
  const over = capsules.flatMap(({ read }) => [...(read?.values() ?? [])])[0]?.over ?? 'Z';
  const [signal = 0, bleed = 0] = [wanted, bleeders].map((side) =>
    weightedSum(heard(listening, side, { filtered: true }), WEIGHTS[over]),
  );
  return Math.abs(decibels(signal / bleed) - ratio) < SAME ? 'measured' : basis;
}

/** In the octaves that are judged there is what was read over all of them, dB. */
const SAME = 0.05;

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

const hasReadings = ({ asRead }: Scene): boolean => asRead === true;

const sounding = ({ sources }: Scene, side: readonly number[]): Source[] =>
  side.flatMap((i) => sources[i] ?? []).filter(({ points }) => points.length > 0);

function basisOf(sides: readonly Side[], capsules: readonly Capsule[]): Basis {
  const isRead = (side: Side) => (source: Source) =>
    capsules.every(({ read }) => isWhole(side, source.read && read?.get(source.name)));
  if (!sides.every((side) => side.every(isRead(side)))) return fromLevels(sides);
  const isOverall = capsules.some(({ read }) => [...(read?.values() ?? [])].some(({ over }) => over));
  return isOverall ? 'overall' : 'measured';
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
