/** The 3:1 rule: mics for different sources at least three times as far from each other as from their sources. */
import { NEAREST } from '../acoustics/directivity.ts';
import { distance } from '../geometry.ts';
import type { Capsule, Mic, Scene } from '../scene/scene.ts';
import { type Verdict, verdictOf } from './verdict.ts';

export type SpacingRow = {
  readonly mics: readonly [string, string];
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
  scene.capsules.forEach((one, i) => {
    for (const other of scene.capsules.slice(i + 1)) {
      if (ruled(scene, one, other)) rows.push(spacing(scene, one, other));
    }
  });
  return rows.sort((a, b) => a.margin - b.margin);
}

/** Left out: capsules of one pair, mics for one player or kit, `all` and `room` mics, mics in different rooms. */
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

function spacing(scene: Scene, one: Capsule, other: Capsule): SpacingRow {
  const micToMic = distance(one.at, other.at);
  const micToSource = Math.max(toOwnSource(scene, one), toOwnSource(scene, other), NEAREST);
  const ratio = micToMic / micToSource;
  const limit = scene.limits.threeToOne;
  const margin = 20 * Math.log10(Math.max(ratio, 1e-6) / (limit ?? USUAL_RATIO));
  return {
    mics: [one.name, other.name],
    ratio,
    micToMic,
    micToSource,
    margin,
    verdict: limit === null ? null : verdictOf(margin),
  };
}

/** Distance to the nearest of its own sources' points. */
function toOwnSource(scene: Scene, capsule: Capsule): number {
  const own = scene.mics[capsule.mic]?.wanted ?? [];
  const points = own.flatMap((index) => scene.sources[index]?.points ?? []);
  return Math.min(...points.map((point) => distance(point.at, capsule.at)));
}
