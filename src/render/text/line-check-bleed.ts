import type { LineCheck } from '../../linecheck/line-check.ts';
import { type Column, plain, table } from '../table.ts';
import { figureOr, round, verdictWords } from '../words.ts';
import { wrap } from '../wrap.ts';
import { type Layout, verdictPaint } from './layout.ts';

const BLEED: readonly Column[] = [
  { head: 'mic', align: 'left', flexible: true },
  { head: 'measured', align: 'right' },
  { head: '±', align: 'right' },
  { head: 'plan', align: 'right' },
  { head: 'limit', align: 'right' },
  { head: 'verdict', align: 'left' },
];

/** S/B straight from the readings, and for which microphones it is not to be had. */
export function measuredBleed({ bleed, layers }: LineCheck, layout: Layout): string[] {
  const over = layers[0] === null ? ' over all octaves' : '';
  const rows = bleed
    .filter(({ measured }) => measured !== null)
    .sort((a, b) => (a.margin ?? 0) - (b.margin ?? 0));
  const lost = bleed.filter(({ measured }) => measured === null);
  if (bleed.length === 0) return [];
  const cells = rows.map((row) => [
    plain(row.name),
    ...[
      figureOr(row.measured, 1, ''),
      figureOr(row.error, 1, ''),
      figureOr(row.predicted, 1, 'none'),
      round(row.limit),
    ].map(plain),
    {
      text: row.verdict ? verdictWords(row.verdict, row.margin) : '',
      paint: verdictPaint(row.verdict, layout.paint),
    },
  ]);
  const [head = '', ...lines] = table(BLEED, cells, layout.width);
  return [
    layout.paint.strong(`Signal to bleed as measured${over}, worst first (gains cancel)`),
    ...(rows.length > 0 ? [layout.paint.faint(head), ...lines] : []),
    ...lost.flatMap(({ name, lacks }) =>
      wrap(`${name}: not measured, without ${lacks.join(', ')}`, layout.width, '  ', '    '),
    ),
  ];
}
