/** The plan for a morning: steps with running minutes, how every limit stands after each, what it costs, what to bring. */
import { lengthsIn } from '../plan/units.ts';
import type { PlainAdvice } from '../suggest/advice.ts';
import type { Bring, Schedule } from '../suggest/schedule.ts';
import { allOf, figure } from '../text.ts';
import { criterionWords, regressionWords } from './criteria.ts';
import { outOfReachWords, type SuggestPage } from './moves.ts';
import { roomsSection } from './rooms-table.ts';
import { given, prose, type Section, type View } from './view.ts';
import { counted } from './words.ts';

export function scheduleView(
  advice: PlainAdvice,
  schedule: Schedule,
  { all, table, units }: Pick<SuggestPage, 'all' | 'table'> & { readonly units: 'm' | 'ft' },
): View {
  const { steps, missed, costs, bring, cautions } = schedule;
  const [before, after] = [missed[0] ?? 0, missed.at(-1) ?? 0];
  const minutes = steps.at(-1)?.until ?? 0;
  return {
    title: advice.title,
    lead: [
      steps.length === 0
        ? 'Nothing found that is worth doing.'
        : `${counted(steps.length, 'step')}, ${Math.round(minutes)} min; limits missed ${before} → ${after}`,
      ...(advice.outOfReach.length > 0 ? [outOfReachWords(advice)] : []),
    ],
    sections: [
      ...(table ? [roomsSection(table, all)] : []),
      ...(steps.length > 0 ? [stepsSection(schedule), limitsSection(schedule)] : []),
      {
        id: 'costs',
        title: 'What it costs',
        blocks: prose('list', costs.length > 0 ? costs.map(regressionWords) : ['Nothing that is judged.']),
      },
      { id: 'bring', title: 'What to bring', blocks: prose('list', bringWords(bring, units)) },
      ...(cautions.length > 0
        ? [
            {
              id: 'safety',
              title: 'Safety',
              blocks: prose('list', [...cautions.map(({ message }) => message), LOCAL]),
            },
          ]
        : []),
    ],
  };
}

const LOCAL = 'Local rules and whoever is licensed for the house come before this plan.';

function stepsSection({ steps }: Schedule): Section {
  const columns = [
    { head: '#', kind: 'number' as const },
    { head: 'until', kind: 'number' as const },
    { head: 'who', kind: 'word' as const },
    { head: 'what', kind: 'word' as const, naming: true as const, wraps: true as const },
  ];
  const rows = steps.map(({ words, who, carriers, until }, i) => {
    const people = [
      who.length > 0 ? allOf(who) : 'engineer',
      ...(carriers > 1 ? [`${carriers} to carry`] : []),
    ];
    return {
      cells: [String(i + 1), clock(until), people.join(', '), words.charAt(0).toUpperCase() + words.slice(1)],
    };
  });
  return {
    id: 'schedule',
    title: 'Schedule',
    blocks: [
      { kind: 'table', caption: 'Schedule, hours and minutes from the start', columns, rows, whole: true },
    ],
  };
}

/** "0:25" from the start. */
const clock = (minutes: number): string =>
  `${Math.floor(Math.round(minutes) / 60)}:${String(Math.round(minutes) % 60).padStart(2, '0')}`;

function limitsSection({ limits, missed, steps }: Schedule): Section {
  const heads = ['now', ...steps.map((_, i) => String(i + 1))];
  const rows = limits.map(({ kind, about, margins }) => ({
    cells: [criterionWords(kind).improved(about), ...margins.map(marginCell)],
  }));
  return {
    id: 'limits',
    title: 'Margin of each limit after each step, dB: negative is short',
    blocks: [
      {
        kind: 'table',
        caption: 'Margin of each limit after each step, dB',
        columns: [
          { head: 'limit', kind: 'name' },
          ...heads.map((head) => ({ head, kind: 'number' as const })),
        ],
        rows: [{ cells: ['limits missed', ...missed.map(String)] }, ...rows],
        sideBySide: true,
      },
    ],
  };
}

const marginCell = (margin: number): string =>
  Number.isFinite(margin) ? figure(margin, 1) : margin > 0 ? 'met' : 'SHORT';

function bringWords(
  { stands, bars, boxes, baffles, headphones, cables }: Bring,
  units: 'm' | 'ft',
): string[] {
  const { size } = lengthsIn(units);
  const some = (count: number, one: string) => (count > 0 ? `${count} ${one}` : null);
  const worn = headphones.map(({ wearing, count }) =>
    wearing === 'needed' ? `${count} for who wears none and cannot hear` : `${count} ${wearing}`,
  );
  return given([
    `stands: ${given([some(stands.low, 'low'), some(stands.boom, 'with boom'), some(stands.tall, 'tall with boom')]).join(', ')}${bars > 0 ? `; ${counted(bars, 'stereo bar')}` : ''}`,
    boxes > 0 && counted(boxes, 'DI box', 'DI boxes'),
    baffles.length > 0 &&
      `baffles: ${baffles.map(({ width, height, count }) => `${count} of ${size(width)} × ${size(height)}`).join(', ')}`,
    headphones.length > 0 && `headphones: ${worn.join(', ')}`,
    cables.length > 0 &&
      `mic cables: ${cables.map(({ length, count }) => `${count} of ${size(length)}`).join(', ')}, to a stage box assumed at the door of each room, else at its first wall`,
  ]);
}
