/** What goes through which door: who and what is carried, by how many, through what width, in how many minutes. */
import type { Carried } from '../catalogue/catalogue.ts';
import { distance, middleOf, turnBetween } from '../geometry.ts';
import type { Session } from '../judge/session.ts';
import type { PlanData } from '../plan/plan.ts';
import { lengthsIn } from '../plan/units.ts';
import type { Scene, Source } from '../scene/scene.ts';

/** A plan before something in it is moved. */
export type Before = Pick<Session, 'plan' | 'scene' | 'catalogue'>;

/** A person with nothing in hand; an instrument that the catalogue does not know is carried as easily. Common practice, no source. */
const ALONE: Carried = { people: 1, width: 0.6, minutes: 1 };
/** A door of which the plan says nothing, m: an ordinary inner door. Common practice, no source. */
const USUAL_DOOR = 0.8;
/** What one steps over and stoops under in an opening, m. Common practice, no source. */
const [STEP, STOOP] = [0.25, 1.7];

/** Of the kit as a whole for its pieces; null for what stays where it is. */
export function carriedOf({ plan, scene, catalogue }: Before, source: Source): Carried | null {
  const player = scene.players[source.player ?? -1]?.name ?? '';
  const played = plan.players.get(player)?.plays.find(({ name }) => (name ?? player) === source.kit);
  const one =
    catalogue.kits.get(played?.instrument ?? '') ?? catalogue.instruments.get(source.instrument ?? '');
  return one ? one.carried : ALONE;
}

/** The one of the same name, which nearly always has the same place. */
export const like = <T extends { readonly name: string }>(all: readonly T[], index: number, { name }: T) =>
  all[index]?.name === name ? all[index] : all.find((one) => one.name === name);

/** The door that a person with all of this passes, m. */
export const widthNeeded = (before: Before, sources: readonly Source[]): number =>
  Math.max(ALONE.width, ...sources.map((source) => carriedOf(before, source)?.width ?? 0));

type Load = Carried & { readonly name: string };

/** What is carried from its place; a kit once. `stays` names what cannot be. */
export type Loads = { readonly loads: readonly Load[]; readonly stays: string | null };

/** Minutes to carry what somebody plays, or what sounds by itself; a kit once. */
export function carryMinutes(before: Before, name: string): number {
  const { players, sources } = before.scene;
  const own = sources.filter((source) =>
    source.path[0] === 'sources' ? source.name === name : players[source.player ?? -1]?.name === name,
  );
  const things = new Map(own.map((source) => [source.kit ?? source.name, source]));
  return [...things.values()].reduce((sum, source) => sum + (carriedOf(before, source)?.minutes ?? 0), 0);
}

/** Less is no move, m; the other turns no instrument about, degrees. */
const [UNMOVED, UNTURNED] = [0.01, 5];

export function loadsOf(before: Before, after: Scene): Loads {
  const { scene } = before;
  const loads = new Map<string, Load>();
  for (const [i, source] of scene.sources.entries()) {
    const now = like(after.sources, i, source);
    if (!now || now === source || source.points.length === 0 || now.points.length === 0) continue;
    const player = scene.players[source.player ?? -1];
    const turned = Math.abs(
      turnBetween(
        player?.facing ?? 0,
        (player && like(after.players, source.player ?? -1, player)?.facing) ?? 0,
      ),
    );
    const isHeld = source.path[0] === 'players';
    const isTurned = isHeld && turned > UNTURNED;
    if (!isTurned && distance(middleOf(source.points), middleOf(now.points)) < UNMOVED) continue;
    const name = source.kit ?? source.name;
    const carried = carriedOf(before, source);
    if (!carried) return { loads: [], stays: name };
    loads.set(name, { ...carried, name });
  }
  return { loads: [...loads.values()], stays: null };
}

/** "grand-piano stays where it is", "piano does not fit through a door of 80 cm"; null where all that changes room passes. */
export function stuck(before: Before, after: Scene): string | null {
  const { plan, scene } = before;
  if (after.sources === scene.sources && after.players === scene.players) return null;
  const { loads, stays } = loadsOf(before, after);
  if (stays !== null) return `${stays} stays where it is`;
  const { close } = lengthsIn(plan.units);
  const rooms = [...plan.rooms.keys()];
  const walks = scene.players.map((player, i) => ({
    ...{
      name: player.name,
      width: ALONE.width,
      from: player.room,
      to: after.players[i]?.room ?? player.room,
    },
  }));
  const carries = loads.map(({ name, width }) => {
    const [from = 0, to = 0] = [scene, after].map(({ sources }) => {
      return sources.find((source) => (source.kit ?? source.name) === name)?.points[0]?.room;
    });
    return { name, width, from, to };
  });
  for (const { name, width, from, to } of [...carries, ...walks]) {
    const door = from === to ? Number.POSITIVE_INFINITY : widest(plan, rooms[from], rooms[to]);
    if (door === 0) return `no door leads there for ${name}`;
    if (door < width) return `${name} does not fit through a door of ${close(door)}`;
  }
  return null;
}

const OUTSIDE = 'outside';

/** Width of the narrowest door on the widest way from room to room, m; 0 where no door leads there. */
export function widest({ rooms, partitions }: PlanData, from = OUTSIDE, to = OUTSIDE): number {
  const doors = [...partitions.values()].flatMap(({ between, doors, openings }) =>
    [...doors, ...openings]
      .filter(({ sill = 0, height }) => sill <= STEP && height - sill >= STOOP)
      .map(({ width }) => ({ between, width })),
  );
  const places = [...rooms.keys(), OUTSIDE];
  const hasDoor = (room: string) => doors.some(({ between }) => between.includes(room));
  const width = (a: string, b: string): number => {
    const given = doors.filter(({ between }) => between.includes(a) && between.includes(b));
    const unknown = [a, b].some((room) => room !== OUTSIDE && !hasDoor(room)) ? USUAL_DOOR : 0;
    return Math.max(unknown, ...given.map((door) => door.width));
  };
  const reached = new Map([[from, Number.POSITIVE_INFINITY]]);
  for (let again = true; again; ) {
    again = false;
    for (const [room, so] of reached) {
      // a room whose door is unknown is no way through to others
      if (room !== from && room !== OUTSIDE && !hasDoor(room)) continue;
      for (const next of places) {
        const wide = Math.min(so, width(room, next));
        if (next === room || wide <= (reached.get(next) ?? 0)) continue;
        reached.set(next, wide);
        again = true;
      }
    }
  }
  return reached.get(to) ?? 0;
}
