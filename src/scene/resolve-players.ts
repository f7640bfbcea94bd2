/** People as players of the scene, with ears and eyes where their instrument holds them. */
import { inRoom, postureOf } from './body.ts';
import type { Catalogue } from './catalogue.ts';
import { cueOf } from './cue.ts';
import type { Someone } from './people.ts';
import type { Player } from './scene.ts';
import type { Voice } from './voice.ts';

export function resolvePlayers(
  people: Iterable<Someone>,
  voices: readonly Voice[],
  catalogue: Catalogue,
): Player[] {
  return [...people].map((one) => {
    const first = voices.find((voice) => voice.player === one.name);
    const { ears, eyes } = first?.held ?? catalogue.posture;
    const { body } = one;
    return {
      name: one.name,
      path: one.path,
      at: body.at,
      facing: body.facing,
      standing: body.standing,
      room: one.room,
      ears: inRoom(body, postureOf(ears, body.standing)),
      eyes: inRoom(body, postureOf(eyes, body.standing)),
      listener: one.listener,
      cue: cueOf(one.cue, catalogue.headphones),
    };
  });
}
