/**
 * Whether one would make a change: whether what was moved may stand there (elbow room, no-stands, walkways, doors, nothing
 * through a panel or a wall), can be carried there, leaves each mic where a stand can be, and everyone facing whom they watch.
 */
import * as geo from '../geometry.ts';
import type { FloorEntry } from '../plan/limits.ts';
import type { PlanData } from '../plan/plan.ts';
import { obstructedPairs, WITH_ITS_SOURCE } from '../scene/baffles.ts';
import { bodyPlace } from '../scene/context.ts';
import type { Capsule, Mic, Panel, Player, Scene, Source } from '../scene/scene.ts';
import { deepEqual } from '../transfer/incremental.ts';
import { type Before, like, stuck } from './carrying.ts';

/** Why nobody would make the change, in words; null where they might. What was so before is no reason. */
export function refusal(before: Before, after: Scene): string | null {
  const { plan, scene } = before;
  if (!mayStand(plan.floor, scene, after)) return 'something would be in the way';
  // asked once, not for each mic: thousands of changes are tried
  const changed: Changed = {
    sources: changedIn(scene.sources, after.sources, (one, old) => deepEqual(one.points, old.points)),
    players: changedIn(
      scene.players,
      after.players,
      (one, old) => one.facing === old.facing && deepEqual(one.at, old.at),
    ),
  };
  const people = changed.sources.length + changed.players.length > 0;
  const ofPeople = () => stuck(before, after) ?? ofWedges(before, after) ?? ofGaze(before, after);
  return (people ? ofPeople() : null) ?? ofMics(before, after, changed);
}

type Changed = { readonly sources: readonly Both<Source>[]; readonly players: readonly Both<Player>[] };

// Mics: no nearer than a stand may come, out of what moves beside an instrument, out of people.

/** From a body's middle a stand stays off, m: a shoulder's width. Common practice, no source. */
const BODY = 0.25;
/** A mic over the heads is in nobody's way, m above the floor. */
const OVERHEAD = 2;
/** Nearer than this a mic for everyone or for the room is one for those nearest to it, m. Common practice, no source. */
const SPOT = 1.5;
/** A close mic this many times further off than usual is far on purpose. Common practice, no source. */
const FAR = 2;
/** A figure-8 no nearer to a voice, m. Common practice, no source. */
const FIGURE_8 = 0.15;
/** A pair turns as a whole by no more, degrees, and comes no nearer than so many times what one mic may. Common practice, no source. */
const [PAIR_TURN, PAIR_NEAR] = [15, 2];
/** Capsules of a pair no further apart pick up a picture by level, m: coincident and nearly so. Common practice, no source. */
const TOGETHER = 0.4;

function ofMics(before: Before, after: Scene, { sources, players }: Changed): string | null {
  const { scene } = before;
  const walked = players.flatMap(({ now, old }) => (deepEqual(now.at, old.at) ? [] : [now]));
  for (const [i, capsule] of after.capsules.entries()) {
    const was = like(scene.capsules, i, capsule);
    const mic = after.mics[capsule.mic];
    if (!was || !mic) continue;
    const moved = !deepEqual(was.at, capsule.at);
    const body = (moved ? after.players : walked).find(
      (player) => player.room === capsule.room && isInBody(player, capsule) && !isFor(after, mic, player),
    );
    if (body) return `${mic.name} would be where ${body.name} is`;
    const follows = sources.some(({ index }) => mic.wanted.includes(index));
    if (mic.stereo !== null && !follows && !keepsItsPicture(scene, mic, was, capsule))
      return `${mic.name} would no longer cover what it is for`;
    const all = moved || was.pattern.name !== capsule.pattern.name;
    for (const { index, now, old } of all ? inBoth(scene.sources, after.sources) : sources) {
      const why =
        tooNear({ mic, was, capsule }, mic.wanted.includes(index), old, now) ??
        inTheWay(before, after, [old, was], [now, capsule]);
      if (why !== null) return `${mic.name} ${why}`;
    }
  }
  return null;
}

