/** Everything that is put down by tape: what it is, where, how high, and which way it looks. */
import type { SourceEntry } from '../../plan/plan-players.ts';
import type { Mic, Player, Source, SourcePoint } from '../../scene/scene.ts';
import { bearingOf, distance, type Vec3 } from '../../scene/vector.ts';
import { type About, heightIn } from './about.ts';
import { aimWords, middle, pairMiddle } from './aims.ts';
import { bearingWords, isSteep, tipWords } from './directions.ts';

export type Place = {
  readonly what: string;
  readonly name: string;
  readonly at: Vec3;
  readonly room: number;
  readonly height: string;
  readonly direction: string;
};

/** A pair whose capsules are further apart stands on two stands, m. */
const ONE_BAR = 0.5;

export const places = (about: About): Place[] => [
  ...about.scene.players.map((player) => playerPlace(about, player)),
  ...ownPlaces(about),
  ...about.scene.mics.flatMap((mic) => micPlaces(about, mic)),
  ...bafflePlaces(about),
];

function playerPlace(about: About, player: Player): Place {
  const { name, at, room, facing, standing, listener } = player;
  const riser = at[2] - (about.roomOf(room)?.floor ?? 0);
  const stance = standing ? 'stands' : 'sits';
  return {
    what: listener ? 'listener' : 'player',
    name,
    at,
    room,
    height: riser > 0.005 ? `${stance}, riser ${about.tell(riser)}` : stance,
    direction: `faces ${facedBy(about, player) ?? `${bearingWords(facing, about.roomOf(room))}`}`,
  };
}

/** The name that a person faces, where the plan has one. */
function facedBy({ plan }: About, { name }: Player): string | null {
  const facing = (plan.players.get(name) ?? plan.listeners.get(name))?.facing;
  return facing && 'target' in facing ? facing.target : null;
}

/** What the plan gives a place of its own: loudspeakers, sections, an instrument that is not where its player is. */
function ownPlaces(about: About): Place[] {
  const { plan, scene } = about;
  const named = (name: string) => scene.sources.filter((one) => one.name === name || one.kit === name);
  const apart = [...plan.players].flatMap(([player, { plays }]) =>
    plays
      .filter(({ at }) => at !== undefined)
      .map(({ name, instrument }) => ({ name: name ?? player, what: instrument ?? 'source' })),
  );
  const free = [...plan.sources].map(([name, entry]) => ({ name, what: kindOf(entry) }));
  return [...free, ...apart].flatMap(
    ({ name, what }) => sourcePlace(about, { name, what }, named(name)) ?? [],
  );
}

function kindOf({ section, instrument, repeats }: SourceEntry): string {
  if (section) return 'section';
  return instrument ?? (repeats === undefined ? 'source' : 'loudspeaker');
}

type Named = Pick<Place, 'name' | 'what'>;

function sourcePlace(about: About, named: Named, sources: readonly Source[]): Place | null {
  const points = sources.flatMap((source) => source.points);
  const [first] = points;
  if (!first) return null;
  const at = middle(points);
  const { room } = first;
  return { ...named, at, room, height: heightIn(about, at[2], room), direction: axisWords(about, first) };
}

function axisWords(about: About, { axis, room }: SourcePoint): string {
  if (isSteep(axis)) return `speaks ${tipWords(axis)}`;
  return `speaks to ${bearingWords(bearingOf(axis), about.roomOf(room))}, ${tipWords(axis)}`;
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
  const whole = pairMiddle(one, other);
  return [{ ...place(mic.name, whole.at, whole.aim), what: 'pair' }];
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
