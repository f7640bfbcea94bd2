import { escapeAll } from '../layout/html.ts';
import { type InUnits, laidOutList, paint, type ReportLayout, type Section, wrap } from '../layout/text.ts';
import { bleed, byBand, headline, inputs, matrix, spacing } from '../report/mics.ts';
import { nowText } from '../report/moves.ts';
import { cutTogether, later } from '../report/parts.ts';
import { ears, headphones, people } from '../report/people.ts';
import { cautions, decays, pitfallList, rooms, unsureText } from '../report/rooms.ts';
import { delays, mainPairsText } from '../report/timing.ts';
import { type Answer, type List, more, type RenderOptions, type Sheet } from '../report/view.ts';
import { planView } from './plan-in-characters.ts';

/** The answer as a page for people: what one should know first, the lists after it. */
export function text(answer: Answer, options: RenderOptions): string {
  const safe = escapeAll(answer);
  const { width, all, brief, lengths } = options;
  const layout = { width, paint: paint(options.colour), all, brief, lengths };
  const sections = options.sections.map((section) => WRITERS[section](safe, layout, options));
  const blocks = [
    headline(safe, layout),
    ...(brief ? [sections.flat()] : sections),
    ...(options.bands ? [byBand(safe, layout), decays(safe, layout)] : []),
    ...(brief ? [more(layout)] : []),
  ].filter((lines) => lines.length > 0);
  return pageOf(brief ? withPlan(blocks, plan(safe, layout, options), options.lines ?? 0) : blocks);
}

const pageOf = (blocks: Blocks): string => `${blocks.map((lines) => lines.join('\n')).join('\n\n')}\n`;

type Blocks = readonly (readonly string[])[];

/** A brief page has the plan before its last lines where there is room for both. */
function withPlan(blocks: Blocks, lines: readonly string[], room: number): Blocks {
  const page = lines.length === 0 ? blocks : [...blocks.slice(0, -1), lines, ...blocks.slice(-1)];
  return pageOf(page).trimEnd().split('\n').length <= room ? page : blocks;
}

type Writer = (answer: Answer, layout: ReportLayout & InUnits, options: RenderOptions) => string[];

const plan: Writer = (_answer, layout, { scene }) => (scene ? planView(scene, layout) : []);

const WRITERS: Readonly<Record<Section, Writer>> = {
  now: nowText,
  later,
  cut: cutTogether,
  bleed,
  people,
  headphones,
  ears,
  delays,
  main: mainPairsText,
  matrix,
  'three-to-one': spacing,
  inputs,
  rooms,
  plan,
  cautions,
  unsure: (answer, layout, { listAssumptions }) => unsureText(answer, listAssumptions, layout),
  pitfalls: pitfallList,
};

// The sheet as plain text, 80 columns: to be printed from anything.

const WIDTH = 80;

const INDENT = '  ';

export function sheetText({ title, lists }: Sheet): string {
  const head = wrap(title === '' ? 'Load-in sheet' : `Load-in sheet: ${title}`, WIDTH);
  return `${[head, ...lists.map(listLines)].map((lines) => lines.join('\n')).join('\n\n')}\n`;
}

function listLines({ title, columns, rows, notes }: List): string[] {
  const isUnder = (i: number) => columns[i]?.under === true;
  const main = (cells: readonly string[]) => cells.filter((_, i) => !isUnder(i));
  const heads = main(columns.map(({ head }) => head));
  const [headLines = [], ...blocks] = laidOutList(heads, rows.map(main), WIDTH - INDENT.length);
  const under = (row: readonly string[]) => {
    const said = row.flatMap((cell, i) =>
      isUnder(i) && cell !== '' ? [`${columns[i]?.head}: ${cell}`] : [],
    );
    return said.length > 0 ? [said.join('; ')] : [];
  };
  const body = rows.flatMap((row, i) => [
    ...(blocks[i] ?? []).map((line) => INDENT + line),
    ...under(row).flatMap((text) => wrap(text, WIDTH, '      ', '        ')),
  ]);
  return [
    title.toUpperCase(),
    ...notes.flatMap((note) => wrap(note, WIDTH, INDENT)),
    ...(heads.length > 1 ? headLines.map((line) => INDENT + line) : []),
    ...body,
  ];
}
