/** Who goes where: players and what sounds by itself, by rooms and booths; every assignment, or a stated search among them. */
import * as geo from '../geometry.ts';
import type { LimitMargins } from '../judge/criteria.ts';
import { cueList, lacksHeadphones } from '../judge/hearing.ts';
import { type Judgement, judgement } from '../judge/judge.ts';
import { micsAsNamed } from '../judge/signal-to-bleed.ts';
import type { Edit } from '../plan/edit.ts';
import { lengthsIn } from '../plan/units.ts';
import type { Scene } from '../scene/scene.ts';
import { carriedOf, type Loads, loadsOf, widest, widthNeeded } from './carrying.ts';
import { lossesBetween, type Regression } from './compare.ts';
import {
  baselineOf,
  type Computed,
  editsMoving,
  evaluatorOf,
  firstBaseline,
  movable,
  type Thing,
} from './evaluate.ts';
import { type FixDraft, fixOf, MINUTES, placeWords } from './fixes.ts';
import { inPlaceOf, placesIn } from './fixes-people.ts';
import { ELBOW_ROOM, refusal } from './places.ts';

/** How far a plan meets its limits: how many are missed, and what mics are short of in signal to bleed, dB. */
export type Score = { readonly missed: number; readonly mics: number };

/** What becomes of one who goes to one room: how the plan stands then, or why not. */
export type RoomCell = Score | { readonly why: string } | null;

/** One who goes from room to room, and where to. */
export type RoomMove = {
  readonly name: string;
  readonly from: string;
  readonly to: string;
  readonly place: string;
};

export type Assignment = {
  readonly moves: readonly RoomMove[];
  readonly score: Score;
  readonly minutes: number;
  readonly edits: readonly Edit[];
};

/** An assignment with all that comes of it. */
export type AssignmentInFull = Assignment & {
  /** S/B of mics for parts, before and after, dB. */
  readonly mics: readonly {
    readonly name: string;
    readonly before: number | null;
    readonly after: number | null;
  }[];
  readonly ghosts: readonly {
    readonly part: string;
    readonly before: number | null;
    readonly after: number | null;
  }[];
  /** Who hears or sees whom no longer, or worse. */
  readonly lost: readonly Regression[];
  /** Who needs headphones then, and wears none. */
  readonly headphones: readonly string[];
  /** Mics open where loudspeakers play. */
  readonly openInControl: readonly string[];
  readonly loads: Loads['loads'];
};

export type RoomsTable = {
  readonly rooms: readonly { readonly name: string; readonly control: boolean }[];
  readonly asIs: Score;
  /** Everyone who can move, room by room; null where they are. */
  readonly single: readonly { readonly name: string; readonly cells: readonly RoomCell[] }[];
  /** Best first; those that leave the plan no better than it is are left out. */
  readonly best: readonly AssignmentInFull[];
  readonly possible: number;
  readonly tried: number;
  /** False where only single moves, exchanges and the best of them joined were tried. */
  readonly every: boolean;
};

/** Up to so many assignments are all tried. */
const ALL = 5000;
/** Beyond that, so many of the best are joined with so many of the best single moves and exchanges, as long as that helps. */
const [BEAM, POOL] = [12, 24];
const SHOWN = 5;

type Spot = { readonly at: geo.Vec2; readonly of: Thing | null };
/** `width` is that of the doors it needs, m. */
type Mover = Thing & { readonly rooms: readonly number[]; readonly width: number };

type Search = {
  readonly base: Computed;
  readonly evaluator: ReturnType<typeof evaluatorOf>;
  readonly first: ReturnType<typeof firstBaseline>;
  readonly movers: readonly Mover[];
  readonly free: ReadonlyMap<number, readonly geo.Vec2[]>;
  /** Where each may stand in a room as it is, best first; and why not, where there is no such place. */
  readonly good: Map<string, readonly geo.Vec2[]>;
  readonly why: Map<string, string>;
  tried: number;
};

/** Where each mover goes, by index of room; those who stay are left out. */
type Goes = ReadonlyMap<Mover, number>;