type Both<T> = { readonly index: number; readonly now: T; readonly old: T };

const inBoth = <T extends { readonly name: string }>(before: readonly T[], after: readonly T[]): Both<T>[] =>
  after.flatMap((now, index) => {
    const old = like(before, index, now);
    return old ? [{ index, now, old }] : [];
  });

/** Whatever is in both scenes and not the same. */
function changedIn<T extends { readonly name: string }>(
  before: readonly T[],
  after: readonly T[],
  isSame: (now: T, old: T) => boolean,
): Both<T>[] {
  if (before === after) return [];
  return inBoth(before, after).filter(({ now, old }) => !isSame(now, old));
}

/** A pair turns as a whole by little; where both are in one place their pattern makes the picture. */
function keepsItsPicture(
  { capsules }: Scene,
  { capsules: own }: Mic,
  was: Capsule,
  capsule: Capsule,
): boolean {
  if (geo.angleBetween(was.aim, capsule.aim) > PAIR_TURN) return false;
  const [one, other] = own.map((index) => capsules[index]?.at ?? was.at);
  const isApart = one !== undefined && other !== undefined && geo.distance(one, other) > TOGETHER;
  return isApart || was.pattern.name === capsule.pattern.name;
}

type Moved = { readonly mic: Mic; readonly was: Capsule; readonly capsule: Capsule };

function tooNear({ mic, was, capsule }: Moved, isFor: boolean, old: Source, source: Source): string | null {
  const [far, near] = [away(old, was), away(source, capsule)];
  const isNearer = near < far - UNMOVED;
  if (mic.purpose !== 'parts')
    return isNearer && near < SPOT ? `is to hear everyone, not ${source.name}` : null;
  if (!isFor) return null;
  const eight = VOICES.has(source.instrument ?? '') && isFigure8(capsule);
  const least = Math.max(source.closest * (mic.stereo === null ? 1 : PAIR_NEAR), eight ? FIGURE_8 : 0);
  if ((isNearer || (eight && !isFigure8(was))) && near < least - UNMOVED)
    return `would be too near to ${source.name}`;
  const isFar = mic.wanted.length === 1 && source.furthest > 0 && far > FAR * source.furthest;
  return isNearer && isFar && !deepEqual(was.at, capsule.at) ? `is far from ${source.name} on purpose` : null;
}

function inTheWay(
  before: Before,
  after: Scene,
  [old, was]: readonly [Source, Capsule],
  [source, capsule]: readonly [Source, Capsule],
): string | null {
  const what = keptClear(before, after, source, capsule);
  if (what === null || what === keptClear(before, before.scene, old, was)) return null;
  return `would be in the ${what} of ${source.kit ?? source.name}`;
}

const VOICES = new Set(['speech', 'singing-voice']);

const isFigure8 = ({ pattern }: Capsule): boolean =>
  pattern.table === null && pattern.a.every((a) => Math.abs(a) < 0.15);

const away = ({ points }: Source, { at }: Capsule): number =>
  Math.min(...points.map((point) => geo.distance(point.at, at)));

const isFor = ({ sources, players }: Scene, { wanted }: Mic, player: Player): boolean =>
  wanted.some((index) => players[sources[index]?.player ?? -1] === player);

const isInBody = ({ at }: Player, capsule: Capsule): boolean =>
  geo.span(at, capsule.at) < BODY && capsule.at[2] - at[2] < OVERHEAD;

