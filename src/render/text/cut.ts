import type { CutTogether } from '../../judge/parts/cut-together.ts';
import type { Tie } from '../../judge/parts/tie.ts';
import type { Report } from '../../judge/report.ts';
import { type Column, plain, table } from '../table.ts';
import { figureOr } from '../words.ts';
import { wrap } from '../wrap.ts';
import { heading, type ReportLayout } from './layout.ts';

/** Whose takes hang together; in full, by which microphones. */
export function cutTogether({ cut }: Pick<Report, 'cut'>, layout: ReportLayout): string[] {
  if (cut.sentence === '') return [];
  return [
    heading('Cut these together', layout, 'cut'),
    ...wrap(cut.sentence, layout.width, '  ', '    '),
    ...(layout.brief ? [] : ties(cut, layout)),
  ];
}

const COLUMNS: readonly Column[] = [
  { head: 'microphone', align: 'left', flexible: true },
  { head: 'of', align: 'left', flexible: true },
  { head: 'carries', align: 'left', flexible: true },
  { head: 'dB re its own', align: 'right' },
];

function ties({ groups }: CutTogether, layout: ReportLayout): string[] {
  const all = groups.flatMap((group) => group.ties);
  if (all.length === 0) return [];
  const [head = '', ...rows] = table(
    COLUMNS,
    all.map((tie) => cells(tie).map(plain)),
    layout.width,
  );
  const legend = 'In the octaves of the part that is carried; from -20 dB on it binds.';
  return [layout.paint.faint(head), ...rows, ...wrap(legend, layout.width, '  ')];
}

const cells = ({ mic, between: [own, carried], level, shared }: Tie): string[] => [
  mic,
  own,
  carried,
  shared ? 'for both' : figureOr(level, 1, 'alone there'),
];
