/** A view as plain text, in columns of a terminal. */
import type { Lengths } from '../plan/units.ts';
import type { Answer, RenderOptions } from '../report/answer.ts';
import { reportView } from '../report/report.ts';
import * as views from '../report/view.ts';
import type { Scene } from '../scene/scene.ts';
import { escapeAll, escapeCommands } from '../text.ts';
import { planView } from './plan-in-characters.ts';
import {
  broken,
  type Cell,
  type Column,
  displayWidth,
  laidOutList,
  type Paint,
  padEnd,
  paint,
  pieces,
  plain,
  type Tall,
  table,
  wrap,
  wrappedTable,
} from './table.ts';

/** The report as plain text. */
export const text = (
  answer: Answer,
  { width, colour, lines = 0, scene, lengths, ...options }: RenderOptions,
): string =>
  renderText(reportView(answer, { ...options, lengths }), {
    width,
    colour,
    lines,
    ...(scene && { plan: { scene, lengths } }),
  });

export type TextOptions = {
  /** Columns of the page. */
  readonly width: number;
  readonly colour: boolean;
  /** Lines of the screen, for what is shown only where there is room. */
  readonly lines?: number;
  /** What a small plan is drawn of. */
  readonly plan?: { readonly scene: Scene; readonly lengths: Lengths };
};

type Layout = Pick<TextOptions, 'width' | 'plan'> & { readonly paint: Paint };

/** The view in columns of a terminal. */
export function renderText(view: views.View, { width, colour, lines = 0, plan }: TextOptions): string {
  const { title, lead, sections, whereRoom, more } = escapeAll(view);
  const layout = { width, paint: paint(colour), ...(plan && { plan }) };
  const paragraphs: string[][] = [
    [...(title === '' ? [] : wrap(title, width).map(layout.paint.strong)), ...wrapped(lead, layout, '')],
  ];
  for (const section of sections) {
    const told = sectionLines(section, layout);
    if (section.joined) paragraphs.at(-1)?.push(...told);
    else paragraphs.push(told);
  }
  const foot = more === undefined ? [] : wrap(more, width, '', '  ').map(layout.paint.faint);
  const extra = whereRoom ? sectionLines(whereRoom, layout) : [];
  const page = pageOf([...paragraphs, extra, foot]);
  return extra.length === 0 || page.split('\n').length - 1 <= lines ? page : pageOf([...paragraphs, foot]);
}

const pageOf = (paragraphs: readonly (readonly string[])[]): string => {
  const shown = paragraphs.filter((lines) => lines.length > 0).map((lines) => lines.join('\n'));
  return shown.length === 0 ? '' : escapeCommands(`${shown.join('\n\n')}\n`);
};

/** A section with nothing in it is absent. */
function sectionLines({ title, more, is, blocks }: views.Section, layout: Layout): string[] {
  const { width, paint } = layout;
  const [first, ...others] = blocks;
  if (first?.kind === 'continuation') {
    const said = wrap(`${title}: ${first.items.map(views.textOf).join('; ')}`, width, '', '  ');
    return [...said, ...others.flatMap((block) => blockLines(block, layout, INDENT))];
  }
  const lines = blocks.flatMap((block) => blockLines(block, layout, INDENT));
  if (lines.length === 0) return [];
  if (title === '') return lines;
  const head = wrap(title, width).map(paint[is ?? 'strong']);
  const way = more === undefined ? '' : paint.faint(`  (${more})`);
  return [...head.slice(0, -1), `${head.at(-1) ?? ''}${way}`, ...lines];
}

const INDENT = '  ';
/** What stands under a row of a table is set in by this. */
const UNDER_ROW = '      ';

function blockLines(block: views.Block, layout: Layout, indent: string): string[] {
  const { width, paint, plan } = layout;
  const under = (blocks: readonly views.Block[], by = '') =>
    blocks.flatMap((one) => blockLines(one, layout, indent + by));
  switch (block.kind) {
    case 'table':
      return tableLines(block, layout, indent);
    case 'key':
    case 'each':
      return keyedLines(block, layout, block.kind === 'key' ? '' : indent);
    case 'verbatim':
      return [...block.lines];
    case 'item':
      return [...wrap(block.text, width, indent), ...under(block.blocks, '  ')];
    case 'matrix':
      return matrixLines(block, layout);
    case 'steps':
      return stepLines(block, layout);
    case 'details':
      return under(block.blocks);
    case 'heading':
      return wrap(block.text, width).map(paint.strong);
    case 'drawing':
      return plan ? planView(plan.scene, plan.lengths, width) : [];
    default:
      return block.items.flatMap((one, i) => wrapped([one], layout, ...STARTS[block.kind](indent, i + 1)));
  }
}

