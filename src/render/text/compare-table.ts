/** What plans reach of one kind, side by side: on one line each where that fits, else over several. */
import type { ComparedRow } from '../../advise/compared-row.ts';
import { letter, reachedWords } from '../compare-words.ts';
import { basisMark } from '../readings-words.ts';
import { type Cell, plain } from '../table.ts';
import { figure } from '../words.ts';
import { type Tall, wrappedTable } from '../wrapped-table.ts';
import { type Layout, verdictPaint } from './layout.ts';

/** Where the changes against the first plan stand, and whether figures may part from their words. */
type Way = { readonly changes: 'beside' | 'below'; readonly breaks: Tall['breaks'] };

/** The first that fits is taken. */
const WAYS: readonly Way[] = [
  { changes: 'beside', breaks: 'not' },
  { changes: 'below', breaks: 'not' },
  { changes: 'below', breaks: 'words' },
];

/** Where the plans are too many for one table, table follows table, each with the first plan. */
export function comparedTable(about: string, rows: readonly ComparedRow[], layout: Layout): string[] {
  const others = (rows[0]?.reached ?? []).slice(1).map((_, i) => i + 1);
  return tables(others);

  function tables(plans: readonly number[]): string[] {
    const half = Math.ceil(plans.length / 2);
    const whole = laidOut(plans, layout.width);
    if (whole) return whole;
    if (plans.length < 2) return laidOut(plans, Number.POSITIVE_INFINITY) ?? [];
    return [...tables(plans.slice(0, half)), '', ...tables(plans.slice(half))];
  }

  function laidOut(plans: readonly number[], width: number): string[] | null {
    for (const way of WAYS) {
      const head = heads(about, plans, way, layout, rows[0]?.kind === 'sees');
      const lines = wrappedTable([head, ...rows.map((row) => cells(row, plans, way, layout))], width);
      if (lines) return lines;
    }
    return null;
  }
}

function heads(about: string, plans: readonly number[], way: Way, { paint }: Layout, bare: boolean): Tall[] {
  const told = (text: string): Cell => ({ text, paint: paint.faint });
  return [
    { parts: [told(about)], align: 'left', breaks: 'names' },
    { parts: [told(letter(0))], align: 'left', breaks: way.breaks },
    ...plans.flatMap((plan) =>
      withChange(told(letter(plan)), bare ? null : told(`${letter(plan)} - A`), way),
    ),
  ];
}

function cells(row: ComparedRow, plans: readonly number[], way: Way, layout: Layout): Tall[] {
  const { kind, about, changes } = row;
  const name = { text: about.join(kind === 'hears' ? ' hears ' : ' and '), paint: layout.paint.strong };
  return [
    { parts: [name], align: 'left', breaks: 'names' },
    { parts: [reachedCell(row, 0, layout)], align: 'left', breaks: way.breaks },
    ...plans.flatMap((plan) => {
      const change = kind === 'sees' ? null : plain(signed(changes[plan] ?? null));
      return withChange(reachedCell(row, plan, layout), change, way);
    }),
  ];
}

function withChange(cell: Cell, change: Cell | null, { changes, breaks }: Way): Tall[] {
  if (change === null) return [{ parts: [cell], align: 'left', breaks }];
  if (changes === 'below') return [{ parts: [cell, change], align: 'left', breaks }];
  return [
    { parts: [cell], align: 'left', breaks },
    { parts: [change], align: 'right', breaks },
  ];
}

function reachedCell({ kind, reached }: ComparedRow, plan: number, { paint }: Layout): Cell {
  const one = reached[plan] ?? null;
  const mark = kind === 'sees' ? '' : basisMark(one?.basis ?? null);
  const text = [reachedWords(kind, one), mark].filter((part) => part !== '').join(' ');
  return one?.verdict ? { text, paint: verdictPaint(one.verdict, paint) } : plain(text);
}

function signed(change: number | null): string {
  if (change === null) return '';
  const text = figure(change, 1);
  return change > 0 && Number(text) !== 0 ? `+${text}` : text;
}