/** What moves beside an instrument, at the place of a capsule: "bow arm". */
function keptClear(
  { plan, catalogue }: Before,
  scene: Scene,
  source: Source,
  { at, room }: Capsule,
): string | null {
  const known = catalogue.instruments.get(source.instrument ?? '');
  const [point] = source.points;
  if (!known || known.keepClear.size === 0 || point?.room !== room || source.points.length > 1) return null;
  const player = scene.players[source.player ?? -1];
  const held = source.path[0] === 'players' && player;
  const facing = held ? player.facing : geo.bearingOf(point.axis) - known.axis.bearing;
  const left = held && known.mirrors && plan.players.get(player.name)?.hands === 'left';
  const [x, y, up] = geo.rotateOnPlan(geo.subtract(at, point.at), -facing);
  const place = [left ? -x : x, y, up];
  for (const [what, [a, b]] of known.keepClear)
    if (place.every((one, k) => one > Math.min(a[k] ?? 0, b[k] ?? 0) && one < Math.max(a[k] ?? 0, b[k] ?? 0)))
      return what;
  return null;
}

// Wedges: within reach of whom they are for.

/** A wedge is this near to its listener, m. Common practice, no source. */
const WEDGE = 2;

function ofWedges({ plan, scene }: Before, after: Scene): string | null {
  for (const [i, wedge] of scene.sources.entries()) {
    const now = like(after.sources, i, wedge);
    const listener = wedgeListener(plan, scene, wedge);
    const from = scene.players[listener];
    const to = from && like(after.players, listener, from);
    if (!now?.points[0] || !wedge.points[0] || !to || !from) continue;
    const far = Math.max(WEDGE, geo.span(from.at, wedge.points[0].at));
    if (to.room !== now.points[0].room || geo.span(to.at, now.points[0].at) > far + UNMOVED)
      return `${wedge.name} would be away from ${to.name}, who listens to it`;
  }
  return null;
}

/** Whom a wedge faces, else the nearest in its room; -1 for what is no wedge. */
export function wedgeListener(
  plan: PlanData,
  { players }: Scene,
  { name, repeats, instrument, points, path }: Source,
): number {
  const [point] = points;
  if (!point || path[0] !== 'sources' || !(repeats || instrument === 'monitor-wedge')) return -1;
  const facing = plan.sources.get(name)?.facing;
  const target =
    facing && 'target' in facing ? players.findIndex((player) => player.name === facing.target) : -1;
  if (target >= 0) return target;
  const near = players.map((player, i) => ({ i, away: geo.span(player.at, point.at), room: player.room }));
  return near.filter(({ room }) => room === point.room).sort((a, b) => a.away - b.away)[0]?.i ?? -1;
}

// Whom one watches: whoever the plan has one face, a listener one faces anyway, those one must see.

/** Eyes see this far to the side without the head turned away, degrees. Common practice, no source. */
const SIDE = 60;
/** Whoever is further to the side already may be so many degrees more. */
const ASIDE = 15;
/** Whoever is this near to straight ahead is being faced, degrees. */
const AHEAD = 20;

function ofGaze({ plan, scene }: Before, after: Scene): string | null {
  for (const [i, player] of scene.players.entries()) {
    const now = like(after.players, i, player);
    if (!now || now.room !== player.room) continue;
    const facing = plan.players.get(player.name)?.facing;
    if (facing && 'target' in facing && isTurnedFrom(plan, facing.target, player, now))
      return `${player.name} would turn away from ${facing.target}`;
    const must = new Set(scene.limits.seeEachOther.flatMap(([a, b]) => (a === i ? [b] : b === i ? [a] : [])));
    for (const [j, other] of scene.players.entries()) {
      const moved = like(after.players, j, other);
      if (i === j || !moved || other.room !== player.room || moved.room !== now.room) continue;
      const was = aside(player, other);
      const watched =
        must.has(j) ||
        (facing && 'target' in facing && facing.target === other.name) ||
        (other.listener && was < AHEAD);
      if (watched && aside(now, moved) > Math.max(SIDE, was + ASIDE))
        return `${player.name} would turn away from ${other.name}`;
    }
  }
  return null;
}

