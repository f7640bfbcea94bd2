import type { InputRow } from '../../judge/input-levels.ts';
import type { Report } from '../../judge/report.ts';
import { type Column, plain, table } from '../table.ts';
import { figure, figureOr } from '../words.ts';
import { wrap } from '../wrap.ts';
import { heading, type ReportLayout } from './layout.ts';

type Told = { readonly noise: boolean; readonly selfNoise: boolean };

const columns = ({ noise, selfNoise }: Told): Column[] => [
  { head: 'input', align: 'left', flexible: true },
  { head: 'peak dB', align: 'right' },
  { head: 'of', align: 'left', flexible: true },
  { head: '', align: 'left' },
  { head: 'softest dBA', align: 'right' },
  ...(noise ? [{ head: 'over room', align: 'right' } as const] : []),
  ...(selfNoise ? [{ head: 'over mic', align: 'right' } as const] : []),
];

const SOFTEST = 'Softest: its own sound in the passage with least of it';

/** Of the columns that are there. */
function legend(rows: readonly InputRow[], { noise, selfNoise }: Told): string {
  const noises = [...(noise ? ['of the room'] : []), ...(selfNoise ? ['of the microphone itself'] : [])];
  const over = noises.length > 0 ? `; over the noise ${noises.join(' and ')}, dB` : '';
  return `${SOFTEST}${over}.${rows.some(({ peak }) => peak?.guessed) ? ' ~ a crest that is a guess.' : ''}`;
}

/** What each microphone brings to its input: where a pad is wanted, and where noise comes near. */
export function inputs({ inputs: rows }: Pick<Report, 'inputs'>, layout: ReportLayout): string[] {
  if (rows.length === 0) return [];
  const told = {
    noise: rows.some(({ overNoise }) => overNoise !== null),
    selfNoise: rows.some(({ overSelfNoise }) => overSelfNoise !== null),
  };
  const [head = '', ...lines] = table(
    columns(told),
    rows.map((row) => cells(row, told).map(plain)),
    layout.width,
  );
  return [
    heading('Inputs', layout, 'inputs'),
    layout.paint.faint(head),
    ...lines,
    ...wrap(legend(rows, told), layout.width, '  '),
  ];
}

const cells = ({ mic, peak, pad, signal, ...over }: InputRow, told: Told): string[] => [
  mic,
  peak ? `${peak.guessed ? '~' : ''}${figure(peak.level, 0)}` : 'silent',
  peak?.source ?? '',
  pad ?? '',
  figureOr(signal, 1, 'none'),
  ...(told.noise ? [figureOr(over.overNoise, 1, 'unknown')] : []),
  ...(told.selfNoise ? [figureOr(over.overSelfNoise, 1, 'unknown')] : []),
];