/** Null where the plan has one room or nobody who can go. It pauses at each plan computed, and gives how many there were. */
export function* assigning(base: Computed): Generator<number, RoomsTable | null> {
  const { scene } = base;
  const movers = moversOf(base);
  if (scene.rooms.length < 2 || movers.every(({ rooms }) => rooms.length === 0)) return null;
  const evaluator = evaluatorOf(base);
  const first = firstBaseline(evaluator);
  const free = new Map(scene.rooms.map((room, i) => [i, placesIn(scene, room, i)]));
  const search: Search = { base, evaluator, first, movers, free, good: new Map(), why: new Map(), tried: 0 };
  const possible = movers.reduce((count, { rooms }) => count * (rooms.length + 1), 1) - 1;
  const every = possible <= ALL;
  const singles: Assignment[] = [];
  for (const goes of singleMoves(movers)) {
    singles.push(...bestPlaced(search, goes));
    yield search.tried;
  }
  const rest: Assignment[] = [];
  const others = every ? allAssignments(movers) : exchanges(movers);
  for (const goes of others) {
    rest.push(...placed(search, goes));
    yield search.tried;
  }
  if (!every) rest.push(...(yield* grown(search, [...singles, ...rest])));
  return tableOf(search, { singles, all: [...singles, ...rest], possible, every });
}

function tableOf(
  { base, first, movers, tried, why }: Search,
  found: { readonly singles: readonly Assignment[]; readonly all: readonly Assignment[] } & Pick<
    RoomsTable,
    'possible' | 'every'
  >,
): RoomsTable {
  const { scene } = base;
  const asIs = scoreOf(first.margins);
  const names = scene.rooms.map(({ name }) => name);
  const single = movers.map((mover) => ({
    name: mover.name,
    cells: names.map((room, i): RoomCell => {
      if (i === mover.room) return null;
      const made = found.singles.find(({ moves: [one] }) => one?.name === mover.name && one.to === room);
      return made?.score ?? { why: why.get(keyOf(mover.name, i)) ?? doorWords(base, mover, room) };
    }),
  }));
  // the same people to like rooms are one line
  const better = new Map<string, Assignment>();
  for (const one of found.all.filter(({ score }) => byScore(score, asIs) < 0).sort(byWorth)) {
    const who = one.moves.map(({ name }) => name).sort();
    const key = [...who, one.score.missed, one.score.mics.toFixed(1)].join('\n');
    if (!better.has(key)) better.set(key, one);
  }
  const before = judgement(scene, base.result);
  return {
    rooms: scene.rooms.map(({ name, control }) => ({ name, control })),
    ...{ asIs, single, possible: found.possible, every: found.every, tried },
    best: [...better.values()].slice(0, SHOWN).map((one) => inFull(base, before, one)),
  };
}

function doorWords({ plan, scene }: Computed, { room: from, width }: Mover, to: string): string {
  const { close } = lengthsIn(plan.units);
  const door = widest(plan, scene.rooms[from]?.name, to);
  return door === 0 ? 'no door leads there' : `the door is ${close(door)} wide, ${close(width)} needed`;
}

const keyOf = (name: string, room: number): string => `${name}\n${room}`;

const scoreOf = ({ rows }: LimitMargins): Score => ({
  missed: rows.filter(({ margin }) => margin < 0).length,
  mics: rows.reduce(
    (sum, { kind, margin }) => sum + (kind === 'signal-to-bleed' ? Math.max(0, -margin) : 0),
    0,
  ),
});

const ROUNDING = 1e-9;

/** Fewer limits missed, then less short at mics. */
const byScore = (a: Score, b: Score): number =>
  a.missed - b.missed || (Math.abs(a.mics - b.mics) < ROUNDING ? 0 : a.mics - b.mics);

/** Of equals the fewest who move, then the quickest. */
const byWorth = (a: Assignment, b: Assignment): number =>
  byScore(a.score, b.score) || a.moves.length - b.moves.length || a.minutes - b.minutes;

/** Whoever and whatever may be carried, with the rooms whose doors let it in. */
function moversOf(base: Computed): Mover[] {
  const { plan, scene } = base;
  const all = new Set([...plan.players.keys(), ...plan.sources.keys()]);
  return movable(base, all).flatMap((thing): Mover[] => {
    const own = scene.sources.filter(
      ({ path, name, repeats }) =>
        path[0] === thing.section && (path[1] === thing.name || name === thing.name) && !repeats,
    );
    if (own.length === 0 || own.some((source) => carriedOf(base, source) === null)) return [];
    const width = widthNeeded(base, own);
    const rooms = scene.rooms.flatMap(({ name }, i) => {
      const fits = i !== thing.room && widest(plan, scene.rooms[thing.room]?.name, name) >= width;
      return fits ? [i] : [];
    });
    return [{ ...thing, rooms, width }];
  });
}

