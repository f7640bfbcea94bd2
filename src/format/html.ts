import { document, escapeAll, type Html, html, REPORT_STYLE, trusted } from '../layout/html.ts';
import type { Lengths } from '../plan/units.ts';
import type { Answer } from '../report/answer.ts';
import { answers, headlines, heatMap, microphones } from '../report/mics.ts';
import { cutTogether, later } from '../report/parts.ts';
import { players } from '../report/people.ts';
import { inputs, pageCautions, pageRooms, pageUnsure, tolerances } from '../report/rooms.ts';
import { type Sheet, sheetView } from '../report/sheet.ts';
import { pageMainPairs, timing } from '../report/timing.ts';
import {
  type Block,
  type ColumnHead,
  type Matrix,
  type MatrixCell,
  type MatrixRow,
  type PagePart,
  part,
  partMarkup,
  type Section,
  type Steps,
  type Table,
  textOf,
  type View,
  type Words,
} from '../report/view.ts';

// The sheet as a page to print, on A4 or Letter.

export const sheetPage = (sheet: Sheet): string =>
  renderHtml(sheetView(sheet), { style: STYLE, contents: false });

/** No paper size: the printer's own holds. Heads come again on each sheet of paper, and no row is torn. */
const STYLE = `
:root { color-scheme: light; font: 15px/1.4 system-ui, sans-serif; color: #1b1b1b; background: #fff; }
body { margin: 0 auto; max-width: 72rem; padding: 1.2rem; }
h1 { font-size: 1.5rem; margin: 0 0 1rem; overflow-wrap: anywhere; }
h2 { font-size: 1.1rem; margin: 1.6rem 0 .4rem; padding-bottom: .15rem; border-bottom: 2px solid #1b1b1b; }
p { margin: .2rem 0; color: #444; max-width: 60rem; }
ul { margin: .3rem 0; padding-left: 1.2rem; max-width: 60rem; }
.scroll { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; margin-top: .4rem; }
th, td { text-align: left; vertical-align: top; padding: .25rem .8rem .25rem 0; border-bottom: 1px solid #bbb; overflow-wrap: break-word; max-width: 20rem; }
thead th { font-weight: 600; color: #444; border-bottom-color: #555; white-space: nowrap; }
.short { white-space: nowrap; }
@media print {
  @page { margin: 12mm; }
  :root { font-size: 9.5pt; }
  body { max-width: none; padding: 0; }
  .scroll { overflow: visible; }
  thead { display: table-header-group; }
  tr, li { break-inside: avoid; }
  h2, p { break-after: avoid; }
  thead th { white-space: normal; }
}
`;

// A view as one self-contained page.

export type PageOptions = {
  /** Of our own making: the page's looks. */
  readonly style: string;
  /** Where the page has no title of its own. */
  readonly untitled?: string;
  /** Whether links lead to the sections; a page to be printed needs none. */
  readonly contents?: boolean;
  /** An SVG of our own making, where the view has a place for it. */
  readonly drawing?: string;
};

/** The first section is the one that a reader of the keyboard may skip to. */
export function renderHtml(view: View, options: PageOptions): string {
  const { style, untitled = '', contents = true, drawing = '' } = options;
  const { lead, sections, ...heading } = escapeAll(view);
  const title = heading.title === '' ? untitled : heading.title;
  const [first] = contents ? sections : [];
  const skip = first ? html`<a class="skip" href="#${first.id}">To the answers</a>\n` : html``;
  const links = sections.map(({ id, title: said }) => html`<li><a href="#${id}">${said}</a></li>\n`);
  const nav = first ? html`<nav aria-label="Contents"><ul>\n${links}</ul></nav>\n` : html``;
  const body = html`${skip}<header>
<h1>${title}</h1>
${lead.map((line) => html`<p class="lead">${textOf(line)}</p>\n`)}</header>
${nav}<main>
${sections.map((section) => sectionMarkup(section, trusted(drawing)))}</main>`;
  return document({ title, styles: [style, ...stylesIn(drawing)], body });
}

const sectionMarkup = ({ id, title, blocks }: Section, drawing: Html): Html =>
  html`<section aria-labelledby="${id}">\n<h2 id="${id}">${title}</h2>\n${blocks.map((block) => blockMarkup(block, drawing))}</section>\n`;

