/** How a plan stands when only some mics have changed: what hangs on them is read anew, the rest is known. */
import type { Transfer } from '../acoustics/transfer.ts';
import { type Mix, mixOf } from '../judge/parts/mix.ts';
import { ownMics } from '../judge/parts/own-mics.ts';
import type { Scene } from '../scene/scene.ts';
import { onlyMics } from './only-mics.ts';
import { bleedOf, type Reading, standingFrom } from './standing.ts';
import { partMargins } from './standing-parts.ts';

/** The same as `readingOf(scene, result)`; `changed` are the indices of the mics that differ from those of `known`. */
export function rereading(
  known: Reading,
  changed: readonly number[],
  scene: Scene,
  result: Transfer,
): Reading {
  const few = onlyMics(scene, result, changed);
  const mix = mixWith(known.mix, mixOf(few.scene, few.result), changed);
  const bleed = new Map([...known.bleed, ...bleedOf(few.scene, few.result)]);
  const parts = new Map(
    scene.parts.map((_, part) => {
      const old = known.parts.get(part) ?? [];
      const depends =
        old.some(({ kind }) => kind === 'ghost') || (old.length > 0 && isHeardBy(scene, part, changed));
      return [part, depends ? partMargins(scene, result, mix, part) : old];
    }),
  );
  const { people } = known;
  return { mix, bleed, parts, people, standing: standingFrom(scene, { bleed, parts, people }) };
}

function mixWith(known: Mix, fresh: Mix, changed: readonly number[]): Mix {
  const place = new Map(changed.map((mic, i) => [mic, i]));
  const gains = known.gains.map((gain, mic) => {
    const at = place.get(mic);
    return at === undefined ? gain : (fresh.gains[at] ?? 0);
  });
  const held: Mix['held'] = (mic, sources) => {
    const at = place.get(mic);
    return at === undefined ? known.held(mic, sources) : fresh.held(at, sources);
  };
  return { gains, held };
}

function isHeardBy(scene: Scene, part: number, changed: readonly number[]): boolean {
  const { alone, shared } = ownMics(scene, part);
  return changed.some((mic) => alone.includes(mic) || shared.includes(mic));
}