const singleMoves = (movers: readonly Mover[]): Goes[] =>
  movers.flatMap((mover) => mover.rooms.map((room) => new Map([[mover, room]])));

/** Two in different rooms take each other's. */
const exchanges = (movers: readonly Mover[]): Goes[] =>
  movers.flatMap((one, i) =>
    movers
      .slice(i + 1)
      .filter((other) => one.rooms.includes(other.room) && other.rooms.includes(one.room))
      .map(
        (other) =>
          new Map([
            [one, other.room],
            [other, one.room],
          ]),
      ),
  );

/** All in which two or more go. */
function* allAssignments(movers: readonly Mover[], from = 0, goes: Goes = new Map()): Generator<Goes> {
  const mover = movers[from];
  if (!mover) {
    if (goes.size > 1) yield goes;
    return;
  }
  yield* allAssignments(movers, from + 1, goes);
  for (const room of mover.rooms) yield* allAssignments(movers, from + 1, new Map([...goes, [mover, room]]));
}

/** The best so far, each joined with one more single move or exchange of others, until no round finds a better one. */
function* grown(search: Search, tried: readonly Assignment[]): Generator<number, Assignment[]> {
  const pool = [...tried].sort(byWorth).slice(0, POOL);
  const found: Assignment[] = [];
  let beam = pool.slice(0, BEAM);
  for (;;) {
    const round: Assignment[] = [];
    for (const goes of joined(search, beam, pool)) {
      round.push(...placed(search, goes));
      yield search.tried;
    }
    found.push(...round);
    const best = round.sort(byWorth)[0];
    if (!best || !beam[0] || byScore(best.score, beam[0].score) >= 0) return found;
    beam = round.slice(0, BEAM);
  }
}

/** Each set of moves once; nobody is in two rooms. */
function joined({ movers, base }: Search, beam: readonly Assignment[], pool: readonly Assignment[]): Goes[] {
  const roomOf = (name: string) => base.scene.rooms.findIndex((room) => room.name === name);
  const sets = beam.flatMap((one) =>
    pool
      .filter((other) => !one.moves.some(({ name }) => other.moves.some((move) => move.name === name)))
      .map((other) => [...one.moves, ...other.moves]),
  );
  const unlike = new Map(
    sets.map((moves) => [
      moves
        .map(({ name, to }) => `${name}\n${to}`)
        .sort()
        .join('\n\n'),
      moves,
    ]),
  );
  return [...unlike.values()].map(
    (moves) =>
      new Map(
        moves.flatMap(({ name, to }) =>
          movers.filter((one) => one.name === name).map((one) => [one, roomOf(to)] as const),
        ),
      ),
  );
}

/** One who goes alone, at the best of all places there; all that may be stood at are kept for when others go, too. */
function bestPlaced(search: Search, goes: Goes): Assignment[] {
  const [[mover, room] = []] = goes;
  if (!mover || room === undefined) return [];
  const made = (search.free.get(room) ?? []).flatMap((at) => {
    const one = tryPlaces(search, [{ mover, room, spot: { at, of: null } }]);
    return one ? [{ at, one }] : [];
  });
  made.sort((a, b) => byWorth(a.one, b.one));
  if (made.length > 0)
    search.good.set(
      keyOf(mover.name, room),
      made.map(({ at }) => at),
    );
  return made.slice(0, 1).map(({ one }) => one);
}

type Placing = { readonly mover: Mover; readonly room: number; readonly spot: Spot };

/** Everyone at the place of one who leaves the room, else at the first free one; else at free ones alone. */
function placed(search: Search, goes: Goes): Assignment[] {
  for (const takesOver of [true, false]) {
    const placing = placingOf(search, goes, takesOver);
    const made = placing && tryPlaces(search, placing);
    if (made) return [made];
  }
  return [];
}