function blockMarkup(block: Block, drawing: Html): Html {
  switch (block.kind) {
    case 'table':
      return viewTable(block, drawing);
    case 'matrix':
      return matrixMarkup(block);
    case 'steps':
      return stepsMarkup(block);
    case 'details': {
      const { id, summary, blocks } = block;
      const name = id === undefined ? html`` : html` id="${id}"`;
      return html`<details${name}><summary>${summary}</summary>\n${blocks.map((one) => blockMarkup(one, drawing))}</details>\n`;
    }
    case 'key':
    case 'each':
      return html`<dl>\n${block.entries.map(({ key, text }) => html`<dt>${key}</dt><dd>${text}</dd>\n`)}</dl>\n`;
    case 'item':
      return html`<p>${block.text}</p>\n${block.blocks.map((one) => blockMarkup(one, drawing))}`;
    case 'heading':
      return html`<h3>${block.text}</h3>\n`;
    case 'drawing':
      return html`<figure>${drawing}</figure>\n`;
    case 'list':
      return listOf(block.items, 'ul');
    case 'ranking':
      return listOf(block.items, 'ol');
    default:
      return block.kind === 'statements' && block.items.length > 1
        ? listOf(block.items, 'ul')
        : html`${block.items.map((one) => html`<p>${textOf(one)}</p>\n`)}`;
  }
}

function listOf(items: readonly Words[], element: 'ul' | 'ol'): Html {
  const each = items.map((one) => html`<li>${textOf(one)}</li>\n`);
  return element === 'ul' ? html`<ul>\n${each}</ul>\n` : html`<ol>\n${each}</ol>\n`;
}

/** The first cell names its row, where no other does. Columns in which no row says anything are left out. */
function viewTable({ caption, columns, rows, rest, behind, whole }: Table, drawing: Html): Html {
  if (columns.length === 1)
    return listOf(
      rows.map(({ cells: [only = ''] }) => only),
      'ul',
    );
  const naming = Math.max(
    0,
    columns.findIndex((column) => column.naming),
  );
  const used = columns.flatMap((column, i) =>
    i === naming || column.toFill || rows.some(({ cells }) => cells[i] !== '') ? [{ ...column, i }] : [],
  );
  const sideOf = ({ kind }: ColumnHead) => (kind === 'number' ? html` class="number"` : html``);
  const head = used.map(
    (column) => html`<th scope="col"${sideOf(column)}>${column.label ?? column.head}</th>`,
  );
  const body = rows.map(({ group, above = group, cells }) => {
    const each = used.map((column) =>
      column.i === naming
        ? html`<th scope="row">${textOf(cells[naming] ?? '')}</th>`
        : html`<td${whole ? onOneLine(cells[column.i] ?? '') : sideOf(column)}>${wordsMarkup(cells[column.i] ?? '')}</td>`,
    );
    const lead =
      above === undefined
        ? html``
        : html`<tr><th scope="colgroup" colspan="${String(used.length)}">${above}</th></tr>\n`;
    return html`${lead}<tr>${each}</tr>\n`;
  });
  const details = rows.flatMap((row) => row.details ?? []).map((one) => blockMarkup(one, drawing));
  return html`<div class="scroll" role="region" tabindex="0" aria-label="${caption}"><table>
${whole ? html`` : html`<caption>${caption}</caption>\n`}<thead><tr>${head}</tr></thead>
<tbody>
${body}</tbody>
</table></div>
${rest ? html`<p>${rest.text}</p>\n` : html``}${behind === undefined ? html`` : html`<h3>${behind}</h3>\n`}${details}`;
}

/** What is short, as lengths are, is not broken. */
const onOneLine = (words: Words): Html => (textOf(words).length <= SHORT ? html` class="short"` : html``);

const SHORT = 14;

/** A verdict in its own words, set off by more than colour. */
function wordsMarkup(words: Words): Html {
  if (typeof words === 'string' || words.is === 'strong' || words.is === 'unjudged' || words.is === 'aside')
    return html`${textOf(words)}`;
  return html`<span class="is-${words.is}">${words.text}</span>`;
}