/** From a table or the like, which the plan has one face: a source of its own or a baffle. */
function isTurnedFrom(plan: PlanData, target: string, was: Player, now: Player): boolean {
  const at = plan.sources.has(target) || plan.baffles.has(target) ? bodyPlace(plan, target) : null;
  if (!at) return false;
  const [before, after] = [was, now].map((one) => aside(one, { at: [at[0], at[1], 0] }));
  return (after ?? 0) > Math.max(SIDE, (before ?? 0) + ASIDE);
}

const aside = ({ at, facing }: Player, other: Pick<Player, 'at'>): number =>
  Math.abs(geo.turnBetween(facing, geo.bearingOf(geo.subtract(other.at, at))));

/** Less is rounding, m or degrees. */
const UNMOVED = 0.005;

// Room to stand.

/** Between two bodies where the plan says nothing, m; half of it to walls and baffles. Common practice, no source. */
export const ELBOW_ROOM = 0.6;

/** Nothing that is unchanged is in the way, nor a gap that is no smaller than before. */
export function mayStand(floor: FloorEntry, before: Scene, after: Scene): boolean {
  if (isStill(before, after)) return true;
  const stood = new Map(before.panels.map((panel) => [panel.name, panel]));
  const panels = after.panels.filter(
    (panel) => panel.booth === null && !deepEqual(panel, stood.get(panel.name)),
  );
  const spots = movedSpots(before, after);
  return (
    isRoomy(floor.elbowRoom ?? ELBOW_ROOM, before, after) &&
    [...spots, ...panels.flatMap(spotsAlong)].every(
      (spot) => isFree(floor, spot) && !inDoorway(before, spot),
    ) &&
    panels.every((panel) => standsClear(panel, after)) &&
    obstructedPairs(after).length <= obstructedPairs(before).length &&
    (strewn(after) === 0 || strewn(after) <= strewn(before))
  );
}

/** Whether a change of mics alone has moved none. */
const isStill = (before: Scene, after: Scene): boolean =>
  (['players', 'sources', 'panels', 'rooms'] as const).every((of) => before[of] === after[of]) &&
  after.capsules.every((capsule, i) => {
    const was = before.capsules[i];
    return was === capsule || (was !== undefined && geo.distance(was.at, capsule.at) < UNMOVED);
  });

const flat = ([x, y]: geo.Vec3): geo.Vec2 => [x, y];

/** New positions of bodies, mics and sources of their own. */
function movedSpots(before: Scene, after: Scene): geo.Vec2[] {
  const bodies = after.players.filter((player, i) => !deepEqual(player.at, before.players[i]?.at));
  const mics = after.capsules.filter((capsule, i) => !deepEqual(capsule.at, before.capsules[i]?.at));
  const alone = after.sources.filter(
    ({ path }, i) => path[0] === 'sources' && !deepEqual(after.sources[i]?.points, before.sources[i]?.points),
  );
  return [...bodies, ...mics, ...alone.flatMap(({ points }) => points)].map(({ at }) => flat(at));
}

function isFree({ noStands, walkways }: FloorEntry, [x, y]: geo.Vec2): boolean {
  if ([...noStands.values()].some((outline) => geo.holds(outline, x, y))) return false;
  return ![...walkways.values()].some(({ along, width }) =>
    along.slice(1).some((to, i) => geo.distanceToSegment([x, y], along[i] as geo.Vec2, to) < width / 2),
  );
}

/** Where a leaf swings, hung on either side and into the larger room as most are: as deep as it is wide. Common practice, no source. */
const inDoorway = ({ partitions, rooms }: Scene, [x, y]: geo.Vec2): boolean =>
  partitions.some(({ elements, rooms: [one, other] }) =>
    elements.some(({ kind, a, b }) => {
      if (kind !== 'door') return false;
      const wide = geo.span(a, b);
      const [ux, uy] = [(b[0] - a[0]) / wide, (b[1] - a[1]) / wide];
      const [along, across] = [
        (x - a[0]) * ux + (y - a[1]) * uy,
        Math.abs((x - a[0]) * uy - (y - a[1]) * ux),
      ];
      if (along < 0 || along > wide || across > wide) return false;
      const [larger] = [rooms[one], rooms[other]].sort((p, q) => (q?.volume ?? 0) - (p?.volume ?? 0));
      return larger !== undefined && geo.holds(larger.outline, x, y);
    }),
  );

