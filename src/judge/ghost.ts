/** Mix gains, ghost, alone, replaceable. */
import { allBands, decibels, energyOf } from '../acoustics/bands.ts';
import { LATER_LIMITS, type Mic, type Part, type Passage, type Scene } from '../scene/scene.ts';
import type { Transfer } from '../transfer/transfer.ts';
import { judgeBleed, type MicEnergies, micEnergies, pickedUp, sidesOf } from './signal-to-bleed.ts';
import { type Verdict, verdictOf } from './verdict.ts';

export type Ghost = {
  readonly kind:
    | 'level' // there is a figure
    | 'committed' // every mic of the part stays
    | 'no mic' // only mics for everyone, or none, hear it
    | 'nothing stays' // no other mic gets anything of it
    | 'nothing own' // its own mics get nothing of it
    | 'never sounds'; // it stands in no passage
  /** dB; null for every kind but `level`. */
  readonly level: number | null;
  /** The passage that counts, the worst; null where the plan has none. */
  readonly passage: string | null;
  /** The mic that holds most of what stays; of a committed part, most of the part. */
  readonly mostIn: string | null;
};

/**
 * `10·lg( Σ_{i stays} g_i² B_ij / Σ_{i for j} g_i² B_ij )` in the worst passage in which the part sounds. A mic stays unless
 * it is for this part alone. A loudspeaker that repeats the part counts in what stays, not in what its own mics give.
 */
export function ghostOf(scene: Scene, mix: Mix, index: number): Ghost {
  const part = scene.parts[index];
  const own = ownMics(scene, index);
  const none = { level: null, passage: null, mostIn: null };
  if (!part || own.alone.length + own.shared.length === 0) return { kind: 'no mic', ...none };
  if (own.alone.length === 0) {
    const mostIn = nameOfMost(scene, own.shared, (mic) => mix.held(mic, playedBy(scene, part)));
    return { kind: 'committed', ...none, mostIn };
  }
  const weighed = scene.passages.flatMap((passage) => weighIn(scene, mix, { part, own, passage }) ?? []);
  const [first, ...rest] = weighed;
  if (!first) return { kind: 'never sounds', ...none };
  const { passage, mostIn, ...sides } = rest.reduce((a, b) => (byGhost(b) > byGhost(a) ? b : a), first);
  return { ...figureOf(sides), passage, mostIn };
}

type Weighed = {
  readonly passage: string | null;
  readonly stays: number;
  readonly gives: number;
  readonly mostIn: string | null;
};

type Case = { readonly part: Part; readonly own: OwnMics; readonly passage: Passage };

/** Both sides of the ratio in one passage; null where the part itself does not sound in it. */
function weighIn(scene: Scene, mix: Mix, { part, own, passage }: Case): Weighed | null {
  const played = playedBy(scene, part).filter((source) => passage.sounds[source]);
  if (played.length === 0) return null;
  const sounding = part.sources.filter((source) => passage.sounds[source]);
  const others = scene.mics.map((_, mic) => mic).filter((mic) => !own.alone.includes(mic));
  const heldBy = (mic: number) => mix.held(mic, sounding);
  return {
    passage: passage.name,
    stays: others.reduce((sum, mic) => sum + heldBy(mic), 0),
    gives: carriers(scene, own).reduce((sum, mic) => sum + mix.held(mic, played), 0),
    mostIn: nameOfMost(scene, others, heldBy),
  };
}

/** Mics by which the part is meant to be in the mix: its own, shared ones, and those for everyone. */
function carriers({ mics }: Scene, own: OwnMics): number[] {
  const forEveryone = [...mics.keys()].filter((mic) => mics[mic]?.purpose === 'all');
  return [...own.alone, ...own.shared, ...forEveryone];
}

const byGhost = ({ stays, gives }: Weighed): number => (stays > 0 ? stays / gives : -1);

function figureOf({ stays, gives }: Pick<Weighed, 'stays' | 'gives'>): Pick<Ghost, 'kind' | 'level'> {
  if (gives <= 0) return { kind: 'nothing own', level: null };
  if (stays <= 0) return { kind: 'nothing stays', level: null };
  return { kind: 'level', level: decibels(stays) - decibels(gives) };
}

