/** Delays that bring microphones together, and what microphones for everyone make of the ensemble. */

import { RIPPLE } from '../judge/pitfalls.ts';
import type { Report } from '../judge/report.ts';
import type { MainPairRow } from '../judge/stereo.ts';
import type { OverheadRow, SpotDelay, TimingRow } from '../judge/timing.ts';
import { figure } from '../text.ts';
import type { Scope } from './answer.ts';
import { type Block, names, numbers, prose, type Table, table, WIDE } from './view.ts';
import { counted, figureOr, hertzName } from './words.ts';

/** What microphones for everyone and for the room make of the ensemble: balance, dryness, where each stands. */
export const mainPairs = ({ mainPairs: rows }: Pick<Report, 'mainPairs'>): Block[] =>
  rows.flatMap((row) => [
    ...prose('statements', [pairWords(row)]),
    ...table(`The ensemble in ${row.name}`, row.parts, [
      names('part', ({ part }) => part),
      numbers('dB re loudest', ({ level }) => figureOr(level, 1, 'silent')),
      numbers('direct to room dB', ({ directToRoom }) => figureOr(directToRoom, 1, 'none')),
      numbers('angle', ({ angle }) => (angle === null ? 'elsewhere' : sideOf(angle))),
    ]),
  ]);

function pairWords({ name, purpose, stereo, ensemble, ...row }: MainPairRow): string {
  const made = [stereo ?? 'one microphone', ...(purpose === 'room' ? ['for the room'] : [])].join(', ');
  const wide = ensemble
    ? `; the ensemble reaches from ${sideOf(ensemble.left)} to ${sideOf(ensemble.right)}`
    : '';
  return `${name} (${made})${wide}${angleWords(row)}`;
}

function angleWords({
  recordingAngle,
  fits,
  spare,
  outside,
}: Pick<MainPairRow, 'recordingAngle' | 'fits' | 'spare' | 'outside'>): string {
  if (!recordingAngle) return '';
  const one = (degrees: number | null) => (degrees === null ? 'open' : `${figure(degrees, 0)}°`);
  const angle = `; recording angle ${one(recordingAngle.left)} left, ${one(recordingAngle.right)} right (±10°)`;
  if (fits === null || spare === null) return angle;
  const word = fits ? `fits with ${figure(spare, 0)}° to spare` : `too narrow by ${figure(-spare, 0)}°`;
  return `${angle}: ${word}${outside.length > 0 ? `, outside it ${outside.join(', ')}` : ''}`;
}

/** "12° left" of the aim. */
function sideOf(degrees: number): string {
  const size = `${figure(Math.abs(degrees), 0)}°`;
  if (size === '0°') return 'ahead';
  return `${size} ${degrees < 0 ? 'left' : 'right'}`;
}

/** Combs that matter, deepest first, and the delays that bring spots to pairs. */
export function delays(
  { timing: { rows, overheads, sampleRate }, mainPairs: pairs }: Pick<Report, 'timing' | 'mainPairs'>,
  scope: Scope,
): Block[] {
  return [
    ...combs(rows, scope),
    ...pairs
      .filter(({ purpose }) => purpose === 'all')
      .flatMap(({ name, spots }) => spotTable(name, spots, sampleRate)),
    ...overheads.flatMap(({ pair, spots }) => spotTable(pair, spots, sampleRate)),
    ...prose(
      'statements',
      overheads.flatMap((row) => snareWords(row, scope)),
    ),
  ];
}

/** Combs that are shown. */
const COMBS = { brief: 12, full: 12, page: 40, all: Number.POSITIVE_INFINITY } as const;

function combs(rows: readonly TimingRow[], { detail }: Scope): Block[] {
  const deep =
    detail === 'all' ? rows : rows.filter(({ ripple, notches }) => ripple >= RIPPLE && notches !== null);
  const shown = deep.slice(0, COMBS[detail]);
  if (detail === 'page' && rows.length === 0) return [];
  if (shown.length === 0) return prose('notes', [`No two microphones comb by ${RIPPLE} dB or more.`]);
  const rest = (detail === 'page' ? rows : deep).length - shown.length;
  return table(
    'Combs, deepest first',
    shown,
    [
      names('on', ({ part }) => part, { label: 'part' }),
      names('own', ({ own }) => own),
      names('other', ({ other }) => other),
      numbers('later', ({ late }) => inMilliseconds(late)),
      numbers('ripple', ({ over, ripple }) =>
        over ? `over ${figure(ripple, 0)} dB` : `${figure(ripple, 1)} dB`,
      ),
      numbers('first dip', ({ notches }) =>
        notches ? hertzName(Math.round(notches[0] > 0 ? notches[0] : notches[1])) : 'none',
      ),
      names(
        'together with',
        ({ align }) => (align ? `${align.mic} delayed by ${inMilliseconds(align.by)}` : 'they are'),
        { from: WIDE },
      ),
    ],
    rest > 0 ? { rest: { text: `and ${counted(rest, 'shallower comb')}`, ask: '--all' } } : {},
  );
}

const inMilliseconds = (seconds: number): string => `${figure(1000 * seconds, 2)} ms`;

const spotTable = (name: string, spots: readonly SpotDelay[], sampleRate: number): Table[] =>
  table(
    `Spots brought to ${name}`,
    spots,
    [
      names('spot', ({ spot }) => spot),
      names('by its', ({ source }) => source),
      numbers('delay', ({ late }) => inMilliseconds(late)),
      numbers(`at ${hertzName(sampleRate)}`, ({ samples }) => counted(Math.round(samples), 'sample')),
    ],
    { captioned: true },
  );

function snareWords({ pair, snare }: OverheadRow, { lengths }: Scope): string[] {
  if (!snare) return [];
  const { source, nearer, apart, late } = snare;
  const how =
    nearer === null
      ? 'as far from both capsules: it stands in the middle'
      : `${lengths.tape(apart)} nearer to ${nearer}, ${inMilliseconds(late)} early there`;
  return [`${source} under ${pair}: ${how}`];
}