function placingOf({ base, free, good }: Search, goes: Goes, takesOver: boolean): Placing[] | null {
  const { plan, scene } = base;
  const elbow = plan.floor.elbowRoom ?? ELBOW_ROOM;
  const leaving = new Set([...goes.keys()].map(({ name }) => name));
  const taken = new Map(
    scene.rooms.map((_, room) => [
      room,
      [
        ...scene.players,
        ...scene.sources.flatMap(({ name, path, points }) =>
          path[0] === 'sources' ? points.map((point) => ({ ...point, name })) : [],
        ),
      ]
        .filter((one) => one.room === room && !leaving.has(one.name))
        .map(({ at: [x, y] }): geo.Vec2 => [x, y]),
    ]),
  );
  const placing: Placing[] = [];
  for (const [mover, room] of goes) {
    const left = takesOver
      ? [...goes.keys()].filter((one) => one.room === room).map((of): Spot => ({ at: of.at, of }))
      : [];
    const spots = [
      ...left,
      ...(good.get(keyOf(mover.name, room)) ?? free.get(room) ?? []).map((at): Spot => ({ at, of: null })),
    ];
    const there = taken.get(room) ?? [];
    const spot = spots.find(({ at }) => there.every((other) => geo.span(other, at) >= elbow));
    if (!spot) return null;
    there.push(spot.at);
    placing.push({ mover, room, spot });
  }
  return placing;
}

/** Null where it would be invalid or refused; of one who goes alone it is kept why. */
function tryPlaces(search: Search, placing: readonly Placing[]): Assignment | null {
  const { base, evaluator, first } = search;
  const edits = placing.flatMap(({ mover, spot: { at, of } }) =>
    of ? inPlaceOf(base, mover, of) : editsMoving(base, mover, [at[0] - mover.at[0], at[1] - mover.at[1]]),
  );
  const made = evaluator.commit(edits);
  const [one] = placing;
  const why = 'faults' in made ? (made.faults[0]?.message ?? '') : refusal(base, made.scene);
  if (why !== null && placing.length === 1 && one) search.why.set(keyOf(one.mover.name, one.room), why);
  if ('faults' in made || why !== null) return null;
  search.tried++;
  const { margins } = baselineOf(evaluatorOf(made), first.allowances);
  return {
    moves: placing.map(({ mover, room, spot }) => ({
      name: mover.name,
      from: base.scene.rooms[mover.room]?.name ?? '',
      to: base.scene.rooms[room]?.name ?? '',
      place: placeWords(base, room, spot.at),
    })),
    score: scoreOf(margins),
    minutes: minutesOf(base, made.scene, placing.length),
    edits,
  };
}

/** Minutes for each beside the first: they go at the same time, but headphones and lines are set up one by one. */
const EACH_FURTHER = 10;

/** Common practice, no source; what takes longer to carry takes longer. */
function minutesOf(base: Computed, after: Scene, count: number): number {
  const carrying = loadsOf(base, after).loads.reduce((sum, { minutes }) => sum + minutes, 0);
  return Math.max(MINUTES['other-room'] + EACH_FURTHER * (count - 1), carrying);
}

function inFull(base: Computed, before: Judgement, one: Assignment): AssignmentInFull {
  const made = evaluatorOf(base).commit(one.edits);
  if ('faults' in made) throw new Error('an assignment that was valid is no longer');
  const after = judgement(made.scene, made.result);
  return {
    ...one,
    mics: micsAsNamed(before).flatMap(({ name, purpose, signalToBleed }) => {
      const other = micsAsNamed(after).find((mic) => mic.name === name);
      return purpose === 'parts'
        ? [{ name, before: signalToBleed, after: other?.signalToBleed ?? null }]
        : [];
    }),
    ghosts: before.parts.flatMap(({ name, limit, ghost }, i) =>
      limit === null ? [] : [{ part: name, before: ghost, after: after.parts[i]?.ghost ?? null }],
    ),
    lost: lossesBetween(base.tree, before, after).filter(({ kind }) => kind === 'hears' || kind === 'sees'),
    headphones: cueList(made.scene, after.hearing)
      .filter(lacksHeadphones)
      .map(({ player }) => player),
    openInControl: made.scene.mics.flatMap(({ name, capsules }) =>
      capsules.some((index) => made.scene.rooms[made.scene.capsules[index]?.room ?? -1]?.control)
        ? [name]
        : [],
    ),
    loads: loadsOf(base, made.scene).loads,
  };
}

/** An assignment as one fix among the others. */
export function assignmentFix({ moves, edits, minutes }: Assignment): FixDraft {
  const words = moves.map(({ name, place }) => `${name} to ${place}`).join(', ');
  const about = moves.flatMap(({ name, to }) => [name, to]);
  return fixOf('other-room', about, edits, () => `move with mics: ${words}`, { atLeast: minutes });
}
