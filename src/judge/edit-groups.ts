/** Which parts must be edited together, as a mic for one picks up the other. */

import { allBands, decibels, weightedSum } from '../acoustics/bands.ts';
import type { Mic, Passage, Scene } from '../scene/scene.ts';
import { allOf } from '../text.ts';
import type { Transfer } from '../transfer/transfer.ts';
import { type MicEnergies, micEnergies, pickedUp, weightsFor } from './signal-to-bleed.ts';

type EditGroup = {
  /** Coupled parts, in the order of the scene. */
  readonly parts: readonly string[];
  /** Mics and lines for them. */
  readonly mics: readonly string[];
  /** Their couplings, strongest first. */
  readonly couplings: readonly PartCoupling[];
  /** "edit drums, piano and bass together"; where nobody is left out, "edit all 8 parts together". */
  readonly sentence: string;
};

export type EditGroups = {
  readonly groups: readonly EditGroup[];
  /** Parts with mics of their own that are coupled with no other. */
  readonly free: readonly string[];
  /** Main and room mics, which pick up everyone: an edit in one of them affects every part. */
  readonly everyone: readonly string[];
  /** All of it as one line. */
  readonly sentence: string;
};

/** Parts are coupled by mics for parts only; main and room mics would couple everything. */
export function editGroups(scene: Scene, result: Transfer): EditGroups {
  const couplings = partCouplings(scene, result);
  const whole = components(scene, couplings);
  const groups = whole.filter((parts) => parts.length > 1).map((parts) => groupOf(scene, parts, couplings));
  const free = whole.flatMap(([one, ...more]) =>
    one !== undefined && more.length === 0 && micsOf(scene, [one]).length > 0 ? [nameOf(scene, one)] : [],
  );
  const everyone = scene.mics.filter(({ purpose }) => purpose !== 'parts').map(({ name }) => name);
  return { groups, free, everyone, sentence: sentenceOf(groups, free, everyone) };
}

/** So many are named even where they are everyone. */
const FEW = 4;

function groupOf(scene: Scene, parts: readonly number[], couplings: readonly PartCoupling[]): EditGroup {
  const names = parts.map((part) => nameOf(scene, part));
  const isEveryone = names.length > FEW && names.length === scene.parts.length;
  return {
    parts: names,
    mics: micsOf(scene, parts),
    couplings: couplings.filter(({ between }) => names.includes(between[0])),
    sentence: `edit ${isEveryone ? `all ${names.length} parts` : allOf(names)} together`,
  };
}

/** Parts by number, each with all that it hangs on directly or through others. */
function components(scene: Scene, couplings: readonly PartCoupling[]): number[][] {
  const group = scene.parts.map((_, part) => part);
  const numberOf = (name: string) => scene.parts.findIndex((part) => part.name === name);
  for (const { between } of couplings) {
    const [one, other] = between.map((name) => group[numberOf(name)]);
    group.forEach((own, part) => {
      if (own === other && one !== undefined) group[part] = one;
    });
  }
  return [...new Set(group)].map((own) => group.flatMap((one, part) => (one === own ? [part] : [])));
}

function micsOf(scene: Scene, parts: readonly number[]): string[] {
  const isTheirs = (source: number) => parts.includes(scene.sources[source]?.part ?? -1);
  return scene.mics
    .filter(({ purpose, wanted }) => purpose === 'parts' && wanted.some(isTheirs))
    .map(({ name }) => name);
}

function sentenceOf(
  groups: readonly EditGroup[],
  free: readonly string[],
  everyone: readonly string[],
): string {
  const alone = free.length === 0 ? [] : [`${allOf(free)} ${free.length === 1 ? 'is' : 'are'} independent`];
  const pickUp = everyone.length === 1 ? 'picks' : 'pick';
  const all =
    everyone.length === 0
      ? []
      : [`${allOf(everyone)} ${pickUp} up everyone, so an edit there affects every part`];
  return [...groups.map(({ sentence }) => sentence), ...alone, ...all].join('; ');
}

const nameOf = (scene: Scene, part: number): string => scene.parts[part]?.name ?? '';

/** From this level on, a part in another mic couples the two, dB re the mic's signal, in the part's own octaves. */
const BINDS = -20;
/**
 * Less than this of the mic's whole signal binds nobody, dB: a bass through two walls is alone in its octaves at a
 * piccolo's mic, but nobody hears it jump. Twice the distance of `BINDS`; a choice of this program.
 */
const HEARD = -40;

export type PartCoupling = {
  /** The mic's own part, and the one it picks up. */
  readonly between: readonly [string, string];
  readonly mic: string;
  /** The carried part re the mic's signal in the carried part's octaves, dB; null where the mic is for both, or where
   * its signal has nothing in those octaves. */
  readonly level: number | null;
  /** The mic, or the line, is for both. */
  readonly shared: boolean;
};

/** All couplings, those of shared mics first, then the strongest. */
function partCouplings(scene: Scene, result: Transfer): PartCoupling[] {
  const own = scene.mics.filter(({ purpose }) => purpose === 'parts');
  const couplings = own.flatMap((mic) => [...sharedBy(scene, mic), ...carriedBy(scene, result, mic)]);
  return couplings.sort((a, b) => strength(b) - strength(a));
}

const strength = ({ shared, level }: PartCoupling): number => (shared ? Number.MAX_VALUE : (level ?? 1e3));

function sharedBy(scene: Scene, mic: Mic): PartCoupling[] {
  const [first, ...rest] = partsOf(scene, mic).map((part) => scene.parts[part]?.name ?? '');
  return rest.map((other) => ({ between: [first ?? '', other], mic: mic.name, level: null, shared: true }));
}

/** Parts that a mic is not for but picks up, each with the first of its own. */
function carriedBy(scene: Scene, result: Transfer, mic: Mic): PartCoupling[] {
  const atMic = micEnergies(result, mic, mic.capsules);
  const own = partsOf(scene, mic);
  const first = scene.parts[own[0] ?? -1]?.name ?? '';
  return scene.parts.flatMap(({ name }, part): PartCoupling[] => {
    if (own.includes(part)) return [];
    const carried = scene.passages.flatMap((passage) => carriedIn(scene, atMic, part, passage) ?? []);
    const most = Math.max(...carried);
    if (!(most >= 10 ** (BINDS / 10))) return [];
    const level = Number.isFinite(most) ? decibels(most) : null;
    return [{ between: [first, name], mic: mic.name, level, shared: false }];
  });
}

/**
 * Energy of the part over the mic's signal, both after its filters and in those octaves that lie within 20 dB of the
 * part's strongest at this mic. Infinite where the signal has nothing there; null where one of the two does not sound.
 */
function carriedIn(scene: Scene, atMic: MicEnergies, part: number, { sounds }: Passage): number | null {
  const sounding = (sources: readonly number[]) => sources.filter((source) => sounds[source]);
  const own = sounding(atMic.mic.wanted);
  const wanted = pickedUp(atMic, own, { filtered: true });
  const carried = pickedUp(atMic, sounding(scene.parts[part]?.sources ?? []), { filtered: true });
  const floor = 10 ** (HEARD / 10) * allBands(wanted);
  if (own.length === 0 || allBands(carried) <= 0 || allBands(carried) < floor) return null;
  const octaves = weightsFor('own', carried);
  return weightedSum(carried, octaves) / weightedSum(wanted, octaves);
}

const partsOf = (scene: Scene, { wanted }: Mic): number[] => [
  ...new Set(wanted.flatMap((source) => scene.sources[source]?.part ?? [])),
];
