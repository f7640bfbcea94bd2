/** Whose limits a suggestion is asked to better. */
import type { Scene } from '../scene/scene.ts';
import type { Goal } from './goal.ts';

/** Rows about a mic, both capsules of a pair. */
export function forMic({ capsules, mics }: Scene, name: string): Goal['counts'] {
  const own = capsules.filter(({ mic }) => mics[mic]?.name === name).map((one) => one.name);
  const names = new Set([name, ...own]);
  return ({ kind, name: about }) => kind === 'signal-to-bleed' && names.has(about);
}

/** Rows about a part, and about the mics for it. */
export function forPart(scene: Scene, name: string): Goal['counts'] {
  const part = scene.parts.findIndex((one) => one.name === name);
  const mics = scene.mics.filter(
    ({ purpose, wanted }) =>
      purpose === 'parts' && wanted.some((source) => scene.sources[source]?.part === part),
  );
  const tests = mics.map((mic) => forMic(scene, mic.name));
  return (row) =>
    ((row.kind === 'ghost' || row.kind === 'editable') && row.name === name) ||
    tests.some((test) => test(row));
}
