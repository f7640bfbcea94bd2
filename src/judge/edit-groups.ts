/** Which parts must be edited together, as a mic for one picks up the other. */

import { allBands, decibels, weightedSum } from '../acoustics/bands.ts';
import type { Mic, Part, Passage, Scene } from '../scene/scene.ts';
import { groupBy } from '../statistics.ts';
import { allOf } from '../text.ts';
import type { Transfer } from '../transfer/transfer.ts';
import { type MicEnergies, micEnergies, pickedUp, weightsFor } from './signal-to-bleed.ts';

type EditGroup = {
  /** Coupled parts, in the order of the scene. */
  readonly parts: readonly string[];
  /** Passages in which just these hang together; none where the plan has none. */
  readonly passages: readonly string[];
  /** Mics and lines for them. */
  readonly mics: readonly string[];
  /** Their couplings, strongest first. */
  readonly couplings: readonly PartCoupling[];
  /** "edit drums, piano and bass together in verse"; where nobody is left out, "edit all 8 parts together". */
  readonly sentence: string;
};

export type EditGroups = {
  readonly groups: readonly EditGroup[];
  /** Parts with mics of their own that are coupled with no other. */
  readonly free: readonly string[];
  /** Main and room mics, which pick up everyone: an edit in one of them affects every part. */
  readonly everyone: readonly string[];
  /** All of it as one line: a sentence for each group, then these. */
  readonly besides: readonly string[];
  readonly sentence: string;
};

/**
 * Parts are coupled by mics for parts only; main and room mics would couple everything. Each passage has groups of its own: two
 * parts that a third ties to each other in one passage alone are free in all others.
 */
export function editGroups(scene: Scene, result: Transfer): EditGroups {
  const couplings = partCouplings(scene, result);
  const tied = scene.passages.flatMap(({ name }) => {
    const own = couplings.filter(({ passage }) => passage === name);
    return components(scene, own).map((parts) => ({ parts, passage: name, couplings: own }));
  });
  const alike = groupBy(
    tied.filter(({ parts }) => parts.length > 1),
    ({ parts }) => parts.join(),
  );
  const groups = [...alike.values()].map((same) => groupOf(scene, same));
  const bound = new Set(groups.flatMap(({ parts }) => parts));
  const isPlayed = ({ sources }: Part) =>
    scene.passages.some(({ sounds }) => sources.some((source) => sounds[source]));
  const free = scene.parts.flatMap((part, index) =>
    !bound.has(part.name) && isPlayed(part) && micsOf(scene, [index]).length > 0 ? [part.name] : [],
  );
  const everyone = scene.mics.filter(({ purpose }) => purpose !== 'parts').map(({ name }) => name);
  const besides = besidesOf(free, everyone);
  const sentence = [...groups.map((group) => group.sentence), ...besides].join('; ');
  return { groups, free, everyone, besides, sentence };
}

/** So many are named even where they are everyone. */
const FEW = 4;

type Tied = {
  readonly parts: readonly number[];
  readonly passage: string | null;
  readonly couplings: readonly PartCoupling[];
};

/** The same parts, tied in several passages. */
function groupOf(scene: Scene, same: readonly Tied[]): EditGroup {
  const parts = same[0]?.parts ?? [];
  const names = parts.map((part) => nameOf(scene, part));
  const passages = same.flatMap(({ passage }) => passage ?? []);
  const isEveryone = names.length > FEW && names.length === scene.parts.length;
  const isAlways = passages.length === scene.passages.length;
  const when = passages.length === 0 || isAlways ? '' : ` in ${allOf(passages)}`;
  return {
    parts: names,
    passages,
    mics: micsOf(scene, parts),
    couplings: strongest(
      same.flatMap(({ couplings }) => couplings.filter(({ between }) => names.includes(between[0]))),
    ),
    sentence: `edit ${isEveryone ? `all ${names.length} parts` : allOf(names)} together${when}`,
  };
}

/** Each once, in the passage in which it is strongest. */
function strongest(couplings: readonly PartCoupling[]): PartCoupling[] {
  const sorted = [...couplings].sort((a, b) => strength(b) - strength(a));
  return [...groupBy(sorted, ({ between, mic }) => [...between, mic].join('\n')).values()].flatMap(
    ([first]) => first ?? [],
  );
}

