/** The ghost of a part: what other mics pick up of it with its own muted, how well each of its mics isolates it, and the mix gains. */
import { allBands, decibels, energyOf } from '../acoustics/bands.ts';
import { LATER_LIMITS, type Mic, type Part, type Passage, type Scene } from '../scene/scene.ts';
import type { Transfer } from '../transfer/transfer.ts';
import type { MicEnergies } from './signal-to-bleed.ts';
import { bleedRemark, micEnergies, pickedUp, sidesOf, signalToBleed } from './signal-to-bleed.ts';

export type Ghost = {
  readonly kind:
    | 'level' // there is a value
    | 'committed' // every mic of the part is shared and stays open
    | 'no mic' // only main mics, or none, pick it up
    | 'nothing stays' // no other mic picks it up
    | 'nothing own' // its own mics get nothing of it
    | 'never sounds'; // it is in no passage
  /** dB; null for every kind but `level`. */
  readonly level: number | null;
  /** The passage that counts, the worst; null where the plan has none. */
  readonly passage: string | null;
  /** The mic with most of the ghost; of a committed part, with most of the part. */
  readonly loudestIn: string | null;
};

/**
 * `10·lg( Σ_{i stays} g_i² B_ij / Σ_{i for j} g_i² B_ij )` in the worst passage in which the part sounds. A mic stays open
 * unless it is for this part alone, or `muted` throughout. A loudspeaker that repeats the part adds to the ghost, not to the signal
 * of its own mics.
 */
export function ghostOf(
  scene: Played & Pick<Scene, 'passages'>,
  mix: Mix,
  index: number,
  muted: readonly number[] = [],
): Ghost {
  const part = scene.parts[index];
  const own = ownMics(scene, index);
  const none = { level: null, passage: null, loudestIn: null };
  if (!part || own.alone.length + own.shared.length === 0) return { kind: 'no mic', ...none };
  if (own.alone.length === 0) {
    const loudestIn = nameOfMost(scene, own.shared, (mic) => mix.held(mic, playedBy(scene, part)));
    return { kind: 'committed', ...none, loudestIn };
  }
  const weighed = scene.passages.flatMap(
    (passage) => weighIn(scene, mix, { part, own, passage, muted }) ?? [],
  );
  const [first, ...rest] = weighed;
  if (!first) return { kind: 'never sounds', ...none };
  const worst = rest.reduce((a, b) => (byGhost(b) > byGhost(a) ? b : a), first);
  const { passage, loudestIn, stays, gives } = worst;
  if (gives <= 0) return { kind: 'nothing own', level: null, passage, loudestIn };
  if (stays <= 0) return { kind: 'nothing stays', level: null, passage, loudestIn };
  return { kind: 'level', level: decibels(stays) - decibels(gives), passage, loudestIn };
}

type Played = Pick<Scene, 'parts' | 'sources' | 'mics'>;

type Weighed = {
  readonly passage: string | null;
  readonly stays: number;
  readonly gives: number;
  readonly loudestIn: string | null;
};

type Weighing = {
  readonly part: Part;
  readonly own: OwnMics;
  readonly passage: Passage;
  readonly muted: readonly number[];
};

/** Both sides of the ratio in one passage; null where the part itself does not sound in it. */
function weighIn(scene: Played, mix: Mix, { part, own, passage, muted }: Weighing): Weighed | null {
  const played = playedBy(scene, part).filter((source) => passage.sounds[source]);
  if (played.length === 0) return null;
  const sounding = part.sources.filter((source) => passage.sounds[source]);
  const isOpen = (mic: number) => !own.alone.includes(mic) && !muted.includes(mic);
  const others = [...scene.mics.keys()].filter(isOpen);
  const heldBy = (mic: number) => mix.held(mic, sounding);
  const forEveryone = [...scene.mics.keys()].filter((mic) => scene.mics[mic]?.purpose === 'all');
  const carriers = [...own.alone, ...own.shared, ...forEveryone];
  return {
    passage: passage.name,
    stays: others.reduce((sum, mic) => sum + heldBy(mic), 0),
    gives: carriers.reduce((sum, mic) => sum + mix.held(mic, played), 0),
    loudestIn: nameOfMost(scene, others, heldBy),
  };
}

const byGhost = ({ stays, gives }: Weighed): number => (stays > 0 ? stays / gives : -1);

function nameOfMost(scene: Played, mics: readonly number[], held: (mic: number) => number): string | null {
  const energies = mics.map(held);
  const most = Math.max(0, ...energies);
  return most > 0 ? (scene.mics[mics[energies.indexOf(most)] ?? -1]?.name ?? null) : null;
}

/** The loudest permitted ghost of a part marked replace, dB. Common practice, no source. */
export const GHOST_LIMIT = -25;

/** Null where nobody asks for one. */
export function ghostLimit({ limits, parts }: Scene, index: number): number | null {
  return limits.ghost.get(index) ?? (parts[index]?.later === 'replace' ? GHOST_LIMIT : null);
}

/** The sources in which a part is played: all of its own but the loudspeakers that repeat it. */
export const playedBy = (scene: Pick<Scene, 'sources'>, part: Part): number[] =>
  part.sources.filter((source) => !scene.sources[source]?.repeats);

/** Where the faders are. */
export type Mix = {
  /** Energy gain g² of each mic, one for all bands and passages; of a line, what it gives to each of its parts. */
  readonly gains: readonly number[];
  /** Energy of some sources in the mix through one mic: all bands, unweighted, both capsules of a pair. */
  readonly held: (mic: number, sources: readonly number[]) => number;
};

