/** Faults planted into a plan, not by the code that looks for them: what the day is like, and what should be named. */

import { bearingOf, holds, rotateAbout, tiltOf, unit } from '../../src/geometry.ts';
import type { CauseKind } from '../../src/line-check/diagnose.ts';
import type { MicEntry } from '../../src/plan/mics.ts';
import type { PlanData } from '../../src/plan/plan.ts';
import type { Scene } from '../../src/scene/scene.ts';

export type Planted = {
  readonly kind: CauseKind;
  readonly about: readonly string[];
  /** The day as a plan, where the fault is one of the set-up. */
  readonly plan: PlanData;
  /** Columns whose readings change places, or a reading that is off by so much. */
  readonly swap?: readonly [string, string];
  readonly off?: { readonly row: string; readonly column: string; readonly by: number };
};

/** Numbers from 0 to below 1. */
type Chance = () => number;

const pick = <T>(list: readonly T[], chance: Chance): T => list[Math.floor(chance() * list.length)] as T;
const between = (low: number, high: number, chance: Chance): number => low + (high - low) * chance();
const withMic = (plan: PlanData, name: string, entry: MicEntry): PlanData => ({
  ...plan,
  mics: new Map([...plan.mics, [name, entry]]),
});

const A: Readonly<Record<string, number>> = {
  omni: 1,
  'wide-cardioid': 0.7,
  cardioid: 0.5,
  supercardioid: 0.366,
  hypercardioid: 0.25,
  'figure-8': 0,
};
const patternOf = (entry: MicEntry): string =>
  entry.pattern && 'name' in entry.pattern ? entry.pattern.name : 'cardioid';
/** Patterns nearer to each other than this in A differ by about a decibel in a room: no reading of 1 dB shows it. */
const UNLIKE = 0.3;
const unlike = (a: string, b: string): boolean => Math.abs((A[a] ?? 0) - (A[b] ?? 0)) >= UNLIKE;

export const PLANTERS: Readonly<
  Record<CauseKind, (plan: PlanData, scene: Scene, chance: Chance) => Planted>