/** Parts by number, each with all that it hangs on directly or through others. */
function components(scene: Scene, couplings: readonly PartCoupling[]): number[][] {
  const group = scene.parts.map((_, part) => part);
  const numbers = new Map(scene.parts.map(({ name }, part) => [name, part]));
  for (const { between } of couplings) {
    const [one, other] = between.map((name) => group[numbers.get(name) ?? -1]);
    if (one === undefined || one === other) continue;
    group.forEach((own, part) => {
      if (own === other) group[part] = one;
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

function besidesOf(free: readonly string[], everyone: readonly string[]): string[] {
  const alone = free.length === 0 ? [] : [`${allOf(free)} ${free.length === 1 ? 'is' : 'are'} independent`];
  const pickUp = everyone.length === 1 ? 'picks' : 'pick';
  const all =
    everyone.length === 0
      ? []
      : [`${allOf(everyone)} ${pickUp} up everyone, so an edit there affects every part`];
  return [...alone, ...all];
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
  /** The passage in which both sound; null where the plan has none. */
  readonly passage: string | null;
  /** The carried part re the mic's signal in the carried part's octaves, dB; null where the mic is for both, or where
   * its signal has nothing in those octaves. */
  readonly level: number | null;
  /** The mic, or the line, is for both. */
  readonly shared: boolean;
};

/** All couplings, passage by passage. */
function partCouplings(scene: Scene, result: Transfer): PartCoupling[] {
  const own = scene.mics.filter(({ purpose }) => purpose === 'parts');
  return own.flatMap((mic) => {
    const atMic = micEnergies(result, mic, mic.capsules);
    return scene.passages.flatMap((passage) => [
      ...sharedBy(scene, mic, passage),
      ...carriedBy(scene, atMic, passage),
    ]);
  });
}

/** Shared mics first, then the strongest. */
const strength = ({ shared, level }: PartCoupling): number => (shared ? Number.MAX_VALUE : (level ?? 1e3));

function sharedBy(scene: Scene, mic: Mic, passage: Passage): PartCoupling[] {
  const [first, ...rest] = partsOf(scene, mic, passage).map((part) => nameOf(scene, part));
  const shared = { mic: mic.name, passage: passage.name, level: null, shared: true };
  return rest.map((other) => ({ between: [first ?? '', other], ...shared }));
}

/** Parts that a mic is not for but picks up, each with the first of its own that sounds. */
function carriedBy(scene: Scene, atMic: MicEnergies, passage: Passage): PartCoupling[] {
  const { mic } = atMic;
  const [first] = partsOf(scene, mic, passage);
  if (first === undefined) return [];
  const own = new Set(mic.wanted.map((source) => scene.sources[source]?.part));
  return scene.parts.flatMap(({ name }, part): PartCoupling[] => {
    const carried = own.has(part) ? 0 : carriedIn(scene, atMic, part, passage);
    if (carried < 10 ** (BINDS / 10)) return [];
    const level = Number.isFinite(carried) ? decibels(carried) : null;
    const between = [nameOf(scene, first), name] as const;
    return [{ between, mic: mic.name, passage: passage.name, level, shared: false }];
  });
}

/**
 * Energy of the part over the mic's signal, both after its filters and in those octaves that lie within 20 dB of the
 * part's strongest at this mic. Infinite where the signal has nothing there, 0 where the part does not sound.
 */
function carriedIn(scene: Scene, atMic: MicEnergies, part: number, { sounds }: Passage): number {
  const sounding = (sources: readonly number[]) => sources.filter((source) => sounds[source]);
  const wanted = pickedUp(atMic, sounding(atMic.mic.wanted), { filtered: true });
  const carried = pickedUp(atMic, sounding(scene.parts[part]?.sources ?? []), { filtered: true });
  const floor = 10 ** (HEARD / 10) * allBands(wanted);
  if (allBands(carried) <= 0 || allBands(carried) < floor) return 0;
  const octaves = weightsFor('own', carried);
  return weightedSum(carried, octaves) / weightedSum(wanted, octaves);
}

/** Parts of its own that sound. */
const partsOf = (scene: Scene, { wanted }: Mic, { sounds }: Passage): number[] => [
  ...new Set(wanted.flatMap((source) => (sounds[source] ? (scene.sources[source]?.part ?? []) : []))),
];
