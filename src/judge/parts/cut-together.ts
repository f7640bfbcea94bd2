/** Which parts hang together: whose takes cannot be cut one without the other. */
import type { Transfer } from '../../acoustics/transfer.ts';
import type { Scene } from '../../scene/scene.ts';
import { type Tie, tiesOf } from './tie.ts';

export type CutGroup = {
  /** Parts that hang together, in the order of the scene. */
  readonly parts: readonly string[];
  /** Mics and lines for them. */
  readonly mics: readonly string[];
  /** What binds them, strongest first. */
  readonly ties: readonly Tie[];
  /** "cut drums, piano and bass together"; of many, where nobody is left out, "cut all 8 parts together". */
  readonly sentence: string;
};

export type CutTogether = {
  readonly groups: readonly CutGroup[];
  /** Parts with mics of their own that hang on nobody. */
  readonly free: readonly string[];
  /** Mics for everyone and for the room: a cut in one of them is a cut for all. */
  readonly everyone: readonly string[];
  /** All of it as one line. */
  readonly sentence: string;
};

/** Parts are tied by the mics for parts alone; what those for everyone hear would tie all to all. */
export function cutTogether(scene: Scene, result: Transfer): CutTogether {
  const ties = tiesOf(scene, result);
  const whole = components(scene, ties);
  const groups = whole.filter((parts) => parts.length > 1).map((parts) => groupOf(scene, parts, ties));
  const free = whole.flatMap(([one, ...more]) =>
    one !== undefined && more.length === 0 && micsOf(scene, [one]).length > 0 ? [nameOf(scene, one)] : [],
  );
  const everyone = scene.mics.filter(({ purpose }) => purpose !== 'parts').map(({ name }) => name);
  return { groups, free, everyone, sentence: sentenceOf(groups, free, everyone) };
}

/** So many are named even where they are everyone. */
const FEW = 4;

function groupOf(scene: Scene, parts: readonly number[], ties: readonly Tie[]): CutGroup {
  const names = parts.map((part) => nameOf(scene, part));
  const isEveryone = names.length > FEW && names.length === scene.parts.length;
  return {
    parts: names,
    mics: micsOf(scene, parts),
    ties: ties.filter(({ between }) => names.includes(between[0])),
    sentence: `cut ${isEveryone ? `all ${names.length} parts` : listed(names)} together`,
  };
}

/** Parts by number, each with all that it hangs on directly or by way of others. */
function components(scene: Scene, ties: readonly Tie[]): number[][] {
  const group = scene.parts.map((_, part) => part);
  const numberOf = (name: string) => scene.parts.findIndex((part) => part.name === name);
  for (const { between } of ties) {
    const [one, other] = between.map((name) => group[numberOf(name)]);
    group.forEach((own, part) => {
      if (own === other && one !== undefined) group[part] = one;
    });
  }
  return [...new Set(group)].map((own) => group.flatMap((one, part) => (one === own ? [part] : [])));
}

function micsOf(scene: Scene, parts: readonly number[]): string[] {
  const isTheirs = (source: number) => parts.includes(scene.sources[source]?.part ?? -1);
  return scene.mics
    .filter(({ purpose, wanted }) => purpose === 'parts' && wanted.some(isTheirs))
    .map(({ name }) => name);
}

function sentenceOf(
  groups: readonly CutGroup[],
  free: readonly string[],
  everyone: readonly string[],
): string {
  const alone = free.length === 0 ? [] : [`${listed(free)} ${free.length === 1 ? 'is' : 'are'} free`];
  const hears = everyone.length === 1 ? 'hears' : 'hear';
  const all =
    everyone.length === 0 ? [] : [`${listed(everyone)} ${hears} everyone: a cut there is a cut for all`];
  return [...groups.map(({ sentence }) => sentence), ...alone, ...all].join('; ');
}

/** "a, b and c". */
function listed(names: readonly string[]): string {
  const last = names.at(-1) ?? '';
  return names.length < 2 ? last : `${names.slice(0, -1).join(', ')} and ${last}`;
}

const nameOf = (scene: Scene, part: number): string => scene.parts[part]?.name ?? '';
