/** Who sounds when. */
import { unknownName } from './lookup.ts';
import { assume } from './notes.ts';
import type { Passage } from './scene.ts';
import type { Setting } from './setting.ts';
import type { Voice } from './voice.ts';
import { targetNames, voicesNamed } from './wanted.ts';

/** Passages of the plan, or one in which everyone sounds. */
export function resolvePassages(voices: readonly Voice[], { plan, notes }: Setting): Passage[] {
  if (plan.passages.size === 0) return [{ name: null, path: [], sounds: voices.map(() => true) }];
  const passages = [...plan.passages].map(([name, names]): Passage => {
    const path = ['passages', name];
    const sounding = new Set(
      names.flatMap((one, i) => {
        const found = voicesNamed(voices, one);
        if (found.length === 0)
          unknownName(targetNames(voices), one, 'player, source or part', { path: [...path, i], notes });
        return found;
      }),
    );
    return {
      name,
      path,
      sounds: voices.map((voice, i) => sounding.has(i) || repeatsOne(voice, voices, sounding)),
    };
  });
  voices.forEach((voice, i) => {
    if (passages.every(({ sounds }) => !sounds[i])) {
      assume(notes, 'default', voice.path, `${voice.name} stands in no passage and never sounds`);
    }
  });
  return passages;
}

/** A wedge sounds whenever what it repeats does. */
const repeatsOne = (voice: Voice, voices: readonly Voice[], sounding: ReadonlySet<number>): boolean =>
  voice.repeats && [...sounding].some((i) => voices[i]?.partName === voice.partName);
