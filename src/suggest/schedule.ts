/** The plan for a morning: fixes in the order in which one makes them, who does what, how every limit stands after each, what to bring. */
import type { Finding } from '../finding.ts';
import { distance, midpoint, span, type Vec2 } from '../geometry.ts';
import { type CriterionKind, keyOf } from '../judge/criteria.ts';
import { safetyCautions } from '../judge/exposure.ts';
import { cueList, lacksHeadphones } from '../judge/hearing.ts';
import { type Judgement, judgement } from '../judge/judge.ts';
import type { Capsule, Mic, Scene, Wearing } from '../scene/scene.ts';
import { loadsOf } from './carrying.ts';
import { lossesBetween, type Regression } from './compare.ts';
import { baselineOf, type Computed, evaluatorOf, firstBaseline } from './evaluate.ts';
import { FIX_KINDS, type Fix, isAskedOfPeople } from './fixes.ts';
import { type Minutes, minutesOf } from './search.ts';

export type ScheduleStep = {
  readonly words: string;
  /** Who of the plan takes part; the engineer is left out. */
  readonly who: readonly string[];
  /** People to carry; 0 where nothing is carried. */
  readonly carriers: number;
  readonly minutes: number;
  /** From the start to its end. */
  readonly until: number;
};

/** A limit as it is, and after each step: margins, dB. */
export type LimitCourse = {
  readonly kind: CriterionKind;
  readonly about: readonly string[];
  readonly margins: readonly number[];
};

export type Schedule = {
  readonly steps: readonly ScheduleStep[];
  readonly limits: readonly LimitCourse[];
  /** Limits missed as it is, and after each step. */
  readonly missed: readonly number[];
  readonly costs: readonly Regression[];
  readonly bring: Bring;
  /** What to mind with what stands then. */
  readonly cautions: readonly Finding[];
};

/** Null where the fixes cannot be made one after another. */
export function scheduleOf(base: Computed, fixes: readonly Fix[], minutes: Minutes): Schedule | null {
  const inOrder = [...fixes].sort((a, b) => FIX_KINDS.indexOf(a.kind) - FIX_KINDS.indexOf(b.kind));
  const made = madeInTurn(base, inOrder, minutes) ?? madeInTurn(base, fixes, minutes);
  if (!made) return null;
  const { allowances, margins: first } = firstBaseline(evaluatorOf(base));
  const courses = [first, ...made.plans.map((plan) => baselineOf(evaluatorOf(plan), allowances).margins)];
  const last = made.plans.at(-1) ?? base;
  const [before, after] = [base, last].map(({ scene, result }) => judgement(scene, result)) as [
    Judgement,
    Judgement,
  ];
  return {
    steps: made.steps,
    limits: first.rows.map((row) => ({
      kind: row.kind,
      about: row.about,
      margins: courses.map(({ rows }) => rows.find((one) => keyOf(one) === keyOf(row))?.margin ?? row.margin),
    })),
    missed: courses.map(({ rows }) => rows.filter(({ margin }) => margin < 0).length),
    costs: lossesBetween(base.tree, before, after),
    bring: bringFor(last.scene, after),
    cautions: safetyCautions(last.scene),
  };
}

function madeInTurn(
  base: Computed,
  fixes: readonly Fix[],
  minutes: Minutes,
): { readonly steps: ScheduleStep[]; readonly plans: Computed[] } | null {
  const steps: ScheduleStep[] = [];
  const plans: Computed[] = [];
  let now = base;
  let until = 0;
  for (const fix of fixes) {
    const next = evaluatorOf(now).commit(fix.edits);
    if ('faults' in next) return null;
    const { loads } = loadsOf(now, next.scene);
    const own = minutesOf([fix], minutes);
    until += own;
    const people = now.scene.players.map(({ name }) => name);
    steps.push({
      words: fix.say(now.scene, next.scene),
      who: isAskedOfPeople(fix.kind) ? fix.about.filter((name) => people.includes(name)) : [],
      carriers: Math.max(0, ...loads.map((load) => load.people)),
      minutes: own,
      until,
    });
    plans.push(next);
    now = next;
  }
  return { steps, plans };
}

// What to bring for the plan as it is at the end.

