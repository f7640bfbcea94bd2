import type { Gauge } from '../../judge/tolerance/gauge.ts';
import type { ToldTolerance, ToldTolerances } from '../answer.ts';
import { type Column, plain, table } from '../table.ts';
import { figure, figureOr, percent, round } from '../words.ts';
import { wrap } from '../wrap.ts';
import type { ReportLayout } from './layout.ts';

const COLUMNS: readonly Column[] = [
  { head: 'figure', align: 'left', flexible: true },
  { head: '10%', align: 'right' },
  { head: '50%', align: 'right' },
  { head: '90%', align: 'right' },
  { head: 'limit', align: 'right' },
  { head: 'holds', align: 'right' },
  { head: 'mostly from', align: 'left', flexible: true },
];

/** How far each figure may be off on the day, how likely its limit holds, and what makes the most of that. */
export function tolerance({ draws, rows }: ToldTolerances, layout: ReportLayout): string[] {
  const known = rows
    .filter(({ p50, limit }) => p50 !== null && (limit !== null || layout.all))
    .sort((a, b) => (a.holds ?? 2) - (b.holds ?? 2));
  if (known.length === 0) return [];
  const [head = '', ...lines] = table(
    COLUMNS,
    known.map((row) => cells(row).map(plain)),
    layout.width,
  );
  const legend = `Percentiles of ${draws} draws in which aims, places, levels, nulls and absorption are off by chance, dB.`;
  return [...wrap(legend, layout.width, '  '), layout.paint.faint(head), ...lines];
}

const KINDS: Readonly<Record<Gauge['kind'], string>> = {
  'signal-to-bleed': 'S/B',
  ghost: 'ghost',
  editable: 'alone',
  'three-to-one': '3:1',
};

function cells({ kind, about, p10, p50, p90, limit, holds, causes }: ToldTolerance): string[] {
  const [first] = causes;
  return [
    `${KINDS[kind]} ${about.join(', ')}`,
    ...[p10, p50, p90].map((value) => figureOr(value, 1, 'none')),
    limit === null ? '' : round(limit),
    holds === null ? '' : percent(holds),
    first ? `${first.cause}, ${figure(first.spread, 1)} dB` : '',
  ];
}
