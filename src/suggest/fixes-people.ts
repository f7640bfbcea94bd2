/** Turn, move, swap, beside whom, other room. */
import * as geo from '../geometry.ts';
import { type Edit, nodeAt } from '../plan/edit.ts';
import type { Room, Scene } from '../scene/scene.ts';
import { carryMinutes } from './carrying.ts';
import { type Computed, editsMoving, type FixMaker, movable, ownMicNames, type Thing } from './evaluate.ts';
import { fixOf, lengthFormatOf, placeWords, set, stepWords } from './fixes.ts';

/** Degrees; a loudspeaker also turns round. Finer steps change too little to ask for. Common practice, no source. */
const TURNS = [-30, 30, -60, 60, -90, 90];
/** Whom one plays with is no further to the side, degrees. Common practice, no source. */
const WITH_OTHERS = 60;
/** How far one goes, m: half as far in a small room, m²; a section further, too. Common practice, no source. */
const [STEP, SMALL_STEP, SMALL, SECTION_STEP] = [1, 0.5, 25, 2];
/** Into how many directions on the plan. */
const WAYS = 8;

export const turnPlayerFixes: FixMaker = (base, { sounding }) =>
  movable(base, sounding).flatMap((thing) => {
    const { name, section, facing: now } = thing;
    const asked = base.plan[section].get(name)?.facing;
    if (section === 'players' && asked && 'target' in asked) return [];
    const keeps = ownMicNames(base.scene, thing);
    const atLeast = carryMinutes(base, name);
    const turns =
      section === 'sources' ? [...TURNS, 180] : TURNS.filter((turn) => isWithOthers(base, thing, turn));
    return turns.map((turn) => {
      const facing = Math.round(now + turn + 720) % 360;
      const side = turn === 180 ? 'around' : `${Math.abs(turn)}° ${turn > 0 ? 'right' : 'left'}`;
      const edit = set([section, name, 'facing'], facing);
      const say = () => `turn ${name} ${side} (facing ${facing}°)`;
      return fixOf('turn-player', [name], [edit], say, { size: side, keeps, atLeast });
    });
  });

/** Whoever has the others in front, on the whole, still has them there after a turn; who has them behind may turn any way. */
function isWithOthers(
  { scene: { players } }: Computed,
  { name, at, room, facing }: Thing,
  turn: number,
): boolean {
  const others = players.filter((one) => one.name !== name && one.room === room);
  if (others.length === 0) return true;
  const [x, y] = geo.meanOf(others.map((one) => one.at));
  const bearing = geo.bearingOf([x - at[0], y - at[1], 0]);
  const away = (to: number) => Math.abs(geo.turnBetween(to, bearing));
  return away(facing + turn) <= Math.max(WITH_OTHERS, away(facing) > 90 ? 180 : 0);
}

export const movePlayerFixes: FixMaker = (base, { sounding }) => {
  const format = lengthFormatOf(base.tree);
  return movable(base, sounding).flatMap((thing) => {
    const atLeast = carryMinutes(base, thing.name);
    const area = base.scene.rooms[thing.room]?.surfaces[0]?.area ?? SMALL;
    const step = area < SMALL ? SMALL_STEP : STEP;
    const isSection = base.plan.sources.get(thing.name)?.section !== undefined;
    return (isSection ? [step, SECTION_STEP] : [step]).flatMap((step) =>
      Array.from({ length: WAYS }, (_, i) => {
        const way = (i * 2 * Math.PI) / WAYS;
        const by = [step * Math.sin(way), step * Math.cos(way)] as const;
        const say = () => {
          const to = placeWords(base, thing.room, [thing.at[0] + by[0], thing.at[1] + by[1]]);
          return `move ${thing.name} and mics ${stepWords(by, format)}, to ${to}`;
        };
        const size = stepWords(by, format);
        return fixOf('move-player', [thing.name], editsMoving(base, thing, by), say, { size, atLeast });
      }),
    );
  });
};

/** Whoever sings or speaks keeps the place before the others. */
const instrumentalists = (base: Computed, sounding: ReadonlySet<string>): Thing[] =>
  movable(base, sounding).filter(({ name, section }) => {
    const player = base.scene.players.findIndex((one) => one.name === name);
    const own = base.scene.sources.filter((one) => one.player === player);
    return section === 'players' && own.every(({ family }) => family !== 'voices');
  });

export const swapPlayersFixes: FixMaker = (base, { sounding }) => {
  const people = instrumentalists(base, sounding);
  return people.flatMap((one, i) =>
    people.slice(i + 1).map((other) => {
      const edits = [...inPlaceOf(base, one, other), ...inPlaceOf(base, other, one)];
      const say = () => `swap ${one.name} and ${other.name}`;
      const atLeast = carryMinutes(base, one.name) + carryMinutes(base, other.name);
      return fixOf('swap-players', [one.name, other.name], edits, say, { atLeast });
    }),
  );
};

/** Beside somebody is so far from them, m. Common practice, no source. */
const BESIDE = 1;
/** Seats that are tried for one player, the furthest from the mic first. */
const SEATS = 3;

