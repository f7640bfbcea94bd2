import { document, escapeAll, type Html, html, REPORT_STYLE, trusted } from '../layout/html.ts';
import type { Lengths } from '../plan/units.ts';
import { answers, headlines, heatMap, microphones } from '../report/mics.ts';
import { parts } from '../report/parts.ts';
import { players } from '../report/people.ts';
import { inputs, pageCautions, pageRooms, pageUnsure, tolerances } from '../report/rooms.ts';
import { pageMainPairs, timing } from '../report/timing.ts';
import { type Answer, type List, type PagePart, part, partMarkup, type Sheet } from '../report/view.ts';

// The sheet as a page to print, on A4 or Letter.
export function sheetPage({ title, lists }: Sheet): string {
  const name = title === '' ? 'Load-in sheet' : `Load-in sheet: ${title}`;
  const body = html`<h1>${name}</h1>\n<main>\n${lists.map(listMarkup)}</main>`;
  return document({ title: name, styles: [STYLE], body });
}

function listMarkup(list: List): Html {
  const { key, title, columns, notes } = list;
  return html`<section aria-labelledby="${key}">
<h2 id="${key}">${title}</h2>
${notes.map((note) => html`<p>${note}</p>\n`)}${columns.length > 1 ? tableMarkup(list) : plainMarkup(list)}</section>\n`;
}

/** Columns in which no row says anything are left out, but for those to be filled in. */
function tableMarkup({ key, columns, rows }: List): Html {
  const used = columns.flatMap((column, i) =>
    column.toFill || rows.some((row) => row[i] !== '') ? [{ ...column, i }] : [],
  );
  const naming = Math.max(
    0,
    columns.findIndex(({ names }) => names === true),
  );
  const heads = used.map(({ head }) => html`<th scope="col">${head}</th>`);
  const cells = (row: readonly string[]) =>
    used.map(({ i }) => (i === naming ? html`<th scope="row">${row[i] ?? ''}</th>` : cell(row[i] ?? '')));
  return html`<div class="wide" role="region" tabindex="0" aria-labelledby="${key}"><table>
<thead><tr>${heads}</tr></thead>
<tbody>
${rows.map((row) => html`<tr>${cells(row)}</tr>\n`)}</tbody>
</table></div>\n`;
}

/** What is short, as lengths are, stays on one line. */
const cell = (text: string): Html =>
  text.length <= SHORT ? html`<td class="short">${text}</td>` : html`<td>${text}</td>`;

const SHORT = 14;

const plainMarkup = ({ rows }: List): Html =>
  html`<ul>\n${rows.map(([text = '']) => html`<li>${text}</li>\n`)}</ul>\n`;

/** No paper size: the printer's own holds. Heads come again on each sheet of paper, and no row is torn. */
const STYLE = `
:root { color-scheme: light; font: 15px/1.4 system-ui, sans-serif; color: #1b1b1b; background: #fff; }
body { margin: 0 auto; max-width: 72rem; padding: 1.2rem; }
h1 { font-size: 1.5rem; margin: 0 0 1rem; overflow-wrap: anywhere; }
h2 { font-size: 1.1rem; margin: 1.6rem 0 .4rem; padding-bottom: .15rem; border-bottom: 2px solid #1b1b1b; }
p { margin: .2rem 0; color: #444; max-width: 60rem; }
ul { margin: .3rem 0; padding-left: 1.2rem; max-width: 60rem; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; margin-top: .4rem; }
th, td { text-align: left; vertical-align: top; padding: .25rem .8rem .25rem 0; border-bottom: 1px solid #bbb; overflow-wrap: break-word; max-width: 20rem; }
thead th { font-weight: 600; color: #444; border-bottom-color: #555; white-space: nowrap; }
.short { white-space: nowrap; }
@media print {
  @page { margin: 12mm; }
  :root { font-size: 9.5pt; }
  body { max-width: none; padding: 0; }
  .wide { overflow: visible; }
  thead { display: table-header-group; }
  tr, li { break-inside: avoid; }
  h2, p { break-after: avoid; }
  thead th { white-space: normal; }
}
`;

// The report as one page: answers first, then the drawing, then everything behind them.

/** `drawing` is an SVG of our own making; lengths beside it are said in the plan's own units, too. */
export function reportPage(told: Answer, drawing: string, lengths: Lengths): string {
  const answer = escapeAll(told);
  const title = answer.title === '' ? 'Bleed report' : answer.title;
  const shown = [
    answers(answer),
    part('drawing', 'The plan', html`<figure>${trusted(drawing)}</figure>\n`),
    ...[microphones, heatMap, parts, timing, pageMainPairs, players, inputs, pageRooms].map((make) =>
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

const lead = (answer: Answer): Html =>
  html`${headlines(answer).map((line) => html`<p class="lead">${line}</p>\n`)}`;

const contents = (shown: readonly PagePart[]): Html =>
  html`<nav aria-label="Contents"><ul>
${shown.map(({ id, title }) => html`<li><a href="#${id}">${title}</a></li>\n`)}</ul></nav>\n`;

/** Text of the style elements in a drawing, which the page's policy has to know. */
const stylesIn = (drawing: string): string[] =>
  [...drawing.matchAll(/<style[^>]*>([\s\S]*?)<\/style>/g)].map(([, style = '']) => style);