/** With a known mix of the same mics, only the `changed` of them are worked out. */
export function mixOf(
  scene: Scene,
  result: Transfer,
  known?: { readonly mix: Mix; readonly changed: readonly number[] },
): Mix {
  const channels = scene.mics.map((mic, index) => {
    if (known && !known.changed.includes(index)) return null;
    const atMic = micEnergies(result, mic, mic.capsules);
    return { atMic, gain: gainOf(scene, atMic) };
  });
  return {
    gains: channels.map((channel, mic) => channel?.gain ?? known?.mix.gains[mic] ?? 0),
    held: (mic, sources) => {
      const channel = channels[mic];
      if (!channel) return known?.mix.held(mic, sources) ?? 0;
      return channel.gain * amountAt(scene, channel.atMic, sources);
    },
  };
}

/** What the gain acts on: energy at a mic, or the number of parts on a DI. */
function amountAt(scene: Scene, atMic: MicEnergies, sources: readonly number[]): number {
  const { mic } = atMic;
  if (!mic.line) return allBands(pickedUp(atMic, sources, { filtered: true }));
  const own = mic.wanted.filter((source) => sources.includes(source));
  return partsOn(scene, own);
}

/**
 * Brings wanted plus bleed to the mic's `mix` in the passage in which its signal is strongest. A mic whose own source
 * never sounds stays closed. A DI is at its `mix` as it is; several parts share it equally, as their signals are not known.
 */
function gainOf(scene: Scene, atMic: MicEnergies): number {
  const { mic } = atMic;
  if (mic.line) return energyOf(mic.mix) / Math.max(1, partsOn(scene, mic.wanted));
  const passages = scene.passages.flatMap((passage) => {
    const { wanted, bleeders } = sidesOf(mic, passage);
    if (wanted.length === 0) return [];
    const signal = allBands(pickedUp(atMic, wanted, { filtered: true }));
    return [{ signal, sum: signal + allBands(pickedUp(atMic, bleeders, { filtered: true })) }];
  });
  // of passages with the same signal, the fuller one: a fader is set for the tutti
  const [loudest] = passages.sort((a, b) => b.signal - a.signal || b.sum - a.sum);
  return loudest && loudest.sum > 0 ? energyOf(mic.mix) / loudest.sum : 0;
}

const partsOn = (scene: Scene, sources: Mic['wanted']): number =>
  new Set(sources.map((source) => scene.sources[source]?.part)).size;

export type Isolation = {
  /** S/B of the part at the worst of its mics, dB: ±∞ where one side is silent, null without a mic or where it never sounds. */
  readonly ratio: number | null;
  /** Where that is; null where nothing spoils it. */
  readonly mic: string | null;
  /** When that is; null where the plan has no passages. */
  readonly passage: string | null;
  /** Why there is no value, or null. */
  readonly remark: string | null;
};

/**
 * A part can be edited by itself when every mic for it reaches the limit: what is moved in one track would double with what was
 * left in another. At a mic shared with other parts, those count as bleed.
 */
export function isolationOf(scene: Scene, result: Transfer, part: number): Isolation {
  const { alone, shared } = ownMics(scene, part);
  const members = scene.parts[part]?.sources ?? [];
  const ofPart = (sources: readonly number[]) => sources.filter((source) => members.includes(source));
  const all = [...alone, ...shared].flatMap((index): Isolation[] => {
    const mic = scene.mics[index] as Mic;
    if (mic.line && shared.includes(index)) return [{ mic: mic.name, ...SHARED_LINE }];
    if (mic.line)
      return [{ mic: mic.name, passage: null, ratio: Number.POSITIVE_INFINITY, remark: 'no bleed' }];
    const own = { ...mic, wanted: ofPart(mic.wanted), ignored: ofPart(mic.ignored) };
    return mic.capsules.map((capsule) => {
      const worst = signalToBleed(micEnergies(result, own, [capsule]), scene);
      const ratio = worst?.ratio ?? null;
      const passage = worst?.passage.name ?? null;
      return {
        ratio,
        mic: scene.capsules[capsule]?.name ?? mic.name,
        passage,
        remark: bleedRemark(own, ratio),
      };
    });
  });
  const [first, ...rest] = all;
  if (!first) return { ratio: null, mic: null, passage: null, remark: 'no mic of its own' };
  const worst = rest.reduce((a, b) => (rank(b) < rank(a) ? b : a), first);
  return rank(worst) === Number.POSITIVE_INFINITY ? { ...worst, mic: null } : worst;
}

const rank = ({ ratio }: Isolation): number => ratio ?? Number.POSITIVE_INFINITY;

/** Null where nobody asks for one. */
export const isolationLimit = ({ limits, parts }: Scene, index: number): number | null =>
  limits.isolation.get(index) ?? (parts[index]?.later === 'tune' ? LATER_LIMITS.tune : null);

const SHARED_LINE = {
  passage: null,
  ratio: Number.NEGATIVE_INFINITY,
  remark: 'shares a DI with other parts',
};

type OwnMics = {
  /** For this part alone: muted when it is replaced. Lines are among them. */
  readonly alone: readonly number[];
  /** For this part and others: they stay. */
  readonly shared: readonly number[];
};

export function ownMics(scene: Pick<Scene, 'parts' | 'mics'>, part: number): OwnMics {
  const members = new Set(scene.parts[part]?.sources);
  const indices = scene.mics.map((_, i) => i);
  const wanted = (mic: number) => scene.mics[mic]?.wanted ?? [];
  const own = indices.filter(
    (mic) => scene.mics[mic]?.purpose === 'parts' && wanted(mic).some((source) => members.has(source)),
  );
  const alone = own.filter((mic) => wanted(mic).every((source) => members.has(source)));
  return { alone, shared: own.filter((mic) => !alone.includes(mic)) };
}
