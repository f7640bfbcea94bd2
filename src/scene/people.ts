/** Players and listeners: bodies, ears, headphones. */
import {
  decibels,
  energyOf,
  sameInAllBands,
  WEIGHTS,
  type Weighting,
  weightedSum,
} from '../acoustics/bands.ts';
import type { Axis, Catalogue, Postures } from '../catalogue/catalogue.ts';
import type { Path } from '../finding.ts';
import { add, direction, scale, span, type Vec3 } from '../geometry.ts';
import type { PlanData } from '../plan/plan.ts';
import type { CueEntry, Person } from '../plan/players.ts';
import type { Facing } from '../plan/schema.ts';
import { assume, bearingToward, fault, type Notes, type ResolvedSource } from './context.ts';
import { type RoomPlaces, roomAt } from './room-places.ts';
import type { Cue, Player } from './scene.ts';

// People as players of the scene, with ears and eyes where their instrument holds them.
export function resolvePlayers(
  people: Iterable<ResolvedPerson>,
  voices: readonly ResolvedSource[],
  catalogue: Catalogue,
): Player[] {
  return [...people].map((one) => {
    const first = voices.find((voice) => voice.player === one.name);
    const { ears, eyes } = first?.held ?? catalogue.posture;
    const { body } = one;
    return {
      name: one.name,
      path: one.path,
      at: body.at,
      facing: body.facing,
      standing: body.standing,
      room: one.room,
      ears: inRoom(body, postureOf(ears, body.standing)),
      eyes: inRoom(body, postureOf(eyes, body.standing)),
      listener: one.listener,
      cue: cueOf(one.cue, catalogue.headphones),
    };
  });
}

export type ResolvedPerson = {
  readonly name: string;
  readonly path: Path;
  readonly body: Body;
  readonly room: number;
  readonly listener: boolean;
  readonly cue: Person['cue'];
};

type Written = {
  readonly name: string;
  readonly path: Path;
  readonly person: Person;
  readonly listener: boolean;
};

/** Bodies of all people by name; a person outside every room, or on another's feet, is a fault. */
export function peopleOf(
  plan: PlanData,
  places: RoomPlaces,
  notes: Notes,
): ReadonlyMap<string, ResolvedPerson> {
  const written = writtenPeople(plan);
  const people = new Map<string, ResolvedPerson>();
  for (const one of written) {
    const { person, path } = one;
    const room = roomAt(places, person.at[0], person.at[1]);
    if (room === null) {
      fault(
        notes,
        'BAD_PLACE',
        [...path, 'at'],
        `${one.name} stands outside every room`,
        'move the place into a room',
      );
      continue;
    }
    const facing = facingOf(person.facing, plan, one, notes);
    const standing = person.standing ?? false;
    const ground = places.floors[room] ?? 0;
    const body = {
      at: [person.at[0], person.at[1], ground + (person.riser ?? 0)] as const,
      facing,
      standing,
    };
    people.set(one.name, { name: one.name, path, body, room, listener: one.listener, cue: person.cue });
  }
  refuseSamePlace([...people.values()], notes);
  return people;
}

function writtenPeople(plan: PlanData): Written[] {
  const players = [...plan.players].map(([name, person]) => ({
    name,
    path: ['players', name],
    person,
    listener: false,
  }));
  const listeners = [...plan.listeners].map(([name, person]) => ({
    name,
    path: ['listeners', name],
    person,
    listener: true,
  }));
  const elsewhere = [...plan.sources].flatMap(([name, { player }]) =>
    player && 'person' in player
      ? [{ name, path: ['sources', name, 'player'], person: player.person, listener: false }]
      : [],
  );
  return [...players, ...listeners, ...elsewhere];
}

function facingOf(facing: Facing | undefined, plan: PlanData, who: Written, notes: Notes): number {
  if (!facing) {
    assume(notes, 'guess', who.path, `${who.name} faces up the page, since no facing is given`);
    return 0;
  }
  const looker = { name: who.name, at: who.person.at, path: [...who.path, 'facing'] };
  return bearingToward(facing, looker, plan, notes) ?? 0;
}

function refuseSamePlace(people: readonly ResolvedPerson[], notes: Notes): void {
  people.forEach((one, i) => {
    const other = people.slice(0, i).find(({ body }) => span(body.at, one.body.at) < 0.01);
    if (other) {
      fault(
        notes,
        'BAD_PLACE',
        [...one.path, 'at'],
        `${one.name} stands on the same spot as ${other.name}`,
        'move one of them',
      );
    }
  });
}

// Headphones on someone's ears: what the plan says of them, joined with what their kind does.

/** The kinds are the format's own words: one that the catalogue lacks is our bug and throws. */
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

/** What a reading of music that is alike in every octave would be in dBA. A guess: nobody knows what the cue will carry. */
function levelInA(spl: number, weighting: Weighting): number {
  const even = sameInAllBands(1);
  return spl + decibels(weightedSum(even, WEIGHTS.A) / weightedSum(even, WEIGHTS[weighting]));
}

// People: where they stand, whither they look, and how the axes of their instruments lie in the room.

export type Body = {
  /** On the floor, or on the riser. */
  readonly at: Vec3;
  /** Degrees. */
  readonly facing: number;
  readonly standing: boolean;
};

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
