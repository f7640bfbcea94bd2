/** How well some sources come through at an ear, passage by passage, and the words for it. */
import { decibels, energyOf } from '../../acoustics/bands.ts';
import type { Transfer } from '../../acoustics/transfer.ts';
import { OUTSIDE, type Passage, type Scene } from '../../scene/scene.ts';
import { type Ear, earWith } from './ears.ts';

export type Heard = 'hears' | 'strains to hear' | 'does not hear';

/** One hears what is no further under everything else than this, dB, and by straining to the second. Common practice, no source. */
export const LISTENS = -8;
const STRAINS = -15;

export function hearsIn(ratio: number | null): Heard {
  if (ratio === null || ratio < STRAINS) return 'does not hear';
  return ratio >= LISTENS ? 'hears' : 'strains to hear';
}

/** Noise of a room that the plan gives none for, dBA: a quiet one. A guess, from memory. */
const QUIET = 25;

export type InPassage = {
  readonly passage: string | null;
  /** dBA, null where nothing gets there. */
  readonly level: number | null;
  /** Over everything else that sounds and the room's noise, dB; null where nothing gets there. */
  readonly ratio: number | null;
};

/**
 * The worst of the passages in which both sound, or all of theirs for one who plays nothing himself; null where they never
 * meet. Own instruments are among everything else.
 */
export function worstOf(
  scene: Scene,
  ears: Transfer,
  player: number,
  { own, whom }: { readonly own: readonly number[]; readonly whom: readonly number[] },
): InPassage | null {
  const ear = earWith(scene, ears, player);
  const noise = energyOf(scene.rooms[scene.players[player]?.room ?? OUTSIDE]?.noise ?? QUIET);
  const together = scene.passages.filter(
    ({ sounds }) => whom.some((i) => sounds[i]) && (own.length === 0 || own.some((i) => sounds[i])),
  );
  const all = together.map((passage) => inPassage(passage, ear, whom, noise));
  return all.reduce<InPassage | null>((a, b) => (a === null || rank(b) < rank(a) ? b : a), null);
}

const rank = ({ ratio }: InPassage): number => ratio ?? Number.NEGATIVE_INFINITY;

function inPassage({ name, sounds }: Passage, ear: Ear, whom: readonly number[], noise: number): InPassage {
  const sounding = sounds.flatMap((is, i) => (is ? [i] : []));
  const among = new Set(whom);
  const theirs = ear(sounding.filter((i) => among.has(i)));
  if (theirs <= 0) return { passage: name, level: null, ratio: null };
  const rest = noise + ear(sounding.filter((i) => !among.has(i)));
  return { passage: name, level: decibels(theirs), ratio: decibels(theirs / rest) };
}
