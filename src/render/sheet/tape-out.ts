/** The tape-out: every place as two lengths of tape from walls, with height and direction. */

import { corner, type Outline, span } from '../../scene/polygon.ts';
import type { Room } from '../../scene/scene.ts';
import type { About } from './about.ts';
import type { Column, List } from './sheet.ts';
import { type Tape, tapesTo } from './tape.ts';
import { type Place, places } from './tape-places.ts';

const COLUMNS: readonly Column[] = [
  { head: 'name' },
  { head: 'what' },
  { head: 'from' },
  { head: 'tape' },
  { head: 'and from' },
  { head: 'tape' },
  { head: 'room', under: true },
  { head: 'height', under: true },
  { head: 'direction', under: true },
];

/** By room, in the order of the plan. */
export function tapeOut(about: About): List {
  const all = places(about).sort((a, b) => a.room - b.room);
  const rooms = about.scene.rooms.filter((_, i) => all.some(({ room }) => room === i));
  return {
    key: 'tape-out',
    title: 'Tape-out',
    columns: COLUMNS,
    rows: all.map((place) => rowOf(about, place)),
    notes: [
      rooms.length > 0 ? SQUARE : OPEN_AIR,
      'Mics and instruments: to the floor under the capsule or the acoustic centre. Heights count from the floor of the room.',
      ...rooms.map((room) => wallsOf(about, room)),
    ],
  };
}

const SQUARE =
  'Every tape lies on the floor, square to the wall that it is measured from, or from the corner named.';
const OPEN_AIR =
  'No rooms in the plan: measured from the point [0, 0] of the plan, right and up as on its page.';

function rowOf(about: About, place: Place): string[] {
  const room = about.roomOf(place.room);
  const [first, second] = room ? tapesIn(about, room, place) : openAir(about, place);
  return [
    place.name,
    place.what,
    ...first,
    ...second,
    about.scene.rooms.length > 1 ? (room?.name ?? '') : '',
    place.height,
    place.direction,
  ];
}

type Told = readonly [from: string, tape: string];

function tapesIn(about: About, room: Room, { at }: Place): readonly [Told, Told] {
  const index = about.scene.rooms.indexOf(room);
  const booths = about.scene.rooms.flatMap(({ host, outline }): Outline[] =>
    host === index ? [outline] : [],
  );
  const [first, second] = tapesTo([at[0], at[1]], room.outline, booths);
  const told = (tape: Tape): Told => [startOf(room, tape), about.tell(tape.length)];
  return [told(first), told(second)];
}

function startOf({ outline, surfaces }: Room, tape: Tape): string {
  const wall = (i: number) => surfaces[2 + ((i + outline.length) % outline.length)]?.name ?? '';
  return tape.from === 'wall'
    ? wall(tape.wall)
    : `corner of ${wall(tape.corner - 1)} and ${wall(tape.corner)}`;
}

function openAir({ tell }: About, { at: [x, y] }: Place): readonly [Told, Told] {
  return [
    [x < 0 ? 'zero, to the left' : 'zero, to the right', tell(Math.abs(x))],
    [y < 0 ? 'zero, down the page' : 'zero, up the page', tell(Math.abs(y))],
  ];
}

/** "hall, going round: bottom wall 1200 cm, right wall 900 cm …": which wall is which. */
function wallsOf({ tell }: About, { name, outline, surfaces }: Room): string {
  const walls = outline.map(
    (a, i) => `${surfaces[i + 2]?.name ?? ''} ${tell(span(a, corner(outline, i + 1)))}`,
  );
  return `${name}, going round to the left: ${walls.join(', ')}.`;
}
