/** A view as one self-contained page: no scripts, nothing fetched, enforced by a content security policy. */
import { createHash } from 'node:crypto';
import type { Lengths } from '../plan/units.ts';
import type { Answer } from '../report/answer.ts';
import { reportPageView } from '../report/report.ts';
import { type Sheet, sheetView } from '../report/sheet.ts';
import * as views from '../report/view.ts';
import { byNumber, escapeAll, escapeCommands } from '../text.ts';

/** The report as one page: results, the drawing (trusted SVG), then details. */
export const reportPage = (answer: Answer, drawing: string, lengths: Lengths): string =>
  renderHtml(reportPageView(answer, lengths), { style: REPORT_STYLE, untitled: 'Bleed report', drawing });

/** The load-in sheet as a page to print, on A4 or Letter. */
export const sheetPage = (sheet: Sheet): string =>
  renderHtml(sheetView(sheet), { style: SHEET_STYLE, contents: false });

export type PageOptions = {
  /** Trusted CSS. */
  readonly style: string;
  /** Title of a page without one. */
  readonly untitled?: string;
  /** Whether to link to the sections; a printed page needs no links. */
  readonly contents?: boolean;
  /** Trusted SVG, if the view has a place for it. */
  readonly drawing?: string;
};

/** The skip link leads to the first section. */
export function renderHtml(view: views.View, options: PageOptions): string {
  const { style, untitled = '', contents = true, drawing = '' } = options;
  const { lead, sections, ...heading } = escapeAll(view);
  const title = heading.title === '' ? untitled : heading.title;
  const [first] = contents ? sections : [];
  const skip = first ? html`<a class="skip" href="#${first.id}">Skip to summary</a>\n` : html``;
  const links = sections.map(({ id, title: said }) => html`<li><a href="#${id}">${said}</a></li>\n`);
  const nav = first ? html`<nav aria-label="Contents"><ul>\n${links}</ul></nav>\n` : html``;
  const body = html`<header>
${skip}<h1>${title}</h1>
${lead.map((line) => html`<p class="lead">${views.textOf(line)}</p>\n`)}</header>
${nav}<main>
${sections.map((section) => sectionMarkup(section, trusted(drawing)))}</main>`;
  return document({ title, styles: [style, ...stylesIn(drawing)], body });
}

const sectionMarkup = ({ id, title, blocks }: views.Section, drawing: Html): Html =>
  html`<section aria-labelledby="${id}">\n<h2 id="${id}">${title}</h2>\n${blocks.map((block) => blockMarkup(block, drawing))}</section>\n`;

function blockMarkup(block: views.Block, drawing: Html): Html {
  switch (block.kind) {
    case 'table':
      return tableMarkup(block, drawing);
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
      return html`<dl>\n${block.entries.map(({ key, text }) => html`<dt>${views.textOf(key)}</dt><dd>${text}</dd>\n`)}</dl>\n`;
    case 'verbatim':
      return html`<pre>${block.lines.join('\n')}</pre>\n`;
    case 'item':
      return html`<p>${block.text}</p>\n${block.blocks.map((one) => blockMarkup(one, drawing))}`;
    case 'heading':
      return html`<h3>${block.text}</h3>\n`;
    case 'drawing':
      return html`<figure>${drawing}</figure>\n`;
    case 'ranking':
      return html`<ol>\n${itemsOf(block.items)}</ol>\n`;
    default:
      return block.kind === 'list' || (block.kind === 'statements' && block.items.length > 1)
        ? html`<ul>\n${itemsOf(block.items)}</ul>\n`
        : html`${block.items.map((one) => html`<p>${views.textOf(one)}</p>\n`)}`;
  }
}

const itemsOf = (items: readonly views.Words[]): Html[] =>
  items.map((one) => html`<li>${views.textOf(one)}</li>\n`);

/** The first cell is the row's name unless another column is. Empty columns are omitted. */
function tableMarkup({ caption, columns, rows, rest, behind, whole }: views.Table, drawing: Html): Html {
  if (columns.length === 1) return html`<ul>\n${itemsOf(rows.flatMap(({ cells }) => cells))}</ul>\n`;
  const named = columns.findIndex((column) => column.naming);
  const naming = Math.max(0, named);
  const used = columns.flatMap((column, i) =>
    i === naming || column.toFill || rows.some(({ cells }) => cells[i] !== '') ? [{ ...column, i }] : [],
  );
  const sideOf = ({ kind }: views.ColumnHead) => (kind === 'number' ? html` class="number"` : html``);
  const head = used.map(
    (column) => html`<th scope="col"${sideOf(column)}>${column.label ?? column.head}</th>`,
  );
  const body = rows.map(({ group, above = group, cells }) => {
    const each = used.map((column) =>
      column.i === naming
        ? html`<th scope="row">${views.textOf(cells[naming] ?? '')}</th>`
        : html`<td${whole ? onOneLine(cells[column.i] ?? '') : sideOf(column)}>${wordsMarkup(cells[column.i] ?? '')}</td>`,
    );
    const lead =
      above === undefined
        ? html``
        : html`<tr><th scope="colgroup" colspan="${String(used.length)}">${above}</th></tr>\n`;
    return html`${lead}<tr>${each}</tr>\n`;
  });
  const details = rows.flatMap((row) => row.details ?? []).map((one) => blockMarkup(one, drawing));
  return html`<div class="scroll" role="group" tabindex="0" aria-label="${caption}"><table>
${whole ? html`` : html`<caption>${caption}</caption>\n`}<thead><tr>${head}</tr></thead>
<tbody>
${body}</tbody>
</table></div>
${rest ? html`<p>${rest.text}</p>\n` : html``}${behind === undefined ? html`` : html`<h3>${behind}</h3>\n`}${details}`;
}

