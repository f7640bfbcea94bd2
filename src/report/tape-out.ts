/** Everything that is put down by tape: its place as two tape lengths, how high it is, and which way it faces. */
import {
  add,
  bearingOf,
  corner,
  crossing,
  distance,
  middleOf,
  type Outline,
  scale,
  seesWithin,
  span,
  subtract,
  tiltOf,
  turnBetween,
  unit,
  type Vec2,
  type Vec3,
} from '../geometry.ts';
import type { MicEntry } from '../plan/mics.ts';
import type { PlanData } from '../plan/plan.ts';
import type { SourceEntry } from '../plan/players.ts';
import type { Lengths } from '../plan/units.ts';
import type { Capsule, Mic, Player, Room, Scene } from '../scene/scene.ts';

/** Which places are listed. */
export type About = { readonly scene: Scene; readonly plan: PlanData; readonly tell: Lengths['tape'] };

/** Height above the floor of its room, in words. */
export const heightIn = ({ scene, tell }: About, z: number, room: number): string =>
  tell(z - (scene.rooms[room]?.floor ?? 0));

export type Place = Pick<Capsule, 'name' | 'at' | 'room'> &
  Readonly<Record<'what' | 'height' | 'direction', string>>;

/** A pair whose capsules are further apart stands on two stands, m. */
const ONE_BAR = 0.5;

/** By room, in the order of the plan. */
export const placesOf = (about: About): Place[] =>
  [
    ...about.scene.players.map((player) => playerPlace(about, player)),
    ...ownPlaces(about),
    ...about.scene.mics.flatMap((mic) => micPlaces(about, mic)),
    ...bafflePlaces(about),
  ].sort((a, b) => a.room - b.room);

function playerPlace({ scene, plan, tell }: About, player: Player): Place {
  const { name, at, room, facing, standing, listener } = player;
  const riser = at[2] - (scene.rooms[room]?.floor ?? 0);
  const stance = standing ? 'stands' : 'sits';
  const asked = (plan.players.get(name) ?? plan.listeners.get(name))?.facing;
  const faced = asked && 'target' in asked ? asked.target : bearingWords(facing, scene.rooms[room]);
  return {
    what: listener ? 'listener' : 'player',
    name,
    at,
    room,
    height: riser > 0.005 ? `${stance}, riser ${tell(riser)}` : stance,
    direction: `faces ${faced}`,
  };
}

/** What the plan gives a place of its own: loudspeakers, sections, an instrument that is not where its player is. */
function ownPlaces(about: About): Place[] {
  const { plan, scene } = about;
  const free = [...plan.sources].map(([name, entry]) => ({ name, what: kindOf(entry) }));
  const apart = [...plan.players].flatMap(([player, { plays }]) =>
    plays
      .filter(({ at }) => at !== undefined)
      .map(({ name, instrument }) => ({ name: name ?? player, what: instrument ?? 'source' })),
  );
  return [...free, ...apart].flatMap(({ name, what }) => {
    const own = scene.sources.filter((one) => one.name === name || one.kit === name);
    const points = own.flatMap((source) => source.points);
    const [first] = points;
    if (!first) return [];
    const { room, axis } = first;
    const at = middleOf(points);
    const to = isSteep(axis) ? '' : `to ${bearingWords(bearingOf(axis), scene.rooms[room])}, `;
    const height = heightIn(about, at[2], room);
    return [{ name, what, at, room, height, direction: `speaks ${to}${tipWords(axis)}` }];
  });
}

function kindOf({ section, instrument, repeats }: SourceEntry): string {
  if (section) return 'section';
  return instrument ?? (repeats === undefined ? 'source' : 'loudspeaker');
}

function micPlaces(about: About, mic: Mic): Place[] {
  const { scene, plan } = about;
  const entry = plan.mics.get(mic.name);
  const [one, other] = mic.capsules.flatMap((index) => scene.capsules[index] ?? []);
  if (!one) return [];
  const place = (name: string, at: Vec3, aim: Vec3): Place => ({
    what: 'mic',
    name,
    at,
    room: one.room,
    height: heightIn(about, at[2], one.room),
    direction: aimWords(scene, { mic, entry, at, aim }),
  });
  if (!other) return [place(one.name, one.at, one.aim)];
  if (distance(one.at, other.at) > ONE_BAR)
    return [one, other].map(({ name, at, aim }) => place(name, at, aim));
  // half way between its capsules, and the mean of their aims
  const middle = place(mic.name, scale(add(one.at, other.at), 0.5), unit(add(one.aim, other.aim)));
  return [{ ...middle, what: 'pair' }];
}