/** What the first and the further lines of an item begin with. */
const STARTS: Readonly<Record<views.Prose['kind'], (indent: string, number: number) => [string, string?]>> = {
  statements: (indent) => [indent, `${indent}  `],
  list: (indent) => [`${indent}- `, `${indent}  `],
  ranking: (indent, number) => [`${indent}${number} `, `${indent}  `],
  remarks: () => [''],
  notes: (indent) => [indent],
  continuation: (indent) => [indent],
};

const wrapped = (
  items: readonly views.Words[],
  { width, paint }: Layout,
  first: string,
  rest = first,
): string[] => items.flatMap((one) => wrap(views.textOf(one), width, first, rest).map(painted(one, paint)));

function painted(words: views.Words, paint: Paint): (text: string) => string {
  if (typeof words === 'string') return (text) => text;
  return words.is === 'unjudged' || words.is === 'aside' ? paint.faint : paint[words.is];
}

const keyedLines = (
  { entries, least = 0 }: views.Keyed,
  { width, paint }: Layout,
  indent: string,
): string[] =>
  entries.flatMap(({ key, text }) => {
    const space = ' '.repeat(Math.max(0, least - displayWidth(views.textOf(key))) + GAP);
    const start = `${indent}${painted(key, paint)(views.textOf(key))}${space}`;
    const rest = indent + ' '.repeat(displayWidth(views.textOf(key))) + space;
    return broken(text, width - rest.length).map((line, i) => (i === 0 ? start : rest) + line);
  });

/** A row that its columns have no room for is named in full under it; optional columns never take that room. */
function tableLines(block: views.Table, layout: Layout, indent: string): string[] {
  const { caption, captioned, columns, rows, rest, apart, sideBySide, whole } = block;
  const foot = rest ? [`${indent}${rest.text}${rest.ask === undefined ? '' : `: ${rest.ask}`}`] : [];
  if (sideBySide) return [...sideBySideLines(block, layout), ...foot];
  if (whole) return wholeLines(block, layout, indent);
  const used = columns.flatMap(({ from = 0, ifAny, wraps }, i) =>
    layout.width >= from && !wraps && !(ifAny && rows.every(({ cells }) => cells[i] === '')) ? [i] : [],
  );
  const needed = used.filter((i) => !columns[i]?.optional);
  const { head, body } = firstUncut(used, needed, (shown, dB) =>
    laidOutTable(withBars(block, dB), shown, layout, indent),
  );
  return [
    ...(apart ? [''] : []),
    ...(captioned ? wrap(`${caption}:`, layout.width, indent) : []),
    layout.paint.faint(head),
    ...body,
    ...foot,
  ];
}

/** Between a key or a row and what goes on beside it. */
const GAP = 2;

/** Blocks of a bar by the dB of each, wide first: the widest with which no name is shortened is taken. */
const BLOCKS = [1, 2, 3, 5] as const;

/** What the limit is marked with, and what the bar is of. */
const LIMIT = '┃';
const BLOCK = '█';

/** From the limit to a margin, a block for so many dB begun; beyond the ends it is as long as there is room. */
function barOf(margin: number, [from, to]: readonly [number, number], block: number): string {
  const count = (reach: number) => Math.min(Math.ceil(Math.abs(margin) / block), Math.floor(reach / block));
  const left = margin < 0 ? BLOCK.repeat(count(-from)) : '';
  const right = margin > 0 ? BLOCK.repeat(count(to)) : '';
  return left.padStart(Math.floor(-from / block)) + LIMIT + right;
}

/** The ends and the limit over the bars. */
function scaleOf([from, to]: readonly [number, number], block: number): string {
  const nought = Math.floor(-from / block);
  const end = `+${to}`;
  return `${`${from}`.padEnd(nought)}0`.padEnd(nought + 1 + Math.floor(to / block) - end.length) + end;
}

type LaidOut = ReturnType<typeof laidOutTable>;

/** All columns with bars as wide as there is room for, else without those that can be done without. */
function firstUncut(
  used: readonly number[],
  needed: readonly number[],
  lay: (shown: readonly number[], block: number) => LaidOut,
): LaidOut {
  for (const shown of needed.length < used.length ? [used, needed] : [used])
    for (const block of BLOCKS) {
      const laid = lay(shown, block);
      if (!laid.cut) return laid;
    }
  return lay(needed, BLOCKS[1]);
}