/** Short cells, such as lengths, are not wrapped. */
const onOneLine = (words: views.Words): Html =>
  views.textOf(words).length <= 14 ? html` class="short"` : html``;

/** A verdict in words, marked by more than colour. */
function wordsMarkup(words: views.Words): Html {
  if (typeof words === 'string' || words.is === 'strong' || words.is === 'unjudged' || words.is === 'aside')
    return html`${views.textOf(words)}`;
  return html`<span class="is-${words.is}">${words.text}</span>`;
}

/** Lower ends of the shades, dB re signal; below the last there is none. */
const SHADES = [0, -10, -20, -30, -40] as const;

/** Values on shades: the shade repeats the value. */
function matrixMarkup({ caption, notes, key, columns, first, rows }: views.Matrix): Html {
  const [before, after] = notes;
  const ends = SHADES.map((from, i) => html`<span class="heat-${i} swatch">from ${from}</span> `);
  const heads = columns.map((name) => html`<th scope="col">${breaking(name)}</th>`);
  const rowOf = ({ name, cells }: views.MatrixRow) =>
    html`<th scope="row">${name}</th>${cells.map(matrixCell)}`;
  return html`<p>${before} Bleed ${ends}dB. <span class="heat-signal swatch">${key.signal}</span>, <span class="heat-same-kit swatch">${key['same-kit']}</span>. ${after}</p>
<div class="scroll" role="group" tabindex="0" aria-label="${caption}"><table class="heat">
<thead><tr><th scope="col">source</th>${heads}</tr></thead>
<tbody>
<tr class="signal-level">${rowOf(first)}</tr>
${rows.map((row) => html`<tr>${rowOf(row)}</tr>\n`)}</tbody>
</table></div>\n`;
}

function matrixCell({ text, is, over }: views.MatrixCell): Html {
  if (is === 'none' || over === undefined) return html`<td>${text}</td>`;
  if (is !== 'bleed')
    return html`<td class="heat-${is}">${text}<span class="role"> ${is.replace('-', ' ')}</span></td>`;
  const shade = SHADES.findIndex((from) => over >= from);
  return html`<td class="heat-${shade < 0 ? SHADES.length : shade}">${text}</td>`;
}

/** A name that may wrap after its separators. */
const breaking = (name: string): Html =>
  html`${name.split(/(?<=[-_. ])/u).map((piece, i) => (i === 0 ? html`${piece}` : html`<wbr/>${piece}`))}`;

function stepsMarkup({ steps }: views.Steps): Html {
  const lines = (effects: readonly string[]) => effects.map((line) => html`<br/>${line}`);
  return html`<ol>\n${steps.map(({ does, effects }) => html`<li><strong>${does.join('; ')}</strong>${lines(effects)}</li>\n`)}</ol>\n`;
}

/** Text of the style elements in a drawing, for the page's policy. */
const stylesIn = (drawing: string): string[] =>
  [...drawing.matchAll(/<style[^>]*>([\s\S]*?)<\/style>/g)].map(([, style = '']) => style);

type Contents = {
  readonly title: string;
  /** Trusted style sheets of the page and its drawings. */
  readonly styles: readonly string[];
  readonly body: Html;
};

/** Well-formed XML too, so that a strict parser finds mistakes. The policy allows only the styles in `styles`, by their hashes. */
export function document({ title, styles, body }: Contents): string {
  const [own = ''] = styles;
  const policy = `default-src 'none'; style-src ${styles.map(hashOf).join(' ')}; base-uri 'none'; form-action 'none'`;
  const page = html`<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8"/>
<meta http-equiv="Content-Security-Policy" content="${policy}"/>
<meta name="viewport" content="width=device-width, initial-scale=1"/>
<meta name="referrer" content="no-referrer"/>
<title>${title}</title>
<style>${trusted(own)}</style>
</head>
<body>
${body}
</body>
</html>
`;
  return markup(page);
}

const hashOf = (style: string): string => `'sha256-${createHash('sha256').update(style).digest('base64')}'`;
export type Html = { readonly [MADE]: string };
type Piece = Html | string | number | readonly Html[];

