/** Baffles and the walls of booths as panels; what a panel separates that belongs together. */
import type { Path } from '../finding.ts';
import * as geo from '../geometry.ts';
import type { BaffleEntry } from '../plan/rooms.ts';
import { lengthsIn } from '../plan/units.ts';
import { type Context, Notes, type RoomPlace } from './context.ts';
import { madeOf, wallTau } from './materials.ts';
import { BODY_RADIUS } from './people.ts';
import { boundary, floorOf, roomAt } from './room-places.ts';
import { outsideAlpha } from './rooms.ts';
import { OUTSIDE, type Panel, type Scene } from './scene.ts';

/** The plan's baffles, and the walls of booths that stand free in a room. */
export function resolvePanels(context: Context): Panel[] {
  const { plan, places } = context;
  const baffles = [...plan.baffles].flatMap(([name, entry]) => baffleOf(context, name, entry) ?? []);
  return [...baffles, ...places.rooms.flatMap((_, booth) => boothPanels(context, booth))];
}

/** None where the partition round the booth is missing or unknown: that is an error of the partition's. */
function boothPanels(context: Context, booth: number): Panel[] {
  const { rooms } = context.places;
  const { name, path, host, wallNames } = rooms[booth] as RoomPlace;
  const hostPlace = rooms[host ?? -1];
  if (host === null || !hostPlace) return [];
  const names = [name, hostPlace.name];
  const entry = [...context.plan.partitions.values()].find(({ between }) =>
    names.every((one) => between.includes(one)),
  );
  const quiet = { ...context, notes: new Notes() };
  const tau = entry && wallTau(quiet, entry.wall, path);
  if (!tau) return [];
  const alpha = outsideAlpha(quiet, booth);
  return boundary(rooms, booth, host).map((piece) => ({
    name: `${name}, ${wallNames[piece.sides[0]?.wall ?? 0]}`,
    path,
    room: host,
    ...{ a: piece.a, b: piece.b, high: piece.high },
    // what a booth stands on closes the gap under a raised floor
    low: hostPlace.floor,
    ...{ tau, alpha },
    windowFrom: Number.POSITIVE_INFINITY,
    booth,
  }));
}

/** Drawings are rounded: a baffle may run into a wall or the ceiling by this much, m. */
const SLACK = 0.01;
/** Nearer than this a baffle stands on its player's feet, m. Common practice, no source. */
const ELBOW = 0.15;

/** Null, with a fault, where it goes through a wall, stands outside or under too low a ceiling, or of unknown make. */
function baffleOf(context: Context, name: string, entry: BaffleEntry): Panel | null {
  const path = ['baffles', name];
  const made = madeOf(context, entry.madeOf, 'baffle', [...path, 'made-of']);
  const room = roomOfBaffle(context, name, entry);
  if (room === null) return null;
  noteFeet(context, name, entry);
  const floor = floorOf(context.places, room);
  const high = topOf(context, name, entry, room);
  if (!made || high === null) return null;
  return {
    ...{ name, path, room, a: entry.from, b: entry.to },
    low: floor + entry.gap,
    high,
    ...{ tau: made.tau, alpha: made.alpha },
    windowFrom: floor + (entry.windowFrom ?? made.windowFrom),
    booth: null,
  };
}

/** The one room it stands in, ends against a wall included. */
function roomOfBaffle(
  { plan, places, notes }: Context,
  name: string,
  { from, to }: BaffleEntry,
): number | null {
  const [a, b] = [inset(from, to), inset(to, from)];
  const [room, ...others] = [geo.midpoint(from, to), a, b].map(([x, y]) => roomAt(places, x, y));
  const path = ['baffles', name];
  const inOne = others.every((other) => other === room);
  if (inOne && room === null)
    return notes.misplaced(path, `${name} is outside every room`, 'move it into a room');
  const walls = places.rooms.flatMap(({ outline }) =>
    outline.map((c, i) => [c, geo.corner(outline, i + 1)] as const),
  );
  const through = walls.some(([c, d]) => geo.crossing(a, b, c, d) !== null);
  if (!through && inOne && room !== undefined) return room;
  const { spot } = lengthsIn(plan.units);
  return notes.misplaced(
    path,
    `${name} runs through a wall, from ${spot(from)} to ${spot(to)}`,
    'shorten or move it',
  );
}

/** The end of a stretch, drawn in by the slack. */
function inset(end: geo.Vec2, other: geo.Vec2): geo.Vec2 {
  const part = Math.min(SLACK / geo.span(end, other), 0.25);
  return [end[0] + (other[0] - end[0]) * part, end[1] + (other[1] - end[1]) * part];
}