/** Numbers that are shown as bars as the text of these. */
function withBars({ columns, rows, ...block }: views.Table, dB: number): views.Table {
  if (columns.every(({ bars }) => bars === undefined)) return { ...block, columns, rows };
  const heads = columns.map(
    (one): views.ColumnHead => (one.bars ? { ...one, head: scaleOf(one.bars, dB), kind: 'word' } : one),
  );
  const drawn = rows.map((row) => ({
    ...row,
    cells: row.cells.map((cell, i) => {
      const { bars } = columns[i] ?? {};
      const text = views.textOf(cell);
      return !bars || text === '' ? cell : barOf(Number(text), bars, dB);
    }),
  }));
  return { ...block, columns: heads, rows: drawn };
}

function laidOutTable(
  { columns, rows }: views.Table,
  used: readonly number[],
  layout: Layout,
  indent: string,
) {
  const { width, paint } = layout;
  const [head = '', ...lines] = table(
    used.flatMap((i) => columns[i] ?? []).map(columnOf),
    rows.map(({ cells }) =>
      used.map((i) => ({ text: views.textOf(cells[i] ?? ''), paint: painted(cells[i] ?? '', paint) })),
    ),
    width,
    indent,
  );
  const names = rows.map(({ cells, inFull = '' }, i) => {
    const told = used.map((at) => views.textOf(cells[at] ?? ''));
    const isCut = told.some((text) => inFull.includes(text.trim()) && !lines[i]?.includes(text));
    return isCut ? inFull : undefined;
  });
  const beside = columns.findIndex(({ wraps }) => wraps);
  const start = Math.max(...[head, ...lines].map(displayWidth)) + GAP;
  const withBeside = (line: string, cells: readonly views.Words[]): string[] =>
    beside < 0
      ? [line]
      : wrap(views.textOf(cells[beside] ?? ''), width, padEnd(line, start), ' '.repeat(start));
  const body = rows.flatMap(({ group, above, cells, details = [] }, i) => [
    ...(group === undefined ? [] : [paint.faint(group)]),
    ...(above === undefined ? [] : wrap(above, width, indent, `${indent}  `)),
    ...withBeside(lines[i] ?? '', cells),
    ...(names[i] === undefined ? [] : wrap(names[i], width, UNDER_ROW, `${UNDER_ROW}  `)),
    ...details.flatMap((one) => blockLines(one, layout, UNDER_ROW)),
  ]);
  return { head, body, cut: names.some((one) => one !== undefined) };
}

/** Cells over several lines; what stands under a row is one text. */
function wholeLines({ columns, rows }: views.Table, { width }: Layout, indent: string): string[] {
  const beside = (cells: readonly string[]) => cells.filter((_, i) => !columns[i]?.under);
  const told = rows.map(({ cells }) => cells.map(views.textOf));
  const heads = columns.map(({ head }) => head);
  const [head = [], ...body] = laidOutList([heads, ...told].map(beside), width, indent);
  const under = (cells: readonly string[]): string =>
    columns
      .flatMap(({ head, under }, i) =>
        under && cells[i] ? `${under === 'bare' ? '' : `${head}: `}${cells[i]}` : [],
      )
      .join('; ');
  return [
    ...(beside(heads).length > 1 ? head : []),
    ...told.flatMap((cells, i) => [
      ...(body[i] ?? []),
      ...(under(cells) === '' ? [] : wrap(under(cells), width, UNDER_ROW, `${UNDER_ROW}  `)),
    ]),
  ];
}

/** Whether a change goes below what it changed, and whether values may part from their words; the first that fits is taken. */
const WAYS = [
  { below: false, breaks: 'not' },
  { below: true, breaks: 'not' },
  { below: true, breaks: 'words' },
] as const;

