import { MID_BANDS, NOMINAL_BANDS } from '../../acoustics/bands.ts';
import type { RoomRow } from '../../judge/report.ts';
import type { Assumption } from '../../scene/notes.ts';
import type { Answer } from '../answer.ts';
import { counted, hertzName } from '../words.ts';
import { wrap } from '../wrap.ts';
import type { ReportLayout } from './layout.ts';
import { tolerance } from './tolerance.ts';

const TITLE = 'Not sure about';

/** What the figures rest on without the plan saying so, how far they may be off, and what no figure here holds. */
export function unsure(answer: Answer, listed: boolean, layout: ReportLayout): string[] {
  const { assumptions, rooms, tolerances } = answer;
  const list = listed ? assumptions.flatMap((one) => wrap(sentence(one), layout.width, '  - ', '    ')) : [];
  const open = tolerances ? tolerance(tolerances, layout) : [];
  const bands = layout.brief
    ? rooms.filter((room) => lowBands(room).length > 0).map(inShort)
    : rooms.map(uncertain);
  const count = counts(assumptions, listed);
  if (layout.brief) {
    const told = listed ? [...bands, count] : [count, ...bands];
    return [...wrap(`${TITLE}: ${told.join('; ')}`, layout.width, '', '  '), ...list, ...open];
  }
  const said = [count, ...bands];
  const lines = [...said, LEFT_OUT].map((line) => wrap(line, layout.width, '  ', '    '));
  return [
    layout.paint.strong(TITLE),
    ...lines.slice(0, -1).flat(),
    ...list,
    ...open,
    ...(lines.at(-1) ?? []),
  ];
}

function counts(assumptions: readonly Assumption[], listed: boolean): string {
  if (assumptions.length === 0) return 'The plan says everything: no assumptions';
  const count = `${counted(assumptions.length, 'assumption')} made where the plan is silent`;
  return count + (listed ? ':' : ' (--assumptions)');
}

const LEFT_OUT =
  'Not in any figure: single room modes, the lobes of instruments, the shadow of bodies, sound by way of the structure; panels are thin and flat.';

const sentence = ({ path, kind, text }: Assumption): string =>
  `${[path.join('.'), text].filter((part) => part !== '').join(': ')} (${kind})`;

/** Bands whose middle lies below the Schroeder frequency, by name. */
const lowBands = ({ schroeder }: RoomRow): number[] =>
  NOMINAL_BANDS.filter((_, band) => (MID_BANDS[band] ?? 0) < schroeder);

const inShort = (room: RoomRow): string => `${namesOf(lowBands(room))} in ${room.name} by ±5 dB`;

/** The ±5 dB is from memory. */
function uncertain(room: RoomRow): string {
  const below = lowBands(room);
  if (below.length === 0) return `${room.name}: no octave has its middle below the Schroeder frequency.`;
  return `${room.name}: uncertain by ±5 dB at ${namesOf(below)}, below the Schroeder frequency, where single room modes rule.`;
}

const namesOf = (below: readonly number[]): string =>
  below.length === 1 ? hertzName(below[0] ?? 0) : `${below.map(String).join(', ')} Hz`;
