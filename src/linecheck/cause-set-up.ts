/** Doors that stand otherwise than the plan says, baffles that are not there, and one more than it has. */
import type { PlanData } from '../plan/plan.ts';
import type { BaffleEntry, LeafEntry, PartitionEntry } from '../plan/plan-rooms.ts';
import type { Scene } from '../scene/scene.ts';
import type { Vec2 } from '../scene/vector.ts';
import { middleOf } from '../scene/voice.ts';
import type { Cause, How, Tried } from './cause.ts';
import type { Plain } from './plain-scene.ts';
import { predictScene } from './predict.ts';

/** A plan, and how to make a scene of one that was changed; null where that is none. */
export type SetUp = { readonly plan: PlanData; readonly resolve: (plan: PlanData) => Scene | null };

export function* otherSetUps(plain: Plain, setUp: SetUp): Generator<Tried> {
  for (const { cause, plan } of [
    ...otherDoors(setUp.plan),
    ...missing(setUp.plan),
    ...extra(plain.scene, setUp.plan),
  ]) {
    const scene = setUp.resolve(plan);
    // readings go by the numbers of sources and capsules, which doors and baffles do not change
    if (scene) yield { cause, predicted: predictScene(scene, plain.readings) };
  }
}

type Changed = { readonly cause: Cause; readonly plan: PlanData };

const STATES = ['closed', 'ajar', 'open'] as const;

function otherDoors(plan: PlanData): Changed[] {
  return [...plan.partitions].flatMap(([name, partition]) =>
    (['doors', 'windows'] as const).flatMap((list) =>
      partition[list].flatMap((leaf, i) => {
        const one = list === 'doors' ? 'door' : 'window';
        const about = [partition[list].length > 1 ? `${name}, ${one} ${i + 1}` : `${name}, ${one}`];
        return STATES.filter((state) => state !== leaf.state && (state === 'open' || leaf.made)).map(
          (state) => ({
            cause: { kind: 'door' as const, about, how: { state } satisfies How },
            plan: {
              ...plan,
              partitions: withLeaf(plan, name, partition, { list, i, leaf: { ...leaf, state } }),
            },
          }),
        );
      }),
    ),
  );
}

type LeafAt = { readonly list: 'doors' | 'windows'; readonly i: number; readonly leaf: LeafEntry };

function withLeaf(plan: PlanData, name: string, partition: PartitionEntry, { list, i, leaf }: LeafAt) {
  const leaves = partition[list].map((one, k) => (k === i ? leaf : one));
  return new Map([...plan.partitions, [name, { ...partition, [list]: leaves }]]);
}

function missing(plan: PlanData): Changed[] {
  return [...plan.baffles.keys()].map((name) => ({
    cause: { kind: 'baffle-missing', about: [name], how: null },
    plan: { ...plan, baffles: new Map([...plan.baffles].filter(([other]) => other !== name)) },
  }));
}

/** A name that no plan can give: it holds a dot. */
const EXTRA = 'one.more';

/** One of the kinds on hand or in the plan, half way between any two who play in one room, square to the line of both. */
function extra(scene: Scene, plan: PlanData): Changed[] {
  const places = standing(scene);
  const between = places.flatMap((a, i) =>
    places.slice(i + 1).flatMap((b) => (a.room === b.room ? [[a, b] as const] : [])),
  );
  return kindsOf(plan).flatMap((kind) =>
    between.map(([a, b]) => ({
      cause: { kind: 'baffle-extra' as const, about: [a.name, b.name], how: null },
      plan: { ...plan, baffles: new Map([...plan.baffles, [EXTRA, across(kind, a.at, b.at)]]) },
    })),
  );
}

type Standing = { readonly name: string; readonly at: Vec2; readonly room: number };

function standing({ players, sources }: Scene): Standing[] {
  const playing = players.flatMap(({ name, at, room }, i) =>
    sources.some(({ player, path }) => player === i && path[0] !== 'sources')
      ? [{ name, at: [at[0], at[1]] as const, room }]
      : [],
  );
  const alone = sources.flatMap(({ name, path, points }) => {
    const [x, y] = middleOf(points);
    return path[0] === 'sources' && points[0] ? [{ name, at: [x, y] as const, room: points[0].room }] : [];
  });
  return [...playing, ...alone];
}

type Kind = Pick<BaffleEntry, 'madeOf' | 'height' | 'gap'> & { readonly width: number };

/** Without repeats: a stack of ten alike is one kind. */
function kindsOf({ onHand, baffles }: PlanData): Kind[] {
  const stacked = onHand.baffles.map(({ madeOf, width, height }) => ({ madeOf, width, height, gap: 0 }));
  const placed = [...baffles.values()].map(({ madeOf, height, gap, from, to }) => ({
    madeOf,
    height,
    gap,
    width: Math.hypot(to[0] - from[0], to[1] - from[1]),
  }));
  return [...new Map([...stacked, ...placed].map((kind) => [JSON.stringify(kind), kind])).values()];
}

function across({ width, ...made }: Kind, a: Vec2, b: Vec2): BaffleEntry {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const far = Math.max(1e-6, Math.hypot(dx, dy));
  const [ex, ey] = [((-dy / far) * width) / 2, ((dx / far) * width) / 2];
  const [x, y] = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  return { ...made, from: [x - ex, y - ey], to: [x + ex, y + ey], fixed: false };
}
