/** What binds two parts: a mic for one that carries the other, or one that is for both. */
import { decibels } from '../../acoustics/bands.ts';
import type { Transfer } from '../../acoustics/transfer.ts';
import { weightedSum } from '../../acoustics/weighting.ts';
import type { Mic, Passage, Scene } from '../../scene/scene.ts';
import { allBands } from '../all-bands.ts';
import { heard, type Listening, listenAt } from '../listening.ts';
import { weightsFor } from '../weights.ts';

/** From here on a part binds the mic that carries it, dB re the mic's own wanted sound, in the part's own octaves. */
const BINDS = -20;
/**
 * Less than this of the mic's whole wanted sound binds nobody, dB: a bass through two walls is alone in its octaves at a
 * piccolo's mic, but nobody hears it jump. Twice the distance of `BINDS`; our own choice.
 */
const HEARD = -40;

export type Tie = {
  /** The mic's own part, and the one that it carries. */
  readonly between: readonly [string, string];
  readonly mic: string;
  /** The carried part re the mic's wanted sound in the carried part's octaves, dB; null where the mic is for both, or where
   * its own sound has nothing in those octaves. */
  readonly level: number | null;
  /** The mic, or the line, is for both. */
  readonly shared: boolean;
};

/** All ties, those of shared mics first, then the strongest. */
export function tiesOf(scene: Scene, result: Transfer): Tie[] {
  const own = scene.mics.filter(({ purpose }) => purpose === 'parts');
  const ties = own.flatMap((mic) => [...sharedBy(scene, mic), ...carriedBy(scene, result, mic)]);
  return ties.sort((a, b) => strength(b) - strength(a));
}

const strength = ({ shared, level }: Tie): number => (shared ? Number.MAX_VALUE : (level ?? 1e3));

function sharedBy(scene: Scene, mic: Mic): Tie[] {
  const [first, ...rest] = partsOf(scene, mic).map((part) => scene.parts[part]?.name ?? '');
  return rest.map((other) => ({ between: [first ?? '', other], mic: mic.name, level: null, shared: true }));
}

/** Parts that a mic is not for but carries, each with the first of its own. */
function carriedBy(scene: Scene, result: Transfer, mic: Mic): Tie[] {
  const listening = listenAt(result, mic, mic.capsules);
  const own = partsOf(scene, mic);
  const first = scene.parts[own[0] ?? -1]?.name ?? '';
  return scene.parts.flatMap(({ name }, part): Tie[] => {
    if (own.includes(part)) return [];
    const carried = scene.passages.flatMap((passage) => carriedIn(scene, listening, part, passage) ?? []);
    const most = Math.max(...carried);
    if (!(most >= 10 ** (BINDS / 10))) return [];
    const level = Number.isFinite(most) ? decibels(most) : null;
    return [{ between: [first, name], mic: mic.name, level, shared: false }];
  });
}

/**
 * Energy of the part over the mic's wanted sound, both after its filters and in those octaves that lie within 20 dB of the
 * part's strongest at this mic. Infinite where the wanted sound has nothing there; null where one of the two does not sound.
 */
function carriedIn(scene: Scene, listening: Listening, part: number, { sounds }: Passage): number | null {
  const sounding = (sources: readonly number[]) => sources.filter((source) => sounds[source]);
  const own = sounding(listening.mic.wanted);
  const wanted = heard(listening, own, { filtered: true });
  const carried = heard(listening, sounding(scene.parts[part]?.sources ?? []), { filtered: true });
  const floor = 10 ** (HEARD / 10) * allBands(wanted);
  if (own.length === 0 || allBands(carried) <= 0 || allBands(carried) < floor) return null;
  const octaves = weightsFor('own', carried);
  return weightedSum(carried, octaves) / weightedSum(wanted, octaves);
}

const partsOf = (scene: Scene, { wanted }: Mic): number[] => [
  ...new Set(wanted.flatMap((source) => scene.sources[source]?.part ?? [])),
];
