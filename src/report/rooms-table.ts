/** Who goes where: single moves room by room, then the best assignments with all that comes of them. */
import type { AssignmentInFull, RoomCell, RoomsTable, Score } from '../suggest/rooms.ts';
import { allOf, figure } from '../text.ts';
import { regressionWords } from './criteria.ts';
import { type Block, given, prose, type Section } from './view.ts';
import { counted, figureOr } from './words.ts';

export function roomsSection(table: RoomsTable, all: boolean): Section {
  const { rooms, single, best, asIs, tried, possible, every } = table;
  const control = rooms.flatMap((room) => (room.control ? [room.name] : []));
  const searched = every
    ? `all ${possible} assignments tried, ${tried} plans computed`
    : `${possible} assignments are too many: single moves, exchanges, and the best of these joined as long as that helps; ${tried} plans computed`;
  const blocks: Block[] = [
    ...prose('statements', [
      `As it is: ${scoreWords(asIs)}.`,
      `${counted(rooms.length, 'room')}, ${single.length} who can go: ${searched}.`,
      control.length > 0 && `Loudspeakers play in ${allOf(control)}: off while a mic is open there.`,
    ]),
    {
      kind: 'table',
      caption: 'One at a time: limits missed, and what mics are short of in S/B, dB',
      captioned: true,
      columns: [
        { head: 'who', kind: 'name' },
        ...rooms.map(({ name }) => ({ head: name, kind: 'word' as const })),
      ],
      rows: single.map(({ name, cells }) => ({ cells: [name, ...cells.map(cellWords)] })),
    },
    ...(best.length === 0
      ? prose('statements', ['Nobody gains by another room.'])
      : [
          {
            kind: 'steps' as const,
            steps: best.map((one) => ({ does: [movesWords(one)], effects: effectsOf(one, asIs, all) })),
            apart: true as const,
          },
        ]),
    ...(whyNot(table).length > 0 ? prose('notes', whyNot(table)) : []),
  ];
  return { id: 'rooms', title: 'Who goes where', blocks };
}

const scoreWords = ({ missed, mics }: Score): string =>
  missed === 0 ? 'all limits met' : `${counted(missed, 'limit')} missed, mics ${figure(mics, 1)} dB short`;

function cellWords(cell: RoomCell): string {
  if (cell === null) return 'here';
  return 'why' in cell ? 'no' : `${cell.missed}, ${figure(cell.mics, 1)} dB`;
}

/** Each reason once, with all whom it keeps. */
function whyNot({ rooms, single }: RoomsTable): string[] {
  return single.flatMap(({ name, cells }) =>
    cells.flatMap((cell, i) =>
      cell && 'why' in cell ? [`${name} alone cannot go to ${rooms[i]?.name}: ${cell.why}.`] : [],
    ),
  );
}

const movesWords = ({ moves }: AssignmentInFull): string =>
  moves.map(({ name, to, place }) => `${name} → ${to} (${place.replace(` of ${to}`, '')})`).join('; ');

/** How much is shown of each kind of effect. */
const MOST = 3;

function effectsOf(one: AssignmentInFull, asIs: Score, all: boolean): string[] {
  const { score, minutes, mics, ghosts, lost, headphones, openInControl, loads } = one;
  const heavy = loads.filter(({ people, minutes: long }) => people > 1 || long > 2);
  const changed = [...mics]
    .filter(({ before, after }) => Math.abs((after ?? 0) - (before ?? 0)) >= 0.5)
    .sort((a, b) => Math.abs((b.after ?? 0) - (b.before ?? 0)) - Math.abs((a.after ?? 0) - (a.before ?? 0)));
  const list = (word: string, items: readonly string[]): string | false => {
    const shown = all ? items : items.slice(0, MOST);
    const rest = items.length - shown.length;
    return items.length > 0 && `${word}: ${[...shown, ...(rest > 0 ? [`and ${rest} more`] : [])].join('; ')}`;
  };
  return given([
    `${Math.round(minutes)} min; limits missed ${asIs.missed} → ${score.missed}; mics short ${figure(asIs.mics, 1)} → ${figure(score.mics, 1)} dB`,
    list(
      'S/B',
      changed.map(
        ({ name, before, after }) =>
          `${name} ${figureOr(before, 1, 'none')} → ${figureOr(after, 1, 'none')} dB`,
      ),
    ),
    list(
      'ghosts',
      ghosts.map(
        ({ part, before, after }) =>
          `${part} ${figureOr(before, 1, 'none')} → ${figureOr(after, 1, 'none')} dB`,
      ),
    ),
    list('lost', lost.map(regressionWords)),
    headphones.length > 0 && `headphones needed: ${allOf(headphones)}`,
    openInControl.length > 0 && `loudspeakers off: ${allOf(openInControl)} open in a control room`,
    list(
      'carried',
      heavy.map(({ name, people, minutes: long }) => `${name} by ${people} in ${long} min`),
    ),
  ]);
}
