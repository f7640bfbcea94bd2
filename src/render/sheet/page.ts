/** The sheet as a page to print, on A4 or Letter. */
import { document } from '../page/document.ts';
import { type Html, html } from '../page/html.ts';
import type { List, Sheet } from './sheet.ts';

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