> = {
  pattern: (plan, _scene, chance) => {
    const [name, entry] = pick([...plan.mics], chance);
    const other = pick(
      Object.keys(A).filter((one) => unlike(one, patternOf(entry))),
      chance,
    );
    return {
      kind: 'pattern',
      about: [name],
      plan: withMic(plan, name, { ...entry, pattern: { name: other } }),
    };
  },
  aim: (plan, scene, chance) => {
    const directional = [...plan.mics].filter(([, entry]) => patternOf(entry) !== 'omni');
    const [name, entry] = pick(directional, chance);
    const capsules = scene.capsules.filter(({ mic }) => scene.mics[mic]?.name === name);
    const aim = capsules.reduce<[number, number, number]>(
      (s, c) => [s[0] + c.aim[0], s[1] + c.aim[1], s[2] + c.aim[2]],
      [0, 0, 0],
    );
    const [x, y, z] = unit(aim);
    // any axis square to the aim, and a turn about it
    const level = unit(Math.hypot(x, y) > 1e-6 ? [y, -x, 0] : [1, 0, 0]);
    const axis = rotateAbout(level, [x, y, z], 360 * chance());
    const turned = rotateAbout([x, y, z], axis, between(60, 180, chance));
    const day = withMic(plan, name, { ...entry, aim: { bearing: bearingOf(turned), tilt: tiltOf(turned) } });
    return { kind: 'aim', about: [name], plan: day };
  },
  mics: (plan, _scene, chance) => {
    const single = [...plan.mics].filter(([, entry]) => !entry.stereo);
    const pairs = single.flatMap((a, i) => single.slice(i + 1).map((b) => [a, b] as const));
    const [[a, first], [b, second]] = pick(
      pairs.filter(([x, y]) => unlike(patternOf(x[1]), patternOf(y[1]))),
      chance,
    );
    const half = withMic(plan, a, { ...first, pattern: { name: patternOf(second) } });
    return {
      kind: 'mics',
      about: [a, b],
      plan: withMic(half, b, { ...second, pattern: { name: patternOf(first) } }),
    };
  },
  channels: (plan, scene, chance) => {
    const names = scene.capsules.map(({ name }) => name);
    const i = Math.floor(chance() * (names.length - 1));
    const k = Math.floor(between(i + 1, names.length, chance));
    const about = [names[i] as string, names[k] as string] as const;
    return { kind: 'channels', about, plan, swap: about };
  },
  facing: (plan, scene, chance) => {
    const turning = scene.players.filter(({ name }) =>
      plan.players.get(name)?.plays.some((one) => one.instrument !== 'double-bass'),
    );
    const { name, facing } = pick(turning, chance);
    const bearing = (facing + between(90, 180, chance) * (chance() < 0.5 ? -1 : 1) + 720) % 360;
    const entry = plan.players.get(name);
    if (!entry) throw new Error(name);
    const players = new Map([...plan.players, [name, { ...entry, facing: { bearing } }]]);
    return { kind: 'facing', about: [name], plan: { ...plan, players } };
  },
  /** 0.3 to 1.5 m elsewhere: a mic, its aim kept, or a player, whose mics stay where they were or come along. */
  place: (plan, scene, chance) => {
    for (;;) {
      const turn = 2 * Math.PI * chance();
      const far = between(0.3, 1.5, chance);
      const step = [far * Math.cos(turn), far * Math.sin(turn)] as const;
      const moved =
        chance() < 0.5 ? movedMic(plan, scene, step, chance) : movedPlayer(plan, scene, step, chance);
      if (moved) return moved;
    }
  },
  door: (plan, _scene, chance) => {
    const [name, partition] = pick([...plan.partitions], chance);
    const state = pick(['ajar', 'open'] as const, chance);
    const doors = partition.doors.map((door) => ({ ...door, state }));
    const partitions = new Map([...plan.partitions, [name, { ...partition, doors }]]);
    return { kind: 'door', about: [`${name}, door`], plan: { ...plan, partitions } };
  },
  'baffle-missing': (plan, _scene, chance) => {
    const name = pick([...plan.baffles.keys()], chance);
    const baffles = new Map([...plan.baffles].filter(([other]) => other !== name));
    return { kind: 'baffle-missing', about: [name], plan: { ...plan, baffles } };
  },
  'baffle-extra': (plan, scene, chance) => {
    const spare = pick([...plan.baffles.values()], chance);
    const pairs = scene.players.flatMap((a, i) => scene.players.slice(i + 1).map((b) => [a, b] as const));
    const free = pairs.filter(([a, b]) =>
      [...plan.baffles.values()].every(({ from, to }) => !crosses(a.at, b.at, from, to)),
    );
    const [a, b] = pick(free, chance);
    const far = Math.hypot(b.at[0] - a.at[0], b.at[1] - a.at[1]);
    const [ux, uy] = [(b.at[0] - a.at[0]) / far, (b.at[1] - a.at[1]) / far];
    const along = far / 2 + between(-0.2, 0.2, chance);
    const [x, y] = [a.at[0] + ux * along, a.at[1] + uy * along];
    const half = Math.hypot(spare.to[0] - spare.from[0], spare.to[1] - spare.from[1]) / 2;
    const from = [x - uy * half, y + ux * half] as const;
    const to = [x + uy * half, y - ux * half] as const;
    const extra = { ...spare, from, to };
    return {
      kind: 'baffle-extra',
      about: [a.name, b.name],
      plan: { ...plan, baffles: new Map([...plan.baffles, ['extra', extra]]) },
    };
  },
  reading: (plan, scene, chance) => {
    const row = pick([...scene.players.map(({ name }) => name)], chance);
    // a mic's own source read too low is what a mic further away reads: that is named instead
    const isOwn = (mic: number) =>
      scene.mics[mic]?.purpose === 'parts' &&
      scene.mics[mic].wanted.some((i) => scene.players[scene.sources[i]?.player ?? -1]?.name === row);
    const column = pick(
      scene.capsules.filter(({ mic }) => !isOwn(mic)),
      chance,
    ).name;
    const by = between(8, 15, chance) * (chance() < 0.5 ? -1 : 1);
    return { kind: 'reading', about: [row, column], plan, off: { row, column, by } };
  },
};

