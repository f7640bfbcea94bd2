/** Positions to mark on the floor: two distances each, and how each is set up. */
import * as geo from '../geometry.ts';
import type { MicEntry } from '../plan/mics.ts';
import type { PlanData } from '../plan/plan.ts';
import type { SourceEntry } from '../plan/players.ts';
import type { Lengths } from '../plan/units.ts';
import type { Capsule, Mic, Player, Room, Scene } from '../scene/scene.ts';

/** What positions are taken from, and how lengths are written. */
export type About = { readonly scene: Scene; readonly plan: PlanData; readonly lengthOf: Lengths['tape'] };

/** Height above the floor of its room, in words. */
export const heightIn = ({ scene, lengthOf }: About, z: number, room: number): string =>
  lengthOf(z - (scene.rooms[room]?.floor ?? 0));

export type Place = Pick<Capsule, 'name' | 'at' | 'room'> & Readonly<Record<'what' | 'setUp', string>>;

/** A pair with capsules further apart is on two stands, m. */
const ONE_BAR = 0.5;

/** By room, in the order of the plan. */
export const placesOf = (about: About): Place[] =>
  [
    ...about.scene.players.map((player) => playerPlace(about, player)),
    ...ownPlaces(about),
    ...about.scene.mics.flatMap((mic) => micPlaces(about, mic)),
    ...bafflePlaces(about),
  ].sort((a, b) => a.room - b.room);

function playerPlace({ scene, plan, lengthOf }: About, player: Player): Place {
  const { name, at, room, facing, standing, listener } = player;
  const riser = at[2] - (scene.rooms[room]?.floor ?? 0);
  const stance = standing ? 'standing' : 'seated';
  const stand = riser > 0.005 ? `${stance} on a ${lengthOf(riser)} riser` : stance;
  const asked = (plan.players.get(name) ?? plan.listeners.get(name))?.facing;
  const faced = asked && 'target' in asked ? asked.target : bearingWords(facing, scene.rooms[room]);
  return { what: listener ? 'listener' : 'player', name, at, room, setUp: `${stand}, facing ${faced}` };
}

/** Sources with their own position: loudspeakers, sections, an instrument apart from its player. */
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
    const at = geo.middleOf(points);
    const to = isSteep(axis) ? '' : `${towards(geo.bearingOf(axis), scene.rooms[room])}, `;
    return [
      { name, what, at, room, setUp: `${heightIn(about, at[2], room)} high, aimed ${to}${tiltWords(axis)}` },
    ];
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
  const place = (name: string, at: geo.Vec3, aim: geo.Vec3): Place => ({
    what: 'mic',
    name,
    at,
    room: one.room,
    setUp: `${heightIn(about, at[2], one.room)} high, ${aimWords(scene, { mic, entry, at, aim })}`,
  });
  if (!other) return [place(one.name, one.at, one.aim)];
  if (geo.distance(one.at, other.at) > ONE_BAR)
    return [one, other].map(({ name, at, aim }) => place(name, at, aim));
  // midway between the capsules, with the mean of their aims
  const middle = place(
    mic.name,
    geo.scale(geo.add(one.at, other.at), 0.5),
    geo.unit(geo.add(one.aim, other.aim)),
  );
  return [{ ...middle, what: 'pair' }];
}

/** Both ends of each; walls of booths are not set up. */
const bafflePlaces = (about: About): Place[] =>
  about.scene.panels
    .filter(({ booth }) => booth === null)
    .flatMap(({ name, room, a, b, high, low }) =>
      [a, b].map(([x, y]) => ({
        what: 'baffle end',
        name,
        at: [x, y, low] as const,
        room,
        setUp: `top at ${heightIn(about, high, room)}`,
      })),
    );

/** What to measure from, and how far. */
type Measured = readonly [from: string, tape: string];

/** From the walls of its room; without one from the plan's [0, 0]. */
export function tapesOf(
  { scene, lengthOf }: About,
  { at: [x, y], room: index }: Place,
): readonly [Measured, Measured] {
  const room = scene.rooms[index];
  if (!room)
    return [
      [x < 0 ? '[0, 0], left' : '[0, 0], right', lengthOf(Math.abs(x))],
      [y < 0 ? '[0, 0], down the page' : '[0, 0], up the page', lengthOf(Math.abs(y))],
    ];
  const booths = scene.rooms.flatMap(({ host, outline }): geo.Outline[] => (host === index ? [outline] : []));
  const [first, second] = tapesTo([x, y], room.outline, booths);
  const measured = (tape: Tape): Measured => [startOf(room, tape), lengthOf(tape.length)];
  return [measured(first), measured(second)];
}