function nameOfMost(scene: Scene, mics: readonly number[], held: (mic: number) => number): string | null {
  const ranked = mics.map((mic) => ({ mic, energy: held(mic) })).filter(({ energy }) => energy > 0);
  const most = ranked.reduce<(typeof ranked)[number] | null>(
    (a, b) => (a && a.energy >= b.energy ? a : b),
    null,
  );
  return most ? (scene.mics[most.mic]?.name ?? null) : null;
}

// What can be done with each part afterwards: replaced, edited alone, or neither.

/** Most that may stay of a part that is to be replaced, dB. Common practice, no source. */
export const GHOST_LIMIT = -25;

/** Null where nobody asks for one. */
export function ghostLimit({ limits, parts }: Scene, index: number): number | null {
  return limits.ghost.get(index) ?? (parts[index]?.later === 'replace' ? GHOST_LIMIT : null);
}

// The sources in which a part is played: all of its own but the loudspeakers that repeat it.

export const playedBy = (scene: Scene, part: Part): number[] =>
  part.sources.filter((source) => !scene.sources[source]?.repeats);

// Where the faders stand: one gain for each mic, and what each mic then holds of any sources.

export type Mix = {
  /** Energy gain g² of each mic, one for all bands and passages; of a line, what it gives to each of its parts. */
  readonly gains: readonly number[];
  /** Energy of some sources in the mix by way of one mic: all bands, unweighted, both capsules of a pair. */
  readonly held: (mic: number, sources: readonly number[]) => number;
};

export function mixOf(scene: Scene, result: Transfer): Mix {
  const listenings = scene.mics.map((mic) => micEnergies(result, mic, mic.capsules));
  const gains = listenings.map((atMic) => gainOf(scene, atMic));
  const held: Mix['held'] = (mic, sources) => {
    const atMic = listenings[mic];
    return atMic ? (gains[mic] ?? 0) * amountAt(scene, atMic, sources) : 0;
  };
  return { gains, held };
}

/** What the gain acts on: energy at a mic, or the number of parts that a line carries. */
function amountAt(scene: Scene, atMic: MicEnergies, sources: readonly number[]): number {
  const { mic } = atMic;
  if (!mic.line) return allBands(pickedUp(atMic, sources, { filtered: true }));
  return partsOn(
    scene,
    mic.wanted.filter((source) => sources.includes(source)),
  );
}

/**
 * Brings wanted plus bleed to the mic's `mix` in the passage in which its wanted sound is strongest. A mic whose own source
 * never sounds stays shut. A line is at its `mix` as it is; several parts share it evenly, as their signals are not known.
 */
function gainOf(scene: Scene, atMic: MicEnergies): number {
  const { mic } = atMic;
  if (mic.line) return energyOf(mic.mix) / Math.max(1, partsOn(scene, mic.wanted));
  const sum = loudest(scene, atMic);
  return sum > 0 ? energyOf(mic.mix) / sum : 0;
}

function loudest(scene: Scene, atMic: MicEnergies): number {
  const { mic } = atMic;
  const passages = scene.passages.flatMap((passage) => {
    const { wanted, bleeders } = sidesOf(mic, passage);
    if (wanted.length === 0) return [];
    const signal = allBands(pickedUp(atMic, wanted, { filtered: true }));
    return [{ signal, sum: signal + allBands(pickedUp(atMic, bleeders, { filtered: true })) }];
  });
  return passages.reduce((a, b) => (louder(b, a) ? b : a), { signal: -1, sum: 0 }).sum;
}

type Loudness = { readonly signal: number; readonly sum: number };

/** Of passages with the same wanted sound, the fuller one: a fader is set for the tutti. */
const louder = (one: Loudness, other: Loudness): boolean =>
  one.signal > other.signal || (one.signal === other.signal && one.sum > other.sum);

const partsOn = (scene: Scene, sources: Mic['wanted']): number =>
  new Set(sources.map((source) => scene.sources[source]?.part)).size;

// Whether a part can be edited alone, pitch and time of it and nobody else's.