type Step = readonly [number, number];

/** A mic where it stands, or by a step elsewhere, with the aim that it has. */
function fixedMic(plan: PlanData, scene: Scene, name: string, step: Step): PlanData {
  const own = scene.capsules.filter(({ mic }) => scene.mics[mic]?.name === name);
  const mean = (of: (one: (typeof own)[number]) => readonly [number, number, number]) =>
    [0, 1, 2].map((i) => own.reduce((sum, one) => sum + (of(one)[i] ?? 0), 0) / own.length) as [
      number,
      number,
      number,
    ];
  const [x, y, z] = mean(({ at }) => at);
  const aim = unit(mean((one) => one.aim));
  const { near: _, ...entry } = plan.mics.get(name) as MicEntry;
  const at = { x: x + step[0], y: y + step[1], z };
  return withMic(plan, name, { ...entry, at, aim: { bearing: bearingOf(aim), tilt: tiltOf(aim) } });
}

/** Null where it would stand in a wall or behind a baffle. */
function movedMic(plan: PlanData, scene: Scene, step: Step, chance: Chance): Planted | null {
  const name = pick([...plan.mics.keys()], chance);
  const [capsule] = scene.capsules.filter(({ mic }) => scene.mics[mic]?.name === name);
  if (!capsule || !isFree(plan, scene, capsule.room, capsule.at, step)) return null;
  return { kind: 'place', about: [name], plan: fixedMic(plan, scene, name, step) };
}

function movedPlayer(plan: PlanData, scene: Scene, step: Step, chance: Chance): Planted | null {
  const { name, at, room } = pick(scene.players, chance);
  const entry = plan.players.get(name);
  if (!entry?.at || !isFree(plan, scene, room, at, step)) return null;
  const players = new Map([
    ...plan.players,
    [name, { ...entry, at: [at[0] + step[0], at[1] + step[1]] as const }] as const,
  ]);
  const own = scene.mics.filter(
    ({ wanted, purpose }) =>
      purpose === 'parts' && wanted.some((i) => scene.players[scene.sources[i]?.player ?? -1]?.name === name),
  );
  const stay = chance() < 0.5 ? own : [];
  const left = stay.reduce((day, mic) => fixedMic(day, scene, mic.name, [0, 0]), plan);
  return { kind: 'place', about: [name], plan: { ...left, players } };
}

/** At least 0.4 m from each wall, and no baffle or wall on the way. */
function isFree(plan: PlanData, scene: Scene, room: number, [x, y]: Point, [dx, dy]: Step): boolean {
  const { outline } = scene.rooms[room] ?? { outline: [] };
  const to = [(x ?? 0) + dx, (y ?? 0) + dy] as const;
  const around = [0, 1, 2, 3].map(
    (i) => [to[0] + 0.4 * Math.cos((i * Math.PI) / 2), to[1] + 0.4 * Math.sin((i * Math.PI) / 2)] as const,
  );
  return (
    around.every(([px, py]) => holds(outline, px, py)) &&
    [...plan.baffles.values()].every(({ from, to: end }) => !crosses([x ?? 0, y ?? 0], to, from, end))
  );
}

type Point = readonly number[];
function crosses(a: Point, b: Point, c: Point, d: Point): boolean {
  const side = (p: Point, q: Point, r: Point) =>
    ((q[0] ?? 0) - (p[0] ?? 0)) * ((r[1] ?? 0) - (p[1] ?? 0)) -
    ((q[1] ?? 0) - (p[1] ?? 0)) * ((r[0] ?? 0) - (p[0] ?? 0));
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}