/** Both ends of each; walls of booths stand already. */
const bafflePlaces = (about: About): Place[] =>
  about.scene.panels
    .filter(({ booth }) => booth === null)
    .flatMap(({ name, room, a, b, high, low }) =>
      [a, b].map(([x, y]) => ({
        what: 'baffle end',
        name,
        at: [x, y, low] as const,
        room,
        height: `top at ${heightIn(about, high, room)}`,
        direction: '',
      })),
    );

/** Its place in words: what to measure from, and how far. */
type Told = readonly [from: string, tape: string];

/** From the walls of its room; in the open air from the zero of the plan. */
export function tapesOf({ scene, tell }: About, { at: [x, y], room: index }: Place): readonly [Told, Told] {
  const room = scene.rooms[index];
  if (!room)
    return [
      [x < 0 ? 'zero, to the left' : 'zero, to the right', tell(Math.abs(x))],
      [y < 0 ? 'zero, down the page' : 'zero, up the page', tell(Math.abs(y))],
    ];
  const booths = scene.rooms.flatMap(({ host, outline }): Outline[] => (host === index ? [outline] : []));
  const [first, second] = tapesTo([x, y], room.outline, booths);
  const told = (tape: Tape): Told => [startOf(room, tape), tell(tape.length)];
  return [told(first), told(second)];
}

function startOf({ outline, surfaces }: Room, tape: Tape): string {
  const wall = (i: number) => surfaces[2 + ((i + outline.length) % outline.length)]?.name ?? '';
  if (tape.from === 'wall') return wall(tape.wall);
  return `corner of ${wall(tape.corner - 1)} and ${wall(tape.corner)}`;
}

/** "hall, going round: bottom wall 1200 cm, right wall 900 cm …": which wall is which. */
export function wallsOf({ tell }: About, { name, outline, surfaces }: Room): string {
  const walls = outline.map(
    (a, i) => `${surfaces[i + 2]?.name ?? ''} ${tell(span(a, corner(outline, i + 1)))}`,
  );
  return `${name}, going round to the left: ${walls.join(', ')}.`;
}

/** A source further round than this is no mark to turn a microphone by, degrees. */
const IN_SIGHT = 60;
type Aimed = Pick<Capsule, 'at' | 'aim'> & { readonly mic: Mic; readonly entry: MicEntry | undefined };

/** "looks at tuba, tip it 48° down". `at` and `aim` are those of a capsule, or of a pair's middle. */
function aimWords(scene: Scene, { mic, entry, at, aim }: Aimed): string {
  const tip = tipWords(aim);
  if (isSteep(aim)) return `looks ${tip}`;
  const room = scene.rooms[scene.capsules[mic.capsules[0] ?? -1]?.room ?? -1];
  const bearing = bearingOf(aim);
  const direction = `looks to ${bearingWords(bearing, room)}`;
  if (entry?.nullAt !== undefined)
    return `null to ${entry.nullAt}: ${besideSource(scene, mic, at, bearing) ?? direction}, ${tip}`;
  const whom = lookedAt(scene, mic, entry);
  return `${whom === null ? direction : `looks at ${whom}`}, ${tip}`;
}

/** A name where the microphone looks at one. */
function lookedAt(scene: Scene, mic: Mic, entry: MicEntry | undefined): string | null {
  if (entry?.aim) return 'target' in entry.aim ? entry.aim.target : null;
  if (mic.purpose !== 'parts') return 'the middle of all that plays';
  return scene.sources[mic.wanted[0] ?? -1]?.name ?? null;
}

/** "turned 20° left of tuba": by its own source, where that stands about ahead of it. */
function besideSource(scene: Scene, mic: Mic, at: Vec3, bearing: number): string | null {
  const source = scene.sources[mic.wanted[0] ?? -1];
  if (mic.purpose !== 'parts' || !source) return null;
  const turn = Math.round(turnBetween(bearingOf(subtract(middleOf(source.points), at)), bearing));
  if (Math.abs(turn) > IN_SIGHT) return null;
  return turn === 0
    ? `looks at ${source.name}`
    : `turned ${Math.abs(turn)}° ${turn < 0 ? 'left' : 'right'} of ${source.name}`;
}

/** From so many degrees on a direction has no bearing worth a word. */
const STEEP = 85;

/** "tip it 48° down", "level", "straight down". */
function tipWords(aim: Vec3): string {
  const tilt = Math.round(tiltOf(aim));
  const way = tilt < 0 ? 'down' : 'up';
  if (tilt === 0) return 'level';
  return isSteep(aim) ? `straight ${way}` : `tip it ${Math.abs(tilt)}° ${way}`;
}

const isSteep = (aim: Vec3): boolean => Math.abs(tiltOf(aim)) >= STEEP;

