/** Everything that sounds: voices as sources of the scene, grouped in parts. */
import { strictest } from './later.ts';
import { unknownName } from './lookup.ts';
import { fault } from './notes.ts';
import type { Someone } from './people.ts';
import { playedVoices } from './played.ts';
import type { Part, Source } from './scene.ts';
import type { Setting } from './setting.ts';
import { standingVoice } from './standing-source.ts';
import { distance } from './vector.ts';
import { middleOf, toSource, type Voice } from './voice.ts';

/** All voices in the order of the plan: players first, then what stands by itself. */
export function voicesOf(people: ReadonlyMap<string, Someone>, setting: Setting): Voice[] {
  const { plan, notes } = setting;
  const played = [...plan.players].flatMap(([name, player]) => {
    const who = people.get(name);
    return who ? playedVoices(player, who, setting) : [];
  });
  const standing = [...plan.sources].flatMap(([name, entry]) => standingVoice(name, entry, setting) ?? []);
  for (const [name, { player }] of plan.sources) {
    if (player && 'name' in player && !plan.players.has(player.name)) {
      unknownName(plan.players.keys(), player.name, 'player', { path: ['sources', name, 'player'], notes });
    }
  }
  const voices = [...played, ...standing];
  refuseUnknownRepeats(voices, setting);
  refuseSameCentre(voices, setting);
  return voices.map((voice) => repeatedPart(voice, voices));
}

/** A wedge that repeats a source belongs to that source's part. */
function repeatedPart(voice: Voice, voices: readonly Voice[]): Voice {
  if (!voice.repeats) return voice;
  const original = voices.find((one) => one.name === voice.partName || one.kit === voice.partName);
  return original ? { ...voice, partName: original.partName } : voice;
}

function refuseUnknownRepeats(voices: readonly Voice[], { notes }: Setting): void {
  for (const voice of voices.filter(({ repeats }) => repeats)) {
    const others = voices
      .filter((one) => one !== voice && !one.repeats)
      .flatMap(({ name, kit, partName }) => [name, kit ?? name, partName]);
    if (!others.includes(voice.partName)) {
      unknownName(new Set(others), voice.partName, 'source to repeat', {
        path: [...voice.path, 'repeats'],
        notes,
      });
    }
  }
}

/** Two acoustic centres in one point: no two things fit there. */
function refuseSameCentre(voices: readonly Voice[], { notes }: Setting): void {
  const centres = voices.map(({ points }) => (points.length > 0 ? middleOf(points) : null));
  voices.forEach((voice, i) => {
    const centre = centres[i];
    const other = voices.find((_, j) => {
      const one = centres[j];
      return j < i && one && centre && distance(one, centre) < 0.01;
    });
    if (other)
      fault(
        notes,
        'BAD_PLACE',
        [...voice.path, 'at'],
        `${voice.name} is in the same point as ${other.name}`,
        'move one of them',
      );
  });
}

/** Sources and parts of the scene; `players` are the scene's players by name. */
export function sourcesOf(
  voices: readonly Voice[],
  players: readonly string[],
): { sources: Source[]; parts: Part[] } {
  const names = [...new Set(voices.map(({ partName }) => partName))];
  const sources = voices.map((voice) => {
    const player = voice.player === null ? -1 : players.indexOf(voice.player);
    return toSource(voice, player < 0 ? null : player, names.indexOf(voice.partName));
  });
  const parts = names.map((name): Part => {
    const members = voices.flatMap((voice, i) => (voice.partName === name ? [i] : []));
    const first = voices[members[0] ?? 0] as Voice;
    const { later } = strictest(members.map((i) => voices[i]?.later ?? 'rebalance'));
    return { name, path: first.path, sources: members, later };
  });
  return { sources, parts };
}
