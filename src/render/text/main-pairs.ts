import type { Report } from '../../judge/report.ts';
import type { MainPairRow } from '../../judge/timing/main-pairs.ts';
import { type Column, plain, table } from '../table.ts';
import { figure, figureOr } from '../words.ts';
import { wrap } from '../wrap.ts';
import { heading, type ReportLayout } from './layout.ts';

const COLUMNS: readonly Column[] = [
  { head: 'part', align: 'left', flexible: true },
  { head: 'dB re loudest', align: 'right' },
  { head: 'direct to room dB', align: 'right' },
  { head: 'angle', align: 'right' },
];

/** What microphones for everyone and for the room make of the ensemble: balance, dryness, where each stands. */
export function mainPairs({ mainPairs: rows }: Pick<Report, 'mainPairs'>, layout: ReportLayout): string[] {
  if (rows.length === 0) return [];
  return [heading('Main pairs', layout, 'main'), ...rows.flatMap((row) => onePair(row, layout))];
}

function onePair(row: MainPairRow, layout: ReportLayout): string[] {
  const cells = row.parts.map(({ part, level, directToRoom, angle }) => [
    part,
    figureOr(level, 1, 'silent'),
    figureOr(directToRoom, 1, 'none'),
    angle === null ? 'elsewhere' : side(angle),
  ]);
  const [head = '', ...lines] = table(
    COLUMNS,
    cells.map((one) => one.map(plain)),
    layout.width,
  );
  return [...wrap(summary(row), layout.width, '  ', '    '), layout.paint.faint(head), ...lines];
}

function summary({ name, purpose, stereo, ensemble, ...row }: MainPairRow): string {
  const made = [stereo ?? 'one microphone', ...(purpose === 'room' ? ['for the room'] : [])].join(', ');
  const wide = ensemble
    ? `; the ensemble reaches from ${side(ensemble.left)} to ${side(ensemble.right)}`
    : '';
  return `${name} (${made})${wide}${angleOf(row)}`;
}

function angleOf({ recordingAngle, fits, spare, outside }: Picked): string {
  if (!recordingAngle) return '';
  const one = (degrees: number | null) => (degrees === null ? 'open' : `${figure(degrees, 0)}°`);
  const angle = `; recording angle ${one(recordingAngle.left)} left, ${one(recordingAngle.right)} right (±10°)`;
  if (fits === null || spare === null) return angle;
  const word = fits ? `fits with ${figure(spare, 0)}° to spare` : `too narrow by ${figure(-spare, 0)}°`;
  return `${angle}: ${word}${outside.length > 0 ? `, outside it ${outside.join(', ')}` : ''}`;
}

type Picked = Pick<MainPairRow, 'recordingAngle' | 'fits' | 'spare' | 'outside'>;

/** "12° left" of the aim. */
function side(degrees: number): string {
  const size = `${figure(Math.abs(degrees), 0)}°`;
  if (size === '0°') return 'ahead';
  return `${size} ${degrees < 0 ? 'left' : 'right'}`;
}
