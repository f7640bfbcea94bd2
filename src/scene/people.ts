/** People: where they stand, where they face, ears and eyes, headphones, and how their instruments' axes lie. */
import type { Weighting } from '../acoustics/bands.ts';
import { decibels, energyOf, sameInAllBands, WEIGHTS, weightedSum } from '../acoustics/bands.ts';
import type { Axis, Catalogue, Postures } from '../catalogue/catalogue.ts';
import { add, direction, scale, type Vec3 } from '../geometry.ts';
import type { PlanData } from '../plan/plan.ts';
import type { CueEntry, Person } from '../plan/players.ts';
import type { Named } from '../plan/schema.ts';
import { type Context, facingOf, type ResolvedSource } from './context.ts';
import { floorOf, roomAt } from './room-places.ts';
import type { Cue, Player } from './scene.ts';

/** Half the depth of a body, m. Common practice, no source. */
export const BODY_RADIUS = 0.1;

/** People as players of the scene, with ears and eyes where their instrument holds them. */
export function resolvePlayers(
  people: Iterable<ResolvedPerson>,
  sources: readonly ResolvedSource[],
  catalogue: Catalogue,
): Player[] {
  return [...people].map(({ name, path, body, room, listener, cue }) => {
    const first = sources.find((source) => source.player === name);
    const { ears, eyes } = first?.held ?? catalogue.posture;
    return {
      ...{ name, path, ...body, room, listener },
      ears: inRoom(body, postureOf(ears, body.standing)),
      eyes: inRoom(body, postureOf(eyes, body.standing)),
      cue: cueOf(cue, catalogue.headphones),
    };
  });
}

export type ResolvedPerson = Pick<Player, 'name' | 'path' | 'room' | 'listener'> & {
  readonly body: Body;
  readonly cue: Person['cue'];
};

type Written = Pick<ResolvedPerson, 'name' | 'path' | 'listener'> & { readonly person: Person };

/** Bodies of all people by name; a person outside every room is a fault. */
export function peopleOf(context: Context): ReadonlyMap<string, ResolvedPerson> {
  const { plan, places, notes } = context;
  const people = new Map<string, ResolvedPerson>();
  for (const { name, path, person, listener } of writtenPeople(plan)) {
    const [x, y] = person.at;
    const room = roomAt(places, x, y);
    if (room === null) {
      const message = `${name} is outside every room`;
      notes.misplaced([...path, 'at'], message, 'move it into a room');
      continue;
    }
    const at = [x, y, floorOf(places, room) + (person.riser ?? 0)] as const;
    const facing = facingOf(person.facing, { name, at: person.at, path }, context);
    const body = { at, facing, standing: person.standing ?? false };
    people.set(name, { name, path, body, room, listener, cue: person.cue });
  }
  return people;
}

function writtenPeople({ players, listeners, sources }: PlanData): Written[] {
  const listed = (section: string, people: Named<Person>, listener: boolean): Written[] =>
    [...people].map(([name, person]) => ({ name, path: [section, name], person, listener }));
  const elsewhere = [...sources].flatMap(([name, { player }]): Written[] => {
    const path = ['sources', name, 'player'];
    return player && 'person' in player ? [{ name, path, person: player.person, listener: false }] : [];
  });
  return [...listed('players', players, false), ...listed('listeners', listeners, true), ...elsewhere];
}

/** Headphones as the plan has them worn, with what their kind does. The kinds are the format's own: one that the catalogue lacks throws. */
export function cueOf(entry: CueEntry | undefined, kinds: Catalogue['headphones']): Cue {
  const wearing = entry?.wearing ?? 'none';
  const kind = kinds.get(wearing);
  if (!kind) throw new Error(`the catalogue has no headphones ${wearing}`);
  return {
    wearing,
    level: entry?.level ? levelInA(entry.level.spl, entry.level.weighting) : null,
    leak: kind.leak?.map(energyOf) ?? null,
    passes: kind.attenuation.map((loss) => energyOf(-loss)),
    hearsByAir: kind.hearsByAir,
  };
}

/** What a reading of music that is alike in every octave would be in dBA. Assumed: nobody knows what the cue will carry. */
function levelInA(spl: number, weighting: Weighting): number {
  const even = sameInAllBands(1);
  return spl + decibels(weightedSum(even, WEIGHTS.A) / weightedSum(even, WEIGHTS[weighting]));
}

/** It stands on the floor, or on the riser. */
export type Body = Pick<Player, 'at' | 'facing' | 'standing'>;

/** A place in the player's axes (right, ahead, up) as a point in the room. */
export function inRoom(body: Body, place: Vec3): Vec3 {
  const [right, ahead, up] = place;
  const flat = add(scale(direction(body.facing + 90), right), scale(direction(body.facing), ahead));
  return add(body.at, [flat[0], flat[1], up]);
}

/** The way an instrument speaks, as a unit vector in the room. */
export const instrumentAxis = (body: Body, axis: Axis): Vec3 =>
  direction(body.facing + axis.bearing, axis.tilt);

export const postureOf = (postures: Postures, standing: boolean): Vec3 =>
  standing ? postures.standing : postures.seated;
