/** Moving a player with all that is his: what he plays that has a place of its own, and the mics that stand for him. */
import { readQuantity } from '../plan/quantity.ts';
import type { Scene } from '../scene/scene.ts';
import type { Computed } from './bench-plan.ts';
import type { Edit } from './set-value.ts';
import { tapeOf } from './tape.ts';
import { nodeAt } from './written.ts';

/** A player, or something that stands by itself. */
export type Thing = {
  readonly name: string;
  readonly section: 'players' | 'sources';
  readonly at: readonly [number, number];
  readonly room: number;
  /** Degrees. */
  readonly facing: number;
};

/** Whoever and whatever is in focus and may be moved. */
export function movable({ plan, scene }: Computed, sounding: ReadonlySet<string>): Thing[] {
  const players = scene.players.flatMap(({ name, at, room, facing }, i): Thing[] => {
    const entry = plan.players.get(name);
    const plays = scene.sources.some(({ player, path }) => player === i && path[0] === 'players');
    return entry && !entry.fixed && plays
      ? [{ name, section: 'players', at: [at[0], at[1]], room, facing }]
      : [];
  });
  const alone = [...plan.sources].flatMap(([name, { at, fixed }]): Thing[] => {
    const source = scene.sources.find((one) => one.name === name);
    const [point] = source?.points ?? [];
    if (fixed || !point) return [];
    const facing = (Math.atan2(point.axis[0], point.axis[1]) * 180) / Math.PI;
    return [{ name, section: 'sources', at: [at.x, at.y], room: point.room, facing: (facing + 360) % 360 }];
  });
  return [...players, ...alone].filter(({ name }) => sounding.has(name));
}

export function carriedBy(base: Computed, thing: Thing, by: readonly [number, number]): Edit[] {
  const mics = ownMicNames(base.scene, thing).filter((name) => !base.plan.mics.get(name)?.fixed);
  const plays = nodeAt(base.tree, [thing.section, thing.name, 'plays']);
  const played = plays?.kind === 'map' ? [...plays.entries.keys()] : [];
  const paths = [
    [thing.section, thing.name, 'at'],
    ...played.map((name) => [thing.section, thing.name, 'plays', name, 'at']),
    ...mics.map((name) => ['mics', name, 'at']),
  ];
  return paths.flatMap((path) => shifted(base, path, by) ?? []);
}

/** Names of the mics for nobody else. */
export function ownMicNames(scene: Scene, { name, section }: Thing): string[] {
  const own = (source: number) => {
    const one = scene.sources[source];
    if (one?.path[0] !== section) return false;
    return section === 'sources' ? one.name === name : one.path[1] === name;
  };
  return scene.mics
    .filter(({ purpose, line, wanted }) => purpose === 'parts' && !line && wanted.every(own))
    .map((mic) => mic.name);
}

function shifted({ tree }: Computed, path: readonly string[], by: readonly [number, number]): Edit[] | null {
  const [x, y] = [0, 1].map((i) => placed(tree, [...path, i]));
  if (x === null || y === null || x === undefined || y === undefined) return null;
  return [x + by[0], y + by[1]].map((value, i) => ({
    path: [...path, i],
    value: tapeOf(tree).place(value),
  }));
}

/** A length as written, in metres; null where it is written in a way that only the plan's reader knows. */
function placed(tree: Computed['tree'], path: readonly (string | number)[]): number | null {
  const node = nodeAt(tree, path);
  return node?.kind === 'scalar' ? lengthOf(node) : null;
}

function lengthOf(node: Extract<NonNullable<ReturnType<typeof nodeAt>>, { kind: 'scalar' }>): number | null {
  const read = readQuantity(node, 'length', { min: -1e6, max: 1e6 });
  return read.ok ? read.value : null;
}