/** Where there are too many columns for one table, table follows table, each with the first. */
function sideBySideLines({ columns, rows }: views.Table, { width, paint }: Layout): string[] {
  const lines: Cell[][] = [
    columns.map(({ head }) => ({ text: head, paint: paint.faint })),
    ...rows.map(({ cells }) => cells.map((one) => ({ text: views.textOf(one), paint: painted(one, paint) }))),
  ];
  const compared = columns.flatMap(({ change }, i) =>
    i === 0 || change ? [] : [columns[i + 1]?.change ? [i, i + 1] : [i]],
  );
  const [first = [], ...others] = compared;
  const tables = (shown: readonly number[][]): string[] => {
    const whole = laidOut(shown, width);
    if (whole) return whole;
    if (shown.length < 2) return laidOut(shown, Number.POSITIVE_INFINITY) ?? [];
    const half = Math.ceil(shown.length / 2);
    return [...tables(shown.slice(0, half)), '', ...tables(shown.slice(half))];
  };
  const laidOut = (shown: readonly number[][], width: number): string[] | null => {
    for (const { below, breaks } of WAYS) {
      const tall = lines.map((cells) => {
        const cellsAt = (which: readonly number[]) => which.flatMap((i) => cells[i] ?? []);
        return [
          { parts: cellsAt([0]), align: 'left', breaks: 'names' } as const,
          ...[first, ...shown].flatMap(([own = 0, ...changes]): Tall[] => [
            { parts: cellsAt(below ? [own, ...changes] : [own]), align: 'left', breaks },
            ...(below ? [] : changes).map((i): Tall => ({ parts: cellsAt([i]), align: 'right', breaks })),
          ]),
        ];
      });
      const fitted = wrappedTable(tall, width);
      if (fitted) return fitted;
    }
    return null;
  };
  return tables(others);
}

const columnOf = ({ head, kind, least = 0 }: views.ColumnHead): Column => ({
  head,
  least,
  align: kind === 'number' ? 'right' : 'left',
  flexible: kind === 'name',
});

/** Width of a column of a matrix, and of its longest name of a row. */
const MATRIX_COLUMN = 9;
const LONGEST_NAME = 24;
const MARKS = { signal: '*', 'same-kit': '~', bleed: ' ', none: ' ' } as const;

/** In strips as wide as the page. */
function matrixLines({ notes, key, columns, first, rows, inFull }: views.Matrix, layout: Layout): string[] {
  const { width, paint } = layout;
  const longest = Math.max(...[first, ...rows].map(({ name }) => displayWidth(name)));
  const room = width - INDENT.length - (inFull ? longest : Math.min(longest, LONGEST_NAME));
  const perStrip = Math.max(1, Math.floor(room / (MATRIX_COLUMN + INDENT.length)));
  const starts = Array.from({ length: Math.ceil(columns.length / perStrip) }, (_, i) => i * perStrip);
  const [before, after] = notes;
  const marks = `${MARKS.signal} ${key.signal}, ${MARKS['same-kit']} ${key['same-kit']}`;
  return [
    ...wrap(`${before} ${marks}. ${after}`, width, INDENT),
    ...starts.flatMap((start) => {
      const strip = columns.slice(start, start + perStrip);
      const heads = strip.map(nameOverLines);
      const height = Math.max(...heads.map((lines) => lines.length));
      const headRows = Array.from({ length: height }, (_, line) => [
        '',
        ...heads.map((lines) => lines[line - height + lines.length] ?? ''),
      ]);
      const body = [first, ...rows].map(({ name, cells }) => [
        name,
        ...cells.slice(start, start + perStrip).map(({ text, is }) => text + MARKS[is]),
      ]);
      const [, ...lines] = table(
        [
          { head: '', align: 'left', flexible: true },
          ...strip.map(() => ({ head: '', align: 'right' }) as const),
        ],
        [...headRows, ...body].map((row) => row.map(plain)),
        width,
      );
      return ['', ...lines.slice(0, height).map(paint.faint), ...lines.slice(height)];
    }),
  ];
}

/** Broken after its own separators. */
function nameOverLines(name: string): string[] {
  const lines: string[] = [];
  for (const piece of name.split(/(?<=[-_. ])/u).flatMap((one) => pieces(one, MATRIX_COLUMN))) {
    const longer = `${lines.at(-1) ?? ''}${piece}`;
    if (lines.length > 0 && displayWidth(longer) <= MATRIX_COLUMN) lines[lines.length - 1] = longer;
    else lines.push(piece);
  }
  return lines;
}

function stepLines({ steps, apart }: views.Steps, { width, paint }: Layout): string[] {
  const indent = '    ';
  return steps.flatMap(({ does, effects }, i) => {
    const number = `${i + 1}`.padStart(2).padEnd(indent.length);
    const told = does.flatMap((text, at) => wrap(text, width, at === 0 ? number : indent, indent));
    const come = effects.flatMap((text, at) => wrap(text, width, indent, at === 0 ? indent : `${indent}  `));
    return [...(apart && i > 0 ? [''] : []), ...told.map(paint.strong), ...come];
  });
}
