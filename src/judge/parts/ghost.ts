/** The ghost of a part: what stays of it in the recording when its own mics are muted, against the part in the mix. */
import { decibels } from '../../acoustics/bands.ts';
import type { Part, Passage, Scene } from '../../scene/scene.ts';
import type { Mix } from './mix.ts';
import { type OwnMics, ownMics } from './own-mics.ts';
import { playedBy } from './played-by.ts';

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
  const { passage, mostIn, ...sides } = rest.reduce((a, b) => (rank(b) > rank(a) ? b : a), first);
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

const rank = ({ stays, gives }: Weighed): number => (stays > 0 ? stays / gives : -1);

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
