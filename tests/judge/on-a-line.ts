/** Two or more parts on a line in a free field, heard by omnidirectional mics: what reaches a mic goes with 1/r² alone. */

import type { Vec3 } from '../../src/geometry.ts';
import type { Mic, Part, Scene, Source } from '../../src/scene/scene.ts';
import { transfer } from '../../src/transfer/transfer.ts';
import { capsuleOf, micOf, pointSource, sceneOf } from '../build-scene.ts';

export type PlayedAt = Partial<Source> & { readonly at: number | Vec3 };
export type MicAt = Partial<Mic> & {
  readonly at: number | Vec3 | null;
  readonly for: readonly number[];
  readonly a?: number;
  readonly aim?: Vec3;
};

const UP_THE_PAGE: Vec3 = [0, 1, 0];
const place = (at: number | Vec3): Vec3 => (typeof at === 'number' ? [at, 0, 0] : at);

/** Sources by name; each is a part of its own unless `part` says which. A mic with `at: null` is a line. */
export function onALine(
  sources: Readonly<Record<string, PlayedAt>>,
  mics: Readonly<Record<string, MicAt>>,
  rest: Partial<Scene> = {},
): Scene {
  const played = Object.entries(sources).map(([name, { at, ...more }], i) =>
    pointSource(place(at), { part: i, name, ...more }),
  );
  const standing = Object.entries(mics).filter(([, { at }]) => at !== null);
  const capsules = standing.map(([name, { at, a = 1, aim = UP_THE_PAGE }]) =>
    capsuleOf(place(at ?? 0), aim, { name, a, mic: Object.keys(mics).indexOf(name) }),
  );
  return sceneOf({
    sources: played,
    capsules,
    parts: partsOf(played),
    mics: Object.entries(mics).map(([name, { at, for: wanted, a: _a, aim: _aim, ...more }]) =>
      micOf(name, at === null ? [] : [standing.findIndex(([one]) => one === name)], wanted, {
        line: at === null,
        ...more,
      }),
    ),
    ...rest,
  });
}

function partsOf(sources: readonly Source[]): Part[] {
  const count = Math.max(...sources.map(({ part }) => part)) + 1;
  return Array.from({ length: count }, (_, part) => {
    const members = sources.flatMap((source, i) => (source.part === part ? [i] : []));
    const first = sources[members[0] ?? 0];
    return {
      name: first?.kit ?? first?.name ?? '',
      path: [],
      sources: members,
      later: 'rebalance',
    };
  });
}

/** The scene with one part wanted for something else later. */
export function later(scene: Scene, name: string, wish: Part['later']): Scene {
  return {
    ...scene,
    parts: scene.parts.map((part) => (part.name === name ? { ...part, later: wish } : part)),
  };
}

export const computed = (scene: Scene) => [scene, transfer(scene)] as const;
