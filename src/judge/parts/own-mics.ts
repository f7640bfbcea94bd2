/** Which mics are for a part: for it alone, or shared with others. Mics for everyone are nobody's own. */
import type { Scene } from '../../scene/scene.ts';

export type OwnMics = {
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