/** html`<td>${name}</td>`: the template is markup, values in it are escaped. */
export function html(words: TemplateStringsArray, ...pieces: readonly Piece[]): Html {
  const written = words.map((word, i) => word + (i < pieces.length ? markupOf(pieces[i] as Piece) : ''));
  return { [MADE]: written.join('') };
}

/** Markup made elsewhere, such as a drawing. Never for text of a plan. */
export const trusted = (markup: string): Html => ({ [MADE]: markup });

function markupOf(piece: Piece): string {
  if (typeof piece === 'number') return String(piece);
  if (typeof piece === 'string') return escapeMarkup(piece);
  return 'length' in piece ? piece.map(markup).join('') : markup(piece);
}

/** Both kinds of quotes too, for attributes. */
const escapeMarkup = (text: string): string => escapeCommands(text.replace(/[&<>"']/g, byNumber), byNumber);

export const markup = (made: Html): string => made[MADE];
const MADE: unique symbol = Symbol('made here');

/** Style of the report's page. Every text has a contrast of at least 4.5 to 1 (WCAG 2.1, 1.4.3). */
export const REPORT_STYLE = `
:root { color-scheme: light; font: 16px/1.5 system-ui, sans-serif; color: #1b1b1b; background: #fff; }
body { margin: 0 auto; max-width: 76rem; padding: 1.2rem; }
h1 { font-size: 1.7rem; line-height: 1.2; margin: 0 0 .4rem; overflow-wrap: anywhere; }
h2 { font-size: 1.25rem; margin: 2.2rem 0 .5rem; padding-bottom: .2rem; border-bottom: 2px solid #1b1b1b; }
h3 { font-size: 1rem; margin: 1.2rem 0 .3rem; }
p, li { max-width: 62rem; overflow-wrap: anywhere; }
p { margin: .3rem 0; }
ul, ol { margin: .3rem 0; padding-left: 1.2rem; }
.lead { font-size: 1.1rem; font-weight: 600; }
a { color: #0a4d8c; }
:focus-visible { outline: 3px solid #0a4d8c; outline-offset: 2px; }
.skip { position: absolute; left: -100rem; }
.skip:focus { left: 1rem; top: .5rem; background: #fff; padding: .3rem .6rem; }
nav ul { list-style: none; display: flex; flex-wrap: wrap; gap: .2rem 1.1rem; padding: 0; margin: 1rem 0 0; }
figure { margin: .6rem 0; }
figure svg { display: block; max-width: 100%; height: auto; margin: 0 auto; }
.scroll { overflow-x: auto; margin: .6rem 0; }
table { border-collapse: collapse; font-variant-numeric: tabular-nums; }
caption { text-align: left; font-weight: 600; padding: .2rem 0; color: #333; }
th, td { text-align: left; vertical-align: top; padding: .25rem .9rem .25rem 0; border-bottom: 1px solid #ccc; }
tbody th { font-weight: 600; }
thead th { font-weight: 600; color: #444; vertical-align: bottom; border-bottom-color: #555; }
th.number, td.number { text-align: right; white-space: nowrap; }
.is-short { color: #9c1006; font-weight: 700; }
.is-marginal { color: #744900; font-weight: 600; }
.is-clear { color: #11602c; }
details { border: 1px solid #ccc; border-radius: 4px; margin: .4rem 0; padding: 0 .8rem; }
summary { cursor: pointer; padding: .4rem 0; font-weight: 600; overflow-wrap: anywhere; }
details[open] { padding-bottom: .6rem; }
.heat td, .heat th { border: 1px solid #fff; padding: .25rem .5rem; }
.heat td { text-align: right; white-space: nowrap; }
.heat thead th { font-weight: 600; max-width: 6.5rem; overflow-wrap: break-word; }
.signal-level td, .signal-level th { color: #444; }
.heat-0 { background: #8f2d12; color: #fff; }
.heat-1 { background: #ba4f27; color: #fff; }
.heat-2 { background: #f0a37c; color: #1b1b1b; }
.heat-3 { background: #f8cfb6; color: #1b1b1b; }
.heat-4 { background: #fdeee5; color: #1b1b1b; }
.heat-signal { background: #cfe3f5; color: #1b1b1b; font-weight: 700; }
.heat-same-kit { background: #e6e6e6; color: #1b1b1b; }
.role { font-weight: 400; font-size: .8em; }
.swatch { padding: .05rem .4rem; white-space: nowrap; }
.is-short, .is-marginal, .is-clear { white-space: nowrap; }
@media print {
  @page { margin: 12mm; }
  :root { font-size: 9.5pt; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
  body { max-width: none; padding: 0; }
  nav, .skip { display: none; }
  .scroll { overflow: visible; }
  thead { display: table-header-group; }
  tr, li, figure, summary { break-inside: avoid; }
  h2, h3, caption { break-after: avoid; }
}
`;

/** No paper size: the printer's is used. Heads repeat on each page, and rows are not split. */
const SHEET_STYLE = `
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
