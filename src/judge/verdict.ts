/** How far a limit is met, and the word for it. */
import type { Capsule, Scene, Source } from '../scene/scene.ts';

export type Verdict = 'clear' | 'marginal' | 'short';
/** Margin from which a limit counts as clearly met, dB. */
export const CLEAR = 3;
/** What rounding may take from a margin, dB: a limit met to the dot is met. */
const ROUNDING = 1e-9;

export function verdictOf(margin: number): Verdict {
  if (margin >= CLEAR - ROUNDING) return 'clear';
  return margin >= -ROUNDING ? 'marginal' : 'short';
}

const BASES = [
  'measured', // every path that counts was measured at this microphone: the gain cancels
  'measured-overall', // the same over all octaves: how it is spread over them is the plan's
  'measured-levels', // computed from levels that were all measured
  'partly-measured', // computed from levels some of which are the plan's, or cannot be told apart
  'predicted', // from the plan alone
] as const;
export type Basis = (typeof BASES)[number];
/** Names of sources that a value holds against others: what was measured as one must be wholly on one side. */
type Side = readonly Source[];
/** In the octaves that are judged there is what was read over all of them, dB. */
export const SAME = 0.05;

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

export const hasReadings = ({ asRead }: Scene): boolean => asRead === true;

export const sounding = ({ sources }: Scene, side: readonly number[]): Source[] =>
  side.flatMap((i) => sources[i] ?? []).filter(({ points }) => points.length > 0);

export function basisOf(sides: readonly Side[], capsules: readonly Capsule[]): Basis {
  const isRead = (side: Side) => (source: Source) =>
    capsules.every(({ read }) => {
      const path = source.read && read?.get(source.name);
      return path !== undefined && path.moved === undefined && isWithin(side, path.with);
    });
  if (!sides.every((side) => side.every(isRead(side)))) return fromLevels(sides);
  const isOverall = capsules.some(({ read }) => [...(read?.values() ?? [])].some(({ over }) => over));
  return isOverall ? 'measured-overall' : 'measured';
}

const isWithin = (side: Side, names: readonly string[]): boolean =>
  names.every((name) => side.some((one) => one.name === name));

function fromLevels(sides: readonly Side[]): Basis {
  const held = sides.flatMap((side) =>
    side.map(({ read }) => (read && isWithin(side, read.with) ? read.group : null)),
  );
  if (held.every((group) => group === null)) return 'predicted';
  return held.every((group) => group !== null && group === held[0]) ? 'measured-levels' : 'partly-measured';
}