/** Points no further apart than a foot is wide. */
function spotsAlong({ a, b }: Panel): geo.Vec2[] {
  const count = Math.max(1, Math.ceil(geo.span(a, b) / 0.2));
  return Array.from(
    { length: count + 1 },
    (_, i): geo.Vec2 => [a[0] + ((b[0] - a[0]) * i) / count, a[1] + ((b[1] - a[1]) * i) / count],
  );
}

/** Each body by its own: that two others stand close to each other makes no room for a third. */
function isRoomy(elbow: number, before: Scene, after: Scene): boolean {
  const places = after.players.map((player, i) => placeBefore(before, player, i));
  return after.players.every((_, i) => {
    const room = gapsOf(after, i);
    const had = gapsOf(before, places[i] ?? i);
    return (
      room.bodies.every((gap, j) => gap >= Math.min(elbow, had.bodies[places[j] ?? j] ?? elbow) - ROUNDING) &&
      room.wall >= Math.min(elbow / 2, had.wall) - ROUNDING &&
      room.baffle >= Math.min(elbow / 2, had.baffle) - ROUNDING
    );
  });
}

/** Whose place it was: players who change places find the room that was there. */
function placeBefore({ players }: Scene, { at }: Player, index: number): number {
  const place = players.findIndex((other) => deepEqual(other.at, at));
  return place < 0 ? index : place;
}

const ROUNDING = 1e-9;

type Gaps = {
  /** To every other body in the same room; infinite to those elsewhere. */
  readonly bodies: readonly number[];
  readonly wall: number;
  readonly baffle: number;
};

function gapsOf({ players, rooms, panels }: Scene, index: number): Gaps {
  const player = players[index];
  if (!player) return { bodies: [], wall: Number.POSITIVE_INFINITY, baffle: Number.POSITIVE_INFINITY };
  const at = flat(player.at);
  const bodies = players.map((other, i) =>
    i === index || other.room !== player.room ? Number.POSITIVE_INFINITY : geo.distance(player.at, other.at),
  );
  const outline = rooms[player.room]?.outline ?? [];
  const walls = outline.map((corner, wall) =>
    geo.distanceToSegment(at, corner, outline[(wall + 1) % outline.length] as geo.Vec2),
  );
  const baffles = panels
    .filter(({ room }) => room === player.room)
    .map(({ a, b }) => geo.distanceToSegment(at, a, b));
  return { bodies, wall: Math.min(...walls), baffle: Math.min(...baffles) };
}

/** How many instruments stand in another room than their players, and close mics in another than their sources. */
function strewn({ players, sources, mics, capsules }: Scene): number {
  const instruments = sources.flatMap(({ player, points, path }) =>
    path[0] === 'players' && player !== null ? points.map(({ room }) => [room, players[player]?.room]) : [],
  );
  const close = capsules.flatMap(({ at, mic, room }) =>
    (mics[mic]?.purpose === 'parts' ? (mics[mic]?.wanted ?? []) : [])
      .flatMap((source) => sources[source]?.points ?? [])
      .filter((point) => geo.distance(point.at, at) < WITH_ITS_SOURCE)
      .map((point) => [room, point.room]),
  );
  return [...instruments, ...close].filter(([one, other]) => one !== other).length;
}

/** Through no other panel. */
const standsClear = (panel: Panel, { panels }: Scene): boolean =>
  !panels.some(
    (other) =>
      other !== panel &&
      other.room === panel.room &&
      geo.crossing(panel.a, panel.b, other.a, other.b) !== null,
  );