/** Height of its upper edge above the ground, kept to the ceiling. */
function topOf(
  { plan, places, notes }: Context,
  name: string,
  { height }: BaffleEntry,
  room: number,
): number | null {
  const place = room === OUTSIDE ? undefined : places.rooms[room];
  if (!place) return height;
  const top = place.floor + height;
  if (top <= place.ceiling) return top;
  const path = ['baffles', name, 'height'];
  const { size } = lengthsIn(plan.units);
  const tall = size(place.ceiling - place.floor);
  if (top <= place.ceiling + SLACK) {
    notes.assume('clamped', path, `${name} limited to the ceiling height, ${tall}`);
    return place.ceiling;
  }
  return notes.fault(
    'OUT_OF_RANGE',
    path,
    `${name} is ${size(height)} high, ${place.name} only ${tall}`,
    'lower it',
  );
}

function noteFeet({ plan, notes }: Context, name: string, { from, to }: BaffleEntry): void {
  const persons = [...plan.players, ...plan.listeners].map(([who, { at }]) => ({ who, at }));
  const elsewhere = [...plan.sources].flatMap(([who, { player }]) =>
    player && 'person' in player ? [{ who: `the player of ${who}`, at: player.person.at }] : [],
  );
  for (const { who, at } of [...persons, ...elsewhere]) {
    const away = geo.distanceToSegment(at, from, to);
    if (away >= ELBOW) continue;
    const path = ['baffles', name];
    const gap = lengthsIn(plan.units).close(away);
    if (away < BODY_RADIUS)
      notes.misplaced(path, `${who} is inside ${name}, ${gap} from it`, 'move one of them');
    else notes.caution(path, `${name} is ${gap} from ${who}, too close to sit or stand`, 'move one of them');
  }
}

/** A mic up to this far from its source stands before it with nothing between, m. */
export const WITH_ITS_SOURCE = 1.5;
type ObstructedPair = { readonly path: Path; readonly message: string };

/** Two points that nothing may stand between, and what to say of a panel that does. */
type Pair = {
  readonly from: geo.Vec3;
  readonly to: geo.Vec3;
  readonly path: Path;
  readonly say: (panel: string) => string;
};

/** Each pair that a panel separates, once, at the first panel that does. */
export function obstructedPairs(scene: Scene): ObstructedPair[] {
  const { panels } = scene;
  if (panels.length === 0) return [];
  return [...playedPairs(scene), ...closeMicPairs(scene)].flatMap(({ from, to, path, say }) => {
    const panel = panels.find((one) => separates(one, from, to));
    return panel ? [{ path, message: say(panel.name) }] : [];
  });
}

/** From the eyes of whoever plays it to each point from which an instrument sounds. */
function playedPairs({ players, sources }: Scene): Pair[] {
  return sources.flatMap(({ name, kit, player, points, path }) => {
    const body = players[player ?? -1];
    if (!body || path[0] !== 'players') return [];
    const what = kit === null ? name : `part of ${kit}`;
    const say = (panel: string) => `${what} extends through ${panel} and radiates on its far side`;
    return points.map(({ at }) => ({ from: body.eyes, to: at, path, say }));
  });
}

function closeMicPairs({ sources, mics, capsules }: Scene): Pair[] {
  return capsules.flatMap(({ name, at, mic }) => {
    const { purpose, wanted, path } = mics[mic] ?? {};
    if (purpose !== 'parts' || !wanted || !path) return [];
    return wanted.flatMap((index) => {
      const source = sources[index];
      const say = (panel: string) => `${panel} is between ${name} and its source, ${source?.name}`;
      const near = source?.points.filter((point) => geo.distance(point.at, at) < WITH_ITS_SOURCE) ?? [];
      return near.map((point) => ({ from: point.at, to: at, path, say }));
    });
  });
}

/** True where the straight line between two points runs through a panel. */
function separates({ a, b, low, high }: Panel, from: geo.Vec3, to: geo.Vec3): boolean {
  const met = geo.crossing(from, to, a, b);
  if (met === null) return false;
  const height = from[2] + (to[2] - from[2]) * met[0];
  return height > low && height < high;
}

/** A caution for each, said once. */
export function warnOfObstructedPairs(scene: Scene, notes: Notes): void {
  const pairs = new Map(obstructedPairs(scene).map((one) => [one.message, one]));
  for (const { path, message } of pairs.values())
    notes.caution(path, message, 'move one of them so that both are on the same side');
}
