/** Whether what was moved may stand there: elbow room, no-stands, walkways, nothing through a panel or a wall. */
import * as geo from '../geometry.ts';
import type { FloorEntry } from '../plan/limits.ts';
import { obstructedPairs, WITH_ITS_SOURCE } from '../scene/baffles.ts';
import type { Panel, Player, Scene } from '../scene/scene.ts';
import { deepEqual } from '../transfer/incremental.ts';

/** Between two bodies where the plan says nothing, m; half of it to walls and baffles. Common practice, no source. */
export const ELBOW_ROOM = 0.6;

/** Nothing that is unchanged is in the way, nor a gap that is no smaller than before. */
export function mayStand(floor: FloorEntry, before: Scene, after: Scene): boolean {
  const stood = new Map(before.panels.map((panel) => [panel.name, panel]));
  const panels = after.panels.filter(
    (panel) => panel.booth === null && !deepEqual(panel, stood.get(panel.name)),
  );
  const spots = movedSpots(before, after);
  return (
    isRoomy(floor.elbowRoom ?? ELBOW_ROOM, before, after) &&
    [...spots, ...panels.flatMap(spotsAlong)].every((spot) => isFree(floor, spot)) &&
    panels.every((panel) => standsClear(panel, after)) &&
    obstructedPairs(after).length <= obstructedPairs(before).length &&
    (strewn(after) === 0 || strewn(after) <= strewn(before))
  );
}

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