/** Whoever is loud in a mic for somebody else, on the far side of each other player in the room. */
export const seatBesideFixes: FixMaker = (base, { sounding, bleeders }) => {
  const people = instrumentalists(base, sounding);
  const pairs = new Map(bleeders.map((one) => [one.player, one]));
  return [...pairs.values()].flatMap(({ player, mic }) => {
    const thing = people.find(({ name }) => name === base.scene.players[player]?.name);
    const victim = base.scene.capsules[base.scene.mics[mic]?.capsules[0] ?? -1]?.at;
    if (!thing || !victim) return [];
    return people
      .filter(({ name, room }) => name !== thing.name && room === thing.room)
      .filter(({ at }) => geo.span(at, thing.at) > 2 * BESIDE && geo.span(at, victim) > 2 * BESIDE)
      .sort((a, b) => geo.span(b.at, victim) - geo.span(a.at, victim))
      .slice(0, SEATS)
      .map((other) => {
        const far = geo.span(other.at, victim);
        const to = [0, 1].map((i) => {
          const along = ((other.at[i] ?? 0) - (victim[i] ?? 0)) / far;
          return Math.round(((other.at[i] ?? 0) + BESIDE * along) * 20) / 20;
        }) as [number, number];
        const edits = inPlaceOf(base, thing, { ...other, at: to });
        const say = () => `seat ${thing.name} beside ${other.name}, at ${placeWords(base, thing.room, to)}`;
        const atLeast = carryMinutes(base, thing.name);
        return fixOf('seat-beside', [thing.name], edits, say, { size: `beside ${other.name}`, atLeast });
      });
  });
};

/** A player who faces a bearing, not a target, takes over that of another's place. */
export function inPlaceOf(base: Computed, one: Thing, other: Thing): Edit[] {
  const path = [one.section, one.name, 'facing'];
  const facing = nodeAt(base.tree, path);
  const keeps = one.section === 'sources' || other.section === 'sources';
  const isTarget =
    facing?.kind === 'scalar' &&
    typeof facing.value === 'string' &&
    Number.isNaN(Number.parseFloat(facing.text));
  return [
    ...editsMoving(base, one, [other.at[0] - one.at[0], other.at[1] - one.at[1]]),
    ...(isTarget || keeps ? [] : [set(path, Math.round(other.facing) % 360)]),
  ];
}

/** Places that are tried in another room or booth, as shares of its width and depth. */
const PLACES = [
  [0.5, 0.5],
  [0.3, 0.3],
  [0.7, 0.3],
  [0.3, 0.7],
  [0.7, 0.7],
] as const;

export const otherRoomFixes: FixMaker = (base, { sounding }) =>
  movable(base, sounding).flatMap((thing) =>
    base.scene.rooms.flatMap((room, index) => {
      const isOut =
        index === thing.room || isInSection(base.scene, thing) || isAmongAmps(base.scene, thing, index);
      const places = isOut ? [] : placesIn(base.scene, room, index);
      return places.map((to) => {
        const edits = editsMoving(base, thing, [to[0] - thing.at[0], to[1] - thing.at[1]]);
        const say = () => `move ${thing.name} and mics to ${placeWords(base, index, to)}`;
        const atLeast = carryMinutes(base, thing.name);
        return fixOf('other-room', [thing.name, room.name], edits, say, { size: thing.name, atLeast });
      });
    }),
  );

/** So many players of winds and brass, each this near to the next, play as one and stay together. Common practice, no source. */
const [SECTION, NEIGHBOURS] = [3, 2.5];
const HORNS = new Set(['winds', 'brass']);

function isInSection({ sources, players }: Scene, { name, at, room }: Thing): boolean {
  const isHorn = (player: number) =>
    sources.some((one) => one.player === player && HORNS.has(one.family ?? ''));
  const near = players.filter(
    (one, i) => one.room === room && isHorn(i) && geo.span(one.at, at) < NEIGHBOURS,
  );
  return near.some((one) => one.name === name) && near.length >= SECTION;
}

/** Nobody stands in the room where amplifiers alone play. */
function isAmongAmps({ sources }: Scene, { section }: Thing, room: number): boolean {
  const there = sources.filter(({ points }) => points[0]?.room === room);
  return section === 'players' && there.length > 0 && there.every(({ family }) => family === 'loudspeakers');
}

/** Not in a booth that stands in the room. */
export function placesIn({ rooms }: Scene, { outline }: Room, index: number): geo.Vec2[] {
  const [left, right] = ends(outline.map(([x]) => x));
  const [bottom, top] = ends(outline.map(([, y]) => y));
  const booths = rooms.filter(({ host }) => host === index);
  return PLACES.map(([x, y]): geo.Vec2 => [left + (right - left) * x, bottom + (top - bottom) * y])
    .map(([x, y]): geo.Vec2 => [Math.round(x * 20) / 20, Math.round(y * 20) / 20])
    .filter(([x, y]) => geo.holds(outline, x, y) && !booths.some((booth) => geo.holds(booth.outline, x, y)));
}

const ends = (values: readonly number[]): [number, number] => [Math.min(...values), Math.max(...values)];