export type Bring = {
  /** Mic stands by what holds the mic: a low one, one with a boom, a tall one with a boom; and bars for pairs in one place. */
  readonly stands: Readonly<Record<'low' | 'boom' | 'tall', number>>;
  readonly bars: number;
  /** Direct boxes. */
  readonly boxes: number;
  readonly baffles: readonly { readonly width: number; readonly height: number; readonly count: number }[];
  /** By what is worn; `needed` is who wears none in the plan and needs some. */
  readonly headphones: readonly { readonly wearing: Wearing | 'needed'; readonly count: number }[];
  /** From mic to stage box, longest first, m. */
  readonly cables: readonly { readonly length: number; readonly count: number }[];
};

/** Heights up to which a stand is low, and from which it is tall, m above the floor. Common practice, no source. */
const [LOW, TALL] = [0.6, 1.9];
/** Capsules no further apart share a stand, m: a stereo bar. Common practice, no source. */
const BAR = 0.4;
/** Lengths that cables come in, m. Common practice, no source. */
const LENGTHS = [3, 5, 10, 15, 20, 30, 50, 75, 100];
/** Of a cable at its stand and its box, m. Common practice, no source. */
const SPARE = 2;

function bringFor(scene: Scene, { hearing }: Judgement): Bring {
  const stands = scene.mics.flatMap((mic) => standsOf(scene, mic));
  const kindOf = ({ at, room }: Capsule): keyof Bring['stands'] => {
    const height = at[2] - (scene.rooms[room]?.floor ?? 0);
    return height < LOW ? 'low' : height < TALL ? 'boom' : 'tall';
  };
  const heights = stands.map(kindOf);
  const count = (kind: keyof Bring['stands']) => heights.filter((one) => one === kind).length;
  const baffles = scene.panels.filter(({ booth }) => booth === null);
  const needed = cueList(scene, hearing).filter(lacksHeadphones);
  const worn = scene.players.flatMap(({ cue }) => (cue.wearing === 'none' ? [] : [cue.wearing]));
  return {
    stands: { low: count('low'), boom: count('boom'), tall: count('tall') },
    bars: scene.mics.filter((mic) => mic.capsules.length > 1 && standsOf(scene, mic).length === 1).length,
    boxes: scene.mics.filter(({ line }) => line).length,
    baffles: counts(
      baffles.map(({ a, b, low, high }) => ({ width: tenth(span(a, b)), height: tenth(high - low) })),
    ),
    headphones: counts([...worn, ...needed.map(() => 'needed' as const)].map((wearing) => ({ wearing }))),
    cables: counts(scene.capsules.map((capsule) => ({ length: cableOf(scene, capsule) }))).sort(
      (a, b) => b.length - a.length,
    ),
  };
}

const tenth = (metres: number): number => Math.round(metres * 10) / 10;

/** One for each mic, two for a pair that is apart. */
function standsOf({ capsules }: Scene, { capsules: own }: Mic): Capsule[] {
  const [one, other] = own.map((index) => capsules[index]);
  if (!one) return [];
  return other && distance(one.at, other.at) > BAR ? [one, other] : [one];
}

function counts<T extends object>(all: readonly T[]): (T & { readonly count: number })[] {
  const found = new Map<string, { one: T; count: number }>();
  for (const one of all) {
    const key = JSON.stringify(one);
    found.set(key, { one, count: (found.get(key)?.count ?? 0) + 1 });
  }
  return [...found.values()].map(({ one, count }) => ({ ...one, count }));
}

/** To a box at the first door of the room, else in the middle of its first wall: square to the walls, up and down the stand. */
function cableOf(scene: Scene, { at, room }: Capsule): number {
  const [x, y] = boxOf(scene, room);
  const rise = at[2] - (scene.rooms[room]?.floor ?? 0);
  const length = Math.abs(at[0] - x) + Math.abs(at[1] - y) + rise + SPARE;
  return LENGTHS.find((one) => one >= length) ?? Math.ceil(length / 50) * 50;
}

function boxOf({ partitions, rooms, capsules }: Scene, room: number): Vec2 {
  const doors = partitions
    .filter((partition) => partition.rooms.includes(room))
    .flatMap(({ elements }) => elements.filter(({ kind }) => kind === 'door'));
  const [door] = doors;
  if (door) return midpoint(door.a, door.b);
  const [a, b] = rooms[room]?.outline ?? [];
  const [first] = capsules;
  return a && b ? midpoint(a, b) : first ? [first.at[0], first.at[1]] : [0, 0];
}
