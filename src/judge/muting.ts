/** Mics that can be muted while their own source rests, and what that gains: less bleed in the mix, quieter ghosts. */
import { decibels } from '../acoustics/bands.ts';
import type { Passage, Scene } from '../scene/scene.ts';
import { type Ghost, ghostLimit, ghostOf, type Mix } from './ghost.ts';

/** One passage in which some mics have nothing of their own to pick up. */
export type MutingRow = {
  readonly passage: string | null;
  /** Mics by air, as the plan names them; a pair is one. */
  readonly mics: readonly string[];
  /** All that they pick up re the main mics of the mix, dB; null without main mics, or where one side is silent. */
  readonly bleedReMain: number | null;
  /** The same re all other mics and DIs of the mix, dB. */
  readonly bleedReMix: number | null;
  /** Ghosts of parts with a value, as they are in this passage with these mics open and muted, dB; null where none is left. */
  readonly ghosts: readonly GhostGain[];
};

type GhostGain = {
  readonly part: string;
  readonly before: number;
  readonly after: number | null;
  /** Whether the plan asks for a limit of it. */
  readonly isJudged: boolean;
};

/** A row for each passage in which some mic rests. Faders stay where `mix` has them. */
export function muting(scene: Scene, mix: Mix): MutingRow[] {
  return scene.passages.flatMap((passage) => {
    const resting = restingMics(scene, passage);
    return resting.length > 0 ? [mutingRow(scene, mix, passage, resting)] : [];
  });
}

/** Mics for parts none of whose own sources sounds in the passage. */
export function restingMics({ mics }: Pick<Scene, 'mics'>, { sounds }: Passage): number[] {
  return mics.flatMap(({ purpose, line, wanted }, index) =>
    purpose === 'parts' && !line && !wanted.some((source) => sounds[source]) ? [index] : [],
  );
}

function mutingRow(scene: Scene, mix: Mix, passage: Passage, resting: readonly number[]): MutingRow {
  const sounding = passage.sounds.flatMap((is, source) => (is ? [source] : []));
  const heldBy = (mics: readonly number[]) => mics.reduce((sum, mic) => sum + mix.held(mic, sounding), 0);
  const others = [...scene.mics.keys()].filter((mic) => !resting.includes(mic));
  const main = others.filter((mic) => scene.mics[mic]?.purpose === 'all');
  const bleed = heldBy(resting);
  return {
    passage: passage.name,
    mics: resting.flatMap((mic) => scene.mics[mic]?.name ?? []),
    bleedReMain: re(bleed, heldBy(main)),
    bleedReMix: re(bleed, heldBy(others)),
    ghosts: ghostGains(scene, mix, passage, resting),
  };
}

const re = (energy: number, other: number): number | null =>
  energy > 0 && other > 0 ? decibels(energy / other) : null;

function ghostGains(scene: Scene, mix: Mix, passage: Passage, resting: readonly number[]): GhostGain[] {
  const only = { ...scene, passages: [passage] };
  return scene.parts.flatMap(({ name }, index) => {
    const [open, muted] = [[], resting].map((mics): Ghost => ghostOf(only, mix, index, mics));
    if (!open || open.level === null) return [];
    const isJudged = ghostLimit(scene, index) !== null;
    return [{ part: name, before: open.level, after: muted?.level ?? null, isJudged }];
  });
}