function startOf({ outline, surfaces }: Room, tape: Tape): string {
  const wall = (i: number) => surfaces[2 + ((i + outline.length) % outline.length)]?.name ?? '';
  if (tape.from === 'wall') return wall(tape.wall);
  return `corner of ${wall(tape.corner - 1)} and ${wall(tape.corner)}`;
}

/** "hall, anticlockwise: bottom wall 1200 cm, right wall 900 cm …": which wall is which. */
export function wallsOf({ lengthOf }: About, { name, outline, surfaces }: Room): string {
  const walls = outline.map(
    (a, i) => `${surfaces[i + 2]?.name ?? ''} ${lengthOf(geo.span(a, geo.corner(outline, i + 1)))}`,
  );
  return `${name}, anticlockwise: ${walls.join(', ')}.`;
}

/** Beyond this angle a source is no reference for aiming a mic, degrees. */
const IN_SIGHT = 60;
type Aimed = Pick<Capsule, 'at' | 'aim'> & { readonly mic: Mic; readonly entry: MicEntry | undefined };

/** "aimed at tuba, tilted 48° down". `at` and `aim` are those of a capsule, or of a pair's middle. */
function aimWords(scene: Scene, { mic, entry, at, aim }: Aimed): string {
  const tilt = tiltWords(aim);
  if (isSteep(aim)) return `aimed ${tilt}`;
  const room = scene.rooms[scene.capsules[mic.capsules[0] ?? -1]?.room ?? -1];
  const bearing = geo.bearingOf(aim);
  const direction = `aimed ${towards(bearing, room)}`;
  if (entry?.nullAt !== undefined)
    return `null at ${entry.nullAt}: ${besideSource(scene, mic, at, bearing) ?? direction}, ${tilt}`;
  const target = targetOf(scene, mic, entry);
  return `${target === null ? direction : `aimed at ${target}`}, ${tilt}`;
}

/** What the mic is aimed at, if that has a name. */
function targetOf(scene: Scene, mic: Mic, entry: MicEntry | undefined): string | null {
  if (entry?.aim) return 'target' in entry.aim ? entry.aim.target : null;
  if (mic.purpose !== 'parts') return 'the middle of the ensemble';
  return scene.sources[mic.wanted[0] ?? -1]?.name ?? null;
}

/** "20° left of tuba": relative to its source, if that is roughly ahead. */
function besideSource(scene: Scene, mic: Mic, at: geo.Vec3, bearing: number): string | null {
  const source = scene.sources[mic.wanted[0] ?? -1];
  if (mic.purpose !== 'parts' || !source) return null;
  const turn = Math.round(
    geo.turnBetween(geo.bearingOf(geo.subtract(geo.middleOf(source.points), at)), bearing),
  );
  if (Math.abs(turn) > IN_SIGHT) return null;
  return turn === 0
    ? `aimed at ${source.name}`
    : `${Math.abs(turn)}° ${turn < 0 ? 'left' : 'right'} of ${source.name}`;
}

/** Steeper than this, a direction has no useful bearing, degrees. */
const STEEP = 85;

/** "tilted 48° down", "level", "straight down". */
function tiltWords(aim: geo.Vec3): string {
  const tilt = Math.round(geo.tiltOf(aim));
  const vertical = tilt < 0 ? 'down' : 'up';
  if (tilt === 0) return 'level';
  return isSteep(aim) ? `straight ${vertical}` : `tilted ${Math.abs(tilt)}° ${vertical}`;
}

const towards = (bearing: number, room: Room | undefined): string =>
  `${room ? 'at ' : ''}${bearingWords(bearing, room)}`;

const isSteep = (aim: geo.Vec3): boolean => Math.abs(geo.tiltOf(aim)) >= STEEP;

/**
 * "the left wall, 12° right of square": the wall that a direction faces most squarely, from anywhere in the room; without a
 * room, the bearing on the page.
 */