/** Lower ends of the shades, dB over the own sound; below the last there is none. */
const SHADES = [0, -10, -20, -30, -40] as const;

/** Figures on shades: the shade says again what the figure says. */
function matrixMarkup({ caption, notes, key, columns, first, rows }: Matrix): Html {
  const [before, after] = notes;
  const ends = SHADES.map((from, i) => html`<span class="heat-${i} swatch">from ${from}</span> `);
  const heads = columns.map((name) => html`<th scope="col">${breaking(name)}</th>`);
  const rowOf = ({ name, cells }: MatrixRow) => html`<th scope="row">${name}</th>${cells.map(matrixCell)}`;
  return html`<p>${before} Bleed ${ends}dB. <span class="heat-own swatch">own</span> ${key.own}, <span class="heat-mate swatch">mate</span> ${key.mate}. ${after}</p>
<div class="scroll" role="region" tabindex="0" aria-label="${caption}"><table class="heat">
<thead><tr><td></td>${heads}</tr></thead>
<tbody>
<tr class="own-level">${rowOf(first)}</tr>
${rows.map((row) => html`<tr>${rowOf(row)}</tr>\n`)}</tbody>
</table></div>\n`;
}

function matrixCell({ text, is, over }: MatrixCell): Html {
  if (is === 'none' || over === undefined) return html`<td>${text}</td>`;
  if (is !== 'bleed') return html`<td class="heat-${is}">${text}<span class="role"> ${is}</span></td>`;
  const shade = SHADES.findIndex((from) => over >= from);
  return html`<td class="heat-${shade < 0 ? SHADES.length : shade}">${text}</td>`;
}

/** A name that may go on below after its own separators. */
const breaking = (name: string): Html =>
  html`${name.split(/(?<=[-_. ])/u).map((piece, i) => (i === 0 ? html`${piece}` : html`<wbr/>${piece}`))}`;

function stepsMarkup({ steps }: Steps): Html {
  const items = steps.map(
    ({ does, effects }) =>
      html`<li><strong>${does.join('; ')}</strong>${effects.map((line) => html`<br/>${line}`)}</li>\n`,
  );
  return html`<ol>\n${items}</ol>\n`;
}

// The report as one page: answers first, then the drawing, then everything behind them.

/** `drawing` is an SVG of our own making; lengths beside it are said in the plan's own units, too. */
export function reportPage(told: Answer, drawing: string, lengths: Lengths): string {
  const answer = escapeAll(told);
  const title = answer.title === '' ? 'Bleed report' : answer.title;
  const shown = [
    answers(answer),
    part('drawing', 'The plan', html`<figure>${trusted(drawing)}</figure>\n`),
    ...[microphones, heatMap, partsMarkup, timing, pageMainPairs, players, inputs, pageRooms].map((make) =>
      make(answer, lengths),
    ),
    ...[tolerances, pageUnsure, pageCautions].map((make) => make(answer)),
  ].filter((one) => one !== null);
  const body = html`<a class="skip" href="#answers">To the answers</a>
<header>
<h1>${title}</h1>
${lead(answer)}</header>
${contents(shown)}<main>
${shown.map(partMarkup)}</main>`;
  return document({ title, styles: [REPORT_STYLE, ...stylesIn(drawing)], body });
}

function partsMarkup(answer: Answer, lengths: Lengths): PagePart | null {
  const scope = { detail: 'page', lengths, listAssumptions: false } as const;
  const blocks = [later(answer, scope), cutTogether(answer, scope)].flatMap((one) => one?.blocks ?? []);
  return part('parts', 'Parts afterwards', ...blocks.map((one) => blockMarkup(one, html``)));
}

const lead = (answer: Answer): Html =>
  html`${headlines(answer).map((line) => html`<p class="lead">${line}</p>\n`)}`;

const contents = (shown: readonly PagePart[]): Html =>
  html`<nav aria-label="Contents"><ul>
${shown.map(({ id, title }) => html`<li><a href="#${id}">${title}</a></li>\n`)}</ul></nav>\n`;

/** Text of the style elements in a drawing, which the page's policy has to know. */
const stylesIn = (drawing: string): string[] =>
  [...drawing.matchAll(/<style[^>]*>([\s\S]*?)<\/style>/g)].map(([, style = '']) => style);
