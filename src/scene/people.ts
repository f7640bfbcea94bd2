/** Everyone in the plan: players, listeners, and those who play a source from elsewhere. */
import type { Path } from '../finding.ts';
import type { PlanData } from '../plan/plan.ts';
import type { Person } from '../plan/plan-players.ts';
import type { Facing } from '../plan/plan-values.ts';
import type { Body } from './body.ts';
import { bearingToward } from './facing.ts';
import { assume, fault, type Notes } from './notes.ts';
import { type RoomPlaces, roomAt } from './room-places.ts';

export type Someone = {
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
export function peopleOf(plan: PlanData, places: RoomPlaces, notes: Notes): ReadonlyMap<string, Someone> {
  const written = writtenPeople(plan);
  const people = new Map<string, Someone>();
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

function refuseSamePlace(people: readonly Someone[], notes: Notes): void {
  people.forEach((one, i) => {
    const other = people
      .slice(0, i)
      .find(({ body }) => Math.hypot(body.at[0] - one.body.at[0], body.at[1] - one.body.at[1]) < 0.01);
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
