/** Plans side by side. */
import type { ComparedRow } from '../judge/criteria.ts';
import type { ToldReadings } from '../judge/report.ts';
import { escapeAll } from '../layout/html.ts';
import {
  broken,
  type Cell,
  type Layout,
  paint,
  plain,
  type Tall,
  verdictPaint,
  wrap,
  wrappedTable,
} from '../layout/text.ts';
import type { Comparison, Worse } from '../suggest/compare.ts';
import {
  basisMark,
  counted,
  figure,
  letter,
  pathWords,
  reachedWords,
  readingsLines,
  worseWords,
} from './words.ts';

type CompareOptions = {
  readonly width: number;
  readonly colour: boolean;
  /** What does not change is shown, too. */
  readonly all: boolean;
  readonly readings?: ToldReadings | null;
};

/** `worse` is null where nobody asked whether anything got worse. */
export function compareText(
  comparison: Comparison,
  worse: readonly Worse[] | null,
  { width, colour, all, readings = null }: CompareOptions,
): string {
  const safe = escapeAll(comparison);
  const layout = { width, all, paint: paint(colour) };
  const sections = [
    [...legend(safe, layout), ...judgedBy(safe, escapeAll(readings), layout)],
    ...(worse === null ? [] : [losses(escapeAll(worse), layout)]),
    section('Signal to bleed, dB', 'microphone', safe.mics, layout),
    section('What stays of a part when its own microphones are muted, dB', 'part', ghosts(safe), layout),
    section('Parts edited alone, dB', 'part', ofKind(safe.parts, 'editable'), layout),
    section(
      'Who hears whom, dB against everything else there',
      'player',
      ofKind(safe.people, 'hears'),
      layout,
    ),
    section('Who sees whom', 'players', ofKind(safe.people, 'sees'), layout),
    section('Minutes that ears bear', 'player', ofKind(safe.people, 'session'), layout),
    entries(safe, layout),
  ];
  return `${sections
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join('\n'))
    .join('\n\n')}\n`;
}

const ofKind = (rows: readonly ComparedRow[], kind: ComparedRow['kind']): ComparedRow[] =>
  rows.filter((row) => row.kind === kind);

const ghosts = ({ parts }: Comparison): ComparedRow[] => ofKind(parts, 'ghost');

function legend({ plans }: Comparison, { width }: Layout): string[] {
  return plans.flatMap(({ name, title }, i) => {
    const start = `${letter(i)}  `;
    const lines = broken(title === '' ? name : `${name} (${title})`, width - start.length);
    return lines.map((line, at) => (at === 0 ? start : ' '.repeat(start.length)) + line);
  });
}

/** Marks that the figures have, beside what was read. */
function judgedBy(
  { mics, parts, people }: Comparison,
  readings: ToldReadings | null,
  { width }: Layout,
): string[] {
  const rows = [...mics, ...parts, ...people];
  const bases = rows.flatMap(({ reached }) => reached.map((one) => one?.basis ?? null));
  return readingsLines(readings, bases, basisMark).flatMap((line) => wrap(line, width));
}

function losses(worse: readonly Worse[], layout: Layout): string[] {
  if (worse.length === 0) return [layout.paint.clear('Nothing got worse')];
  const lines = worse.flatMap((one) => {
    const start = `  ${letter(one.plan)}  `;
    return wrap(worseWords(one), layout.width, start, ' '.repeat(start.length));
  });
  return [layout.paint.short(`${counted(worse.length, 'thing')} got worse`), ...lines];
}

/** Smaller than this a change is none, dB. */
const SEEN = 0.05;

function section(head: string, about: string, rows: readonly ComparedRow[], layout: Layout): string[] {
  const shown = layout.all ? rows : rows.filter(hasChanged);
  const rest = rows.length - shown.length;
  if (rows.length === 0) return [];
  const same = rest === 0 ? [] : [`  ${counted(rest, 'row')} the same: --all`];
  if (shown.length === 0) return [layout.paint.strong(head), ...same];
  return [layout.paint.strong(head), ...comparedTable(about, shown, layout), ...same];
}

function hasChanged({ kind, reached, changes }: ComparedRow): boolean {
  const [first = null] = reached;
  return reached.some((one, i) => {
    if ((one === null) !== (first === null)) return true;
    if (one?.verdict !== first?.verdict) return true;
    const change = changes[i] ?? null;
    if (kind === 'hears' || kind === 'sees' || change === null) return one?.words !== first?.words;
    return Math.abs(change) >= SEEN;
  });
}

function entries({ entries: rows }: Comparison, layout: Layout): string[] {
  if (rows.length === 0) return [layout.paint.strong('The plans are written alike')];
  const lines = rows.flatMap(({ path, values }) => [
    ...wrap(pathWords(path), layout.width, '  '),
    ...grouped(values).flatMap(({ who, value }) =>
      wrap(value, layout.width, `    ${who}  `, ' '.repeat(who.length + 6)),
    ),
  ]);
  return [layout.paint.strong('Entries that differ'), ...lines];
}

/** Plans that write it alike on one line: "A, C". */
function grouped(values: readonly (string | null)[]): { readonly who: string; readonly value: string }[] {
  const different = [...new Set(values)];
  return different.map((one) => ({
    who: values.flatMap((value, i) => (value === one ? [letter(i)] : [])).join(', '),
    value: one ?? 'not there',
  }));
}

// What plans reach of one kind, side by side: on one line each where that fits, else over several.

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