export type IsolationRow = {
  /** The worst S/B of the part at any mic for it, dB; null where no other source sounds at any, or there is no mic. */
  readonly signalToBleed: number | null;
  /** Where that is. */
  readonly mic: string | null;
  /** Null where nobody asks for it: shown, not judged. */
  readonly limit: number | null;
  readonly margin: number | null;
  readonly verdict: Verdict | null;
  readonly remark: string | null;
};

/**
 * A part is editable alone when every mic for it reaches the limit: what is moved in one track would double with what was
 * left in another. At a mic shared with other parts, those count as bleed.
 */
export function isolationRow(scene: Scene, result: Transfer, index: number): IsolationRow {
  const limit = isolationLimit(scene, index);
  const heard = readings(scene, result, index);
  const [first, ...rest] = heard;
  const plain = { signalToBleed: null, mic: null, limit, margin: null, verdict: null };
  if (!first) return { ...plain, remark: 'no mic of its own' };
  const worst = rest.reduce((a, b) => (rank(b) < rank(a) ? b : a), first);
  const { signalToBleed, verdict, remark } = worst;
  if (signalToBleed === null) {
    const mic = verdict === 'short' ? worst.mic : null;
    return { ...plain, mic, verdict: limit === null ? null : verdict, remark };
  }
  const margin = limit === null ? null : signalToBleed - limit;
  return {
    ...plain,
    signalToBleed,
    mic: worst.mic,
    margin,
    verdict: margin === null ? null : verdictOf(margin),
    remark: null,
  };
}

/** Null where nobody asks for one. */
export function isolationLimit({ limits, parts }: Scene, index: number): number | null {
  return limits.editable.get(index) ?? (parts[index]?.later === 'tune' ? LATER_LIMITS.tune : null);
}

type Reading = {
  readonly mic: string;
  readonly signalToBleed: number | null;
  readonly verdict: Verdict | null;
  readonly remark: string | null;
};

/** The part's S/B at every capsule of every mic for it. */
function readings(scene: Scene, result: Transfer, part: number): Reading[] {
  const { alone, shared } = ownMics(scene, part);
  return [...alone, ...shared].flatMap((index): Reading[] => {
    const mic = scene.mics[index] as Mic;
    if (mic.line) return [lineReading(mic, shared.includes(index))];
    const own = forPartOnly(scene, mic, part);
    return mic.capsules.map((capsule) => ({
      mic: scene.capsules[capsule]?.name ?? mic.name,
      ...judgeBleed(micEnergies(result, own, [capsule]), scene),
    }));
  });
}

const lineReading = ({ name }: Mic, shared: boolean): Reading => ({
  mic: name,
  signalToBleed: null,
  verdict: shared ? 'short' : 'clear',
  remark: shared ? 'shares a line with other parts' : 'no other source sounds',
});

function forPartOnly(scene: Scene, mic: Mic, part: number): Mic {
  const members = scene.parts[part]?.sources ?? [];
  const ofPart = (sources: readonly number[]) => sources.filter((source) => members.includes(source));
  return { ...mic, wanted: ofPart(mic.wanted), ignored: ofPart(mic.ignored) };
}

const rank = ({ signalToBleed, verdict }: Reading): number =>
  signalToBleed ?? (verdict === 'short' ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY);

// Which mics are for a part: for it alone, or shared with others. Mics for everyone are nobody's own.

type OwnMics = {
  /** For this part alone: muted when it is replaced. Lines are among them. */
  readonly alone: readonly number[];
  /** For this part and others: they stay. */
  readonly shared: readonly number[];
};

export function ownMics(scene: Scene, part: number): OwnMics {
  const members = new Set(scene.parts[part]?.sources);
  const indices = scene.mics.map((_, i) => i);
  const wanted = (mic: number) => scene.mics[mic]?.wanted ?? [];
  const own = indices.filter(
    (mic) => scene.mics[mic]?.purpose === 'parts' && wanted(mic).some((source) => members.has(source)),
  );
  const alone = own.filter((mic) => wanted(mic).every((source) => members.has(source)));
  return { alone, shared: own.filter((mic) => !alone.includes(mic)) };
}
