/** The 3:1 rule: mics for different sources at least three times as far from each other as from their sources. */
import { NEAREST } from '../acoustics/directivity.ts';
import { distance } from '../geometry.ts';
import type { Capsule, Mic, Scene } from '../scene/scene.ts';
import { type Verdict, verdictOf } from './verdict.ts';

export type SpacingRow = {
  readonly mics: readonly [string, string];
  /** The passage it is judged in, of those in which both are in use the worst; null where the plan has none. */
  readonly passage: string | null;
  readonly ratio: number;
  readonly micToMic: number;
  readonly micToSource: number;
  readonly margin: number;
  /** Null where the plan does not have the rule judged. */
  readonly verdict: Verdict | null;
};

/** Common practice, no source; the arithmetic is 20·lg 3 = 9.54 dB. */
const USUAL_RATIO = 3;

/** Every unordered pair of capsules that the rule applies to, smallest margin first. */
export function spacings(scene: Scene): SpacingRow[] {
  const rows: SpacingRow[] = [];
  const placed = scene.capsules.map((capsule) => ({ capsule, toOwn: toOwnSource(scene, capsule) }));
  placed.forEach((one, i) => {
    for (const other of placed.slice(i + 1)) {
      if (ruled(scene, one.capsule, other.capsule)) rows.push(...spacing(scene, one, other));
    }
  });
  return rows.sort((a, b) => a.margin - b.margin);
}

/**
 * Left out: capsules of one pair, mics for one player or kit, `all` and `room` mics, mics in different rooms. So are mics whose
 * own sources never sound together, as one of them is muted then.
 */
function ruled(scene: Scene, one: Capsule, other: Capsule): boolean {
  if (one.mic === other.mic || one.room !== other.room) return false;
  const mics = [scene.mics[one.mic], scene.mics[other.mic]] as const;
  if (mics.some((mic) => mic?.purpose !== 'parts')) return false;
  const [a, b] = mics.map((mic) => ownersOf(scene, mic as Mic));
  return !a?.some((owner) => b?.includes(owner));
}

/** Players, kits and sources a mic is for, as words that two mics can share. */
function ownersOf(scene: Scene, mic: Mic): string[] {
  return mic.wanted.flatMap((index) => {
    const source = scene.sources[index];
    if (!source) return [];
    const player = source.player === null ? [] : [`player ${source.player}`];
    return [`source ${index}`, `part ${source.part}`, ...player];
  });
}

type Placed = { readonly capsule: Capsule; readonly toOwn: readonly (number | null)[] };

/** None where they are never in use together. */
function spacing(scene: Scene, one: Placed, other: Placed): SpacingRow[] {
  const together = scene.passages.flatMap(({ name }, i) => {
    const [near, far] = [one.toOwn[i] ?? null, other.toOwn[i] ?? null];
    return near === null || far === null ? [] : [{ name, micToSource: Math.max(near, far, NEAREST) }];
  });
  const [first, ...rest] = together;
  if (!first) return [];
  const { name, micToSource } = rest.reduce((a, b) => (b.micToSource > a.micToSource ? b : a), first);
  const micToMic = distance(one.capsule.at, other.capsule.at);
  const ratio = micToMic / micToSource;
  const limit = scene.limits.threeToOne;
  const margin = 20 * Math.log10(Math.max(ratio, 1e-6) / (limit ?? USUAL_RATIO));
  return [
    {
      mics: [one.capsule.name, other.capsule.name],
      passage: name,
      ratio,
      micToMic,
      micToSource,
      margin,
      verdict: limit === null ? null : verdictOf(margin),
    },
  ];
}

/** By passage, the distance to the nearest point of its own sources that sound in it; null where none does. */
function toOwnSource(scene: Scene, capsule: Capsule): (number | null)[] {
  const own = scene.mics[capsule.mic]?.wanted ?? [];
  return scene.passages.map(({ sounds }) => {
    const sounding = own.filter((index) => sounds[index]);
    const points = sounding.flatMap((index) => scene.sources[index]?.points ?? []);
    return sounding.length === 0 ? null : Math.min(...points.map(({ at }) => distance(at, capsule.at)));
  });
}
