/** A baffle: where it stands, and what it is made of. */
import { lengthsIn } from '../plan/lengths.ts';
import type { BaffleEntry } from '../plan/plan-rooms.ts';
import { madeOf } from './construction.ts';
import { assume, caution, fault } from './notes.ts';
import { corner, crossing, distanceToStretch, span } from './polygon.ts';
import type { RoomJob } from './room-job.ts';
import { roomAt } from './room-places.ts';
import { OUTSIDE, type Panel } from './scene.ts';
import type { Vec2 } from './vector.ts';

/** Drawings are rounded: a baffle may run into a wall or the ceiling by this much, m. */
const SLACK = 0.01;
/** Nearer than this a baffle stands on its player's feet, m. Common practice, no source. */
const ELBOW = 0.15;

/** Null, with a fault, where it goes through a wall, stands outside or under too low a ceiling, or of unknown make. */
export function baffleOf(job: RoomJob, name: string, entry: BaffleEntry): Panel | null {
  const path = ['baffles', name];
  const made = madeOf(job, entry.madeOf, 'baffle', [...path, 'made-of']);
  const room = roomOfBaffle(job, name, entry);
  if (room === null) return null;
  noteFeet(job, name, entry);
  const floor = job.places.floors[room] ?? 0;
  const high = topOf(job, name, entry, room);
  if (!made || high === null) return null;
  return {
    name,
    path,
    room,
    a: entry.from,
    b: entry.to,
    low: floor + entry.gap,
    high,
    tau: made.tau,
    alpha: made.alpha,
    windowFrom: floor + (entry.windowFrom ?? made.windowFrom),
    booth: null,
  };
}

/** The one room it stands in, ends against a wall included. */
function roomOfBaffle(
  { plan, places, notes }: RoomJob,
  name: string,
  { from, to }: BaffleEntry,
): number | null {
  const [a, b] = [inset(from, to), inset(to, from)];
  const middle: Vec2 = [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2];
  const [room, ...others] = [middle, a, b].map(([x, y]) => roomAt(places, x, y));
  const path = ['baffles', name];
  if (others.every((other) => other === room) && room === null) {
    fault(notes, 'BAD_PLACE', path, `${name} stands outside every room`, 'move it into a room');
    return null;
  }
  const walls = places.rooms.flatMap(({ outline }) =>
    outline.map((c, i) => [c, corner(outline, i + 1)] as const),
  );
  const through = walls.some(([c, d]) => crossing(a, b, c, d) !== null);
  if (!through && room !== undefined && room !== null && others.every((other) => other === room)) return room;
  const { spot } = lengthsIn(plan.units);
  fault(notes, 'BAD_PLACE', path, `${name} goes through a wall, from ${spot(from)} to ${spot(to)}`);
  return null;
}

/** The end of a stretch, drawn in by the slack. */
function inset(end: Vec2, other: Vec2): Vec2 {
  const part = Math.min(SLACK / span(end, other), 0.25);
  return [end[0] + (other[0] - end[0]) * part, end[1] + (other[1] - end[1]) * part];
}

/** Height of its upper edge above the ground, kept to the ceiling. */
function topOf(
  { plan, places, notes }: RoomJob,
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
    assume(notes, 'clamped', path, `${name} kept to the ceiling, ${tall}`);
    return place.ceiling;
  }
  fault(notes, 'BAD_RANGE', path, `${name} is ${size(height)} high, and ${place.name} only ${tall}`);
  return null;
}

function noteFeet({ plan, notes }: RoomJob, name: string, { from, to }: BaffleEntry): void {
  const persons = [...plan.players, ...plan.listeners].map(([who, { at }]) => ({ who, at }));
  const elsewhere = [...plan.sources].flatMap(([who, { player }]) =>
    player && 'person' in player ? [{ who: `the player of ${who}`, at: player.person.at }] : [],
  );
  for (const { who, at } of [...persons, ...elsewhere]) {
    const away = distanceToStretch(at, from, to);
    if (away >= ELBOW) continue;
    caution(
      notes,
      ['baffles', name],
      `${name} stands ${lengthsIn(plan.units).close(away)} from ${who}: nobody has room there`,
    );
  }
}
