/** Where each microphone looks, so that whoever sets its stand can see it. */
import type { MicEntry } from '../../plan/plan-mics.ts';
import type { Capsule, Mic, Scene } from '../../scene/scene.ts';
import { add, bearingOf, scale, subtract, unit, type Vec3 } from '../../scene/vector.ts';
import { bearingWords, isSteep, tipWords, turnBetween } from './directions.ts';

/** A source further round than this is no mark to turn a microphone by, degrees. */
const IN_SIGHT = 60;

type Aimed = {
  readonly mic: Mic;
  readonly entry: MicEntry | undefined;
  readonly at: Vec3;
  readonly aim: Vec3;
};

/** "looks at tuba, tip it 48° down". `at` and `aim` are those of a capsule, or of a pair's middle. */
export function aimWords(scene: Scene, { mic, entry, at, aim }: Aimed): string {
  const tip = tipWords(aim);
  if (isSteep(aim)) return `looks ${tip}`;
  const whom = lookedAt(scene, mic, entry);
  const room = scene.rooms[scene.capsules[mic.capsules[0] ?? -1]?.room ?? -1];
  const bearing = bearingOf(aim);
  if (entry?.nullAt !== undefined) {
    return `null to ${entry.nullAt}: ${besideSource(scene, mic, at, bearing) ?? `looks to ${bearingWords(bearing, room)}`}, ${tip}`;
  }
  if (whom !== null) return `looks at ${whom}, ${tip}`;
  return `looks to ${bearingWords(bearing, room)}, ${tip}`;
}

/** A name where the microphone looks at one. */
function lookedAt(scene: Scene, mic: Mic, entry: MicEntry | undefined): string | null {
  if (entry?.aim) return 'target' in entry.aim ? entry.aim.target : null;
  if (mic.purpose !== 'parts') return 'the middle of all that plays';
  return scene.sources[mic.wanted[0] ?? -1]?.name ?? null;
}

/** "turned 20° left of tuba": by its own source, where that stands about ahead of it. */
function besideSource(scene: Scene, mic: Mic, at: Vec3, bearing: number): string | null {
  const source = scene.sources[mic.wanted[0] ?? -1];
  if (mic.purpose !== 'parts' || !source) return null;
  const turn = Math.round(turnBetween(bearingOf(subtract(middle(source.points), at)), bearing));
  if (Math.abs(turn) > IN_SIGHT) return null;
  return turn === 0
    ? `looks at ${source.name}`
    : `turned ${Math.abs(turn)}° ${turn < 0 ? 'left' : 'right'} of ${source.name}`;
}

/** Half way between two capsules, and the mean of their aims. */
export function pairMiddle(one: Capsule, other: Capsule): { readonly at: Vec3; readonly aim: Vec3 } {
  return { at: scale(add(one.at, other.at), 0.5), aim: unit(add(one.aim, other.aim)) };
}

export const middle = (points: readonly { readonly at: Vec3 }[]): Vec3 =>
  scale(
    points.reduce<Vec3>((sum, { at }) => add(sum, at), [0, 0, 0]),
    1 / Math.max(1, points.length),
  );