/**
 * "the left wall, turned 12° right of square": the wall that a direction points at most squarely, wherever in the room one
 * stands; in the open air by the page.
 */
function bearingWords(bearing: number, room: Room | undefined): string {
  if (!room) {
    const degrees = Math.round(bearing) % 360;
    return degrees === 0 ? 'up the page' : `${degrees}° clockwise from up the page`;
  }
  const walls = room.outline.map((a, i) => {
    const b = corner(room.outline, i + 1);
    const outward = bearingOf([b[1] - a[1], a[0] - b[0], 0]);
    return { wall: room.surfaces[i + 2]?.name ?? '', turn: turnBetween(outward, bearing) };
  });
  const [{ wall, turn } = { wall: '', turn: 0 }] = walls.sort((a, b) => Math.abs(a.turn) - Math.abs(b.turn));
  const name = wall.startsWith('wall ') ? wall : `the ${wall}`;
  const degrees = Math.round(Math.abs(turn));
  return degrees === 0 ? name : `${name}, turned ${degrees}° ${turn < 0 ? 'left' : 'right'} of square`;
}

/** A length of tape in metres, square to a wall (its number along the outline), or from one of its corners. */
type Tape =
  | { readonly from: 'wall'; readonly wall: number; readonly length: number }
  | { readonly from: 'corner'; readonly corner: number; readonly length: number };

/** Two walls that stand flatter to each other than this give a poor fix, degrees. */
const FLATTEST = 30;

/**
 * Square to the nearest wall that a tape can reach, and to the nearest that stands at an angle to it. Where a room has no such
 * two, from both ends of its nearest wall. `booths` stand in the room, and no tape goes through them.
 */
export function tapesTo(
  point: Vec2,
  outline: Outline,
  booths: readonly Outline[] = [],
): readonly [Tape, Tape] {
  const reached = outline
    .map((_, wall) => ({ wall, foot: footOn(outline, wall, point) }))
    .flatMap(({ wall, foot }) =>
      foot && isFree(point, foot, outline, booths) ? [{ wall, length: span(point, foot) }] : [],
    )
    .sort((a, b) => a.length - b.length);
  const [first] = reached;
  const second = first && reached.find(({ wall }) => angleOf(outline, first.wall, wall) >= FLATTEST);
  if (!first || !second) return cornersTo(point, outline, booths);
  return [
    { from: 'wall', ...first },
    { from: 'wall', ...second },
  ];
}

/** The two ends of the wall whose ends are nearest together: on the near side of it there is but one such point. */
function cornersTo(point: Vec2, outline: Outline, booths: readonly Outline[]): readonly [Tape, Tape] {
  const ends = outline.map((at) => ({ length: span(point, at), free: isFree(point, at, outline, booths) }));
  const tape = (i: number): Tape => ({ from: 'corner', corner: i, length: ends[i]?.length ?? 0 });
  const next = (i: number) => (i + 1) % outline.length;
  const cost = (i: number) =>
    tape(i).length + tape(next(i)).length + (ends[i]?.free && ends[next(i)]?.free ? 0 : BLOCKED);
  const [best = 0] = [...outline.keys()].sort((a, b) => cost(a) - cost(b));
  return [tape(best), tape(next(best))];
}

/** Longer than any tape: a blocked corner is taken only where there is no other, m. */
const BLOCKED = 1e6;

/** Where the square from a point meets a wall; null beyond its ends. */
function footOn(outline: Outline, wall: number, [x, y]: Vec2): Vec2 | null {
  const [a, b] = [corner(outline, wall), corner(outline, wall + 1)];
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const along = ((x - a[0]) * dx + (y - a[1]) * dy) / (dx * dx + dy * dy);
  return along >= -1e-9 && along <= 1 + 1e-9 ? [a[0] + along * dx, a[1] + along * dy] : null;
}

function isFree(point: Vec2, end: Vec2, outline: Outline, booths: readonly Outline[]): boolean {
  const isCrossed = (booth: Outline) =>
    booth.some((c, i) => crossing(point, end, c, corner(booth, i + 1)) !== null);
  return seesWithin(outline, point, end) && !booths.some(isCrossed);
}

/** Between the lines of two walls, 0 to 90 degrees. */
function angleOf(outline: Outline, one: number, other: number): number {
  const [a, b] = [one, other].map((wall) => {
    const [from, to] = [corner(outline, wall), corner(outline, wall + 1)];
    return Math.atan2(to[1] - from[1], to[0] - from[0]);
  }) as [number, number];
  return (Math.asin(Math.min(1, Math.abs(Math.sin(a - b)))) * 180) / Math.PI;
}