function bearingWords(bearing: number, room: Room | undefined): string {
  if (!room) {
    const degrees = Math.round(bearing) % 360;
    return degrees === 0 ? 'up the page' : `${degrees}° clockwise from up the page`;
  }
  const walls = room.outline.map((a, i) => {
    const b = geo.corner(room.outline, i + 1);
    const outward = geo.bearingOf([b[1] - a[1], a[0] - b[0], 0]);
    return { wall: room.surfaces[i + 2]?.name ?? '', turn: geo.turnBetween(outward, bearing) };
  });
  const [{ wall, turn } = { wall: '', turn: 0 }] = walls.sort((a, b) => Math.abs(a.turn) - Math.abs(b.turn));
  const name = wall.startsWith('wall ') ? wall : `the ${wall}`;
  const degrees = Math.round(Math.abs(turn));
  return degrees === 0 ? name : `${name}, ${degrees}° ${turn < 0 ? 'left' : 'right'} of square`;
}

/** A distance in metres, square to a wall (its number along the outline), or from one of its corners. */
type Tape =
  | { readonly from: 'wall'; readonly wall: number; readonly length: number }
  | { readonly from: 'corner'; readonly corner: number; readonly length: number };

/** Two walls at a smaller angle than this give a poor fix, degrees. */
const FLATTEST = 30;

/**
 * Square to the nearest wall that a tape can reach, and to the nearest at an angle to it. If there are no two such walls, from
 * both ends of the nearest one. `booths` are in the room, and no tape crosses them.
 */
export function tapesTo(
  point: geo.Vec2,
  outline: geo.Outline,
  booths: readonly geo.Outline[] = [],
): readonly [Tape, Tape] {
  const reached = outline
    .map((_, wall) => ({ wall, foot: footOn(outline, wall, point) }))
    .flatMap(({ wall, foot }) =>
      foot && isFree(point, foot, outline, booths) ? [{ wall, length: geo.span(point, foot) }] : [],
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

/** Both ends of the wall whose ends are closest in total: on the near side there is only one such point. */
function cornersTo(
  point: geo.Vec2,
  outline: geo.Outline,
  booths: readonly geo.Outline[],
): readonly [Tape, Tape] {
  const ends = outline.map((at) => ({
    length: geo.span(point, at),
    free: isFree(point, at, outline, booths),
  }));
  const tape = (i: number): Tape => ({ from: 'corner', corner: i, length: ends[i]?.length ?? 0 });
  const next = (i: number) => (i + 1) % outline.length;
  const cost = (i: number) =>
    tape(i).length + tape(next(i)).length + (ends[i]?.free && ends[next(i)]?.free ? 0 : BLOCKED);
  const [best = 0] = [...outline.keys()].sort((a, b) => cost(a) - cost(b));
  return [tape(best), tape(next(best))];
}

/** Longer than any tape: a blocked corner is used only if there is no other, m. */
const BLOCKED = 1e6;

/** The foot of the perpendicular from a point to a wall; null beyond its ends. */
function footOn(outline: geo.Outline, wall: number, [x, y]: geo.Vec2): geo.Vec2 | null {
  const [a, b] = [geo.corner(outline, wall), geo.corner(outline, wall + 1)];
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const along = ((x - a[0]) * dx + (y - a[1]) * dy) / (dx * dx + dy * dy);
  return along >= -1e-9 && along <= 1 + 1e-9 ? [a[0] + along * dx, a[1] + along * dy] : null;
}

function isFree(
  point: geo.Vec2,
  end: geo.Vec2,
  outline: geo.Outline,
  booths: readonly geo.Outline[],
): boolean {
  const isCrossed = (booth: geo.Outline) =>
    booth.some((c, i) => geo.crossing(point, end, c, geo.corner(booth, i + 1)) !== null);
  return geo.seesWithin(outline, point, end) && !booths.some(isCrossed);
}

/** Angle between two walls, 0 to 90 degrees. */
function angleOf(outline: geo.Outline, one: number, other: number): number {
  const [a, b] = [one, other].map((wall) => {
    const [from, to] = [geo.corner(outline, wall), geo.corner(outline, wall + 1)];
    return Math.atan2(to[1] - from[1], to[0] - from[0]);
  }) as [number, number];
  return (Math.asin(Math.min(1, Math.abs(Math.sin(a - b)))) * 180) / Math.PI;
}
