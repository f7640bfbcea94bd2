/** Whether what was moved may stand there: elbow room, no-stands, walkways, and nothing through a panel. */
import type { FloorEntry } from '../plan/plan-demands.ts';
import { crossing, distanceToStretch, holds } from '../scene/polygon.ts';
import type { Panel, Scene } from '../scene/scene.ts';
import { distance, type Vec2, type Vec3 } from '../scene/vector.ts';
import { alike } from './alike.ts';

/** Between two bodies where the plan says nothing, m; half of it to walls and baffles. Common practice, no source. */
const ELBOW_ROOM = 0.6;
/** A mic up to this far from its source stands before it with nothing between, m. */
const WITH_ITS_SOURCE = 1.5;

/** What is as it was before is never in the way; nor is a gap that is no smaller than one in the plan already. */
export function mayStand(floor: FloorEntry, before: Scene, after: Scene): boolean {
  const panels = after.panels.filter((panel, i) => panel.booth === null && !alike(panel, before.panels[i]));
  const spots = movedSpots(before, after);
  return (
    isRoomy(floor.elbowRoom ?? ELBOW_ROOM, before, after) &&
    [...spots, ...panels.flatMap(spotsAlong)].every((spot) => isFree(floor, spot)) &&
    panels.every((panel) => standsClear(panel, after)) &&
    cutThrough(after) <= cutThrough(before)
  );
}

const flat = ([x, y]: Vec3): Vec2 => [x, y];

/** Bodies, mics, and what stands by itself, where they were not before. */
function movedSpots(before: Scene, after: Scene): Vec2[] {
  const bodies = after.players.filter((player, i) => !alike(player.at, before.players[i]?.at));
  const mics = after.capsules.filter((capsule, i) => !alike(capsule.at, before.capsules[i]?.at));
  const alone = after.sources.filter(
    ({ path }, i) => path[0] === 'sources' && !alike(after.sources[i]?.points, before.sources[i]?.points),
  );
  return [...bodies, ...mics, ...alone.flatMap(({ points }) => points)].map(({ at }) => flat(at));
}

function isFree({ noStands, walkways }: FloorEntry, [x, y]: Vec2): boolean {
  if ([...noStands.values()].some((outline) => holds(outline, x, y))) return false;
  return ![...walkways.values()].some(({ along, width }) =>
    along.slice(1).some((to, i) => distanceToStretch([x, y], along[i] as Vec2, to) < width / 2),
  );
}

/** Points no further apart than a foot is wide. */
function spotsAlong({ a, b }: Panel): Vec2[] {
  const count = Math.max(1, Math.ceil(Math.hypot(b[0] - a[0], b[1] - a[1]) / 0.2));
  return Array.from(
    { length: count + 1 },
    (_, i): Vec2 => [a[0] + ((b[0] - a[0]) * i) / count, a[1] + ((b[1] - a[1]) * i) / count],
  );
}

function isRoomy(elbow: number, before: Scene, after: Scene): boolean {
  const least = gapsOf(before);
  const moved = gapsOf(after);
  return (
    moved.bodies >= Math.min(elbow, least.bodies) - 1e-9 &&
    moved.walls >= Math.min(elbow / 2, least.walls) - 1e-9 &&
    moved.baffles >= Math.min(elbow / 2, least.baffles) - 1e-9
  );
}

type Gaps = { readonly bodies: number; readonly walls: number; readonly baffles: number };

/** The least distances between bodies, and from bodies to walls and baffles of their room. */
function gapsOf({ players, rooms, panels }: Scene): Gaps {
  let bodies = Number.POSITIVE_INFINITY;
  let walls = Number.POSITIVE_INFINITY;
  let baffles = Number.POSITIVE_INFINITY;
  players.forEach((player, i) => {
    const at = flat(player.at);
    for (const other of players.slice(i + 1)) bodies = Math.min(bodies, distance(player.at, other.at));
    const outline = rooms[player.room]?.outline ?? [];
    outline.forEach((corner, wall) => {
      walls = Math.min(walls, distanceToStretch(at, corner, outline[(wall + 1) % outline.length] as Vec2));
    });
    for (const { a, b, room } of panels)
      if (room === player.room) baffles = Math.min(baffles, distanceToStretch(at, a, b));
  });
  return { bodies, walls, baffles };
}

/** Through no other panel. */
const standsClear = (panel: Panel, { panels }: Scene): boolean =>
  !panels.some(
    (other) =>
      other !== panel && other.room === panel.room && crossing(panel.a, panel.b, other.a, other.b) !== null,
  );

/** How many instruments a panel parts from their players, and close mics from their sources. */
function cutThrough({ players, sources, mics, capsules, panels }: Scene): number {
  const reaches = [
    ...sources.flatMap(({ player, points, path }) => {
      const body = players[player ?? -1];
      return body && path[0] === 'players' ? points.map(({ at }) => [body.eyes, at] as const) : [];
    }),
    ...capsules.flatMap(({ at, mic }) =>
      (mics[mic]?.purpose === 'parts' ? (mics[mic]?.wanted ?? []) : []).flatMap((source) =>
        (sources[source]?.points ?? [])
          .filter((point) => distance(point.at, at) < WITH_ITS_SOURCE)
          .map((point) => [point.at, at] as const),
      ),
    ),
  ];
  return reaches.filter(([from, to]) => panels.some((panel) => isCut(panel, from, to))).length;
}

function isCut({ a, b, low, high }: Panel, from: Vec3, to: Vec3): boolean {
  const met = crossing(flat(from), flat(to), a, b);
  if (met === null) return false;
  const height = from[2] + (to[2] - from[2]) * met[0];
  return height > low && height < high;
}
