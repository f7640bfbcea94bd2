/** A View as one self-contained page (report and sheet alike). */
import { createHash } from 'node:crypto';
import type { Verdict } from '../judge/verdict.ts';
import { visible } from '../text.ts';

/** The looks of the report's page. Contrast of every text on its ground at least 4.5 to 1 (WCAG 2.1, 1.4.3). */
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
.mend { color: #555; }
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
.own-level td, .own-level th { color: #444; }
.heat-0 { background: #8f2d12; color: #fff; }
.heat-1 { background: #ba4f27; color: #fff; }
.heat-2 { background: #f0a37c; color: #1b1b1b; }
.heat-3 { background: #f8cfb6; color: #1b1b1b; }
.heat-4 { background: #fdeee5; color: #1b1b1b; }
.heat-own { background: #cfe3f5; color: #1b1b1b; font-weight: 700; }
.heat-mate { background: #e6e6e6; color: #1b1b1b; }
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

// One self-contained page: works from a disk, fetches nothing, runs nothing, and says so to the browser.

type Contents = {
  readonly title: string;
  /** Style sheets of our own making: the page's, and those of the drawings in it. */
  readonly styles: readonly string[];
  readonly body: Html;
};

/** Well-formed as XML too, so that a strict parser can tell of any slip. Styles whose text is not in `styles` do not work: the policy lets through those alone, by their hashes. */
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

// Tables that a screen reader can walk and a narrow screen can scroll.

type Head = { readonly head: string; readonly number?: true };

export type Cell = string | Html;

/** The first cell names its row. Columns in which no row says anything are left out. */
export function tableMarkup(
  caption: string,
  heads: readonly Head[],
  rows: readonly (readonly Cell[])[],
): Html {
  const used = heads.flatMap((one, i) =>
    i === 0 || rows.some((row) => row[i] !== '') ? [{ ...one, i }] : [],
  );
  const head = used.map((one) => html`<th scope="col"${sideOf(one)}>${one.head}</th>`);
  const body = rows.map((row) => {
    const [name = '', ...cells] = used.map(({ i }) => row[i] ?? '');
    const rest = cells.map((cell, i) => html`<td${sideOf(used[i + 1])}>${cell}</td>`);
    return html`<tr><th scope="row">${name}</th>${rest}</tr>\n`;
  });
  return html`<div class="scroll" role="region" tabindex="0" aria-label="${caption}"><table>
<caption>${caption}</caption>
<thead><tr>${head}</tr></thead>
<tbody>
${body}</tbody>
</table></div>\n`;
}

/** Both kinds of quotes too, so that it holds in attributes. */
const escapeMarkup = (text: string): string =>
  text.replace(/[&<>"']/g, (character) => `&#${character.codePointAt(0)};`);

export const markup = (made: Html): string => made[MADE];

const MADE: unique symbol = Symbol('made here');

const NUMBER = html` class="number"`;

const WORDS = html``;

const sideOf = (head: Head | undefined): Html => (head?.number ? NUMBER : WORDS);

export const number = (head: string): Head => ({ head, number: true });

export const words = (head: string): Head => ({ head });

/** A verdict in its own words, set off by more than colour. */
export const verdictMark = (verdict: Verdict | null, text: string): Html =>
  verdict === null ? html`${text}` : html`<span class="is-${verdict}">${text}</span>`;

export const listMarkup = (sentences: readonly Cell[]): Html =>
  sentences.length === 0 ? html`` : html`<ul>\n${sentences.map((one) => html`<li>${one}</li>\n`)}</ul>\n`;

export const paragraphs = (sentences: readonly string[]): Html =>
  html`${sentences.map((one) => html`<p>${one}</p>\n`)}`;

export type Html = { readonly [MADE]: string };

type Piece = Html | string | number | readonly Html[];

/** html`<td>${name}</td>`: the words stand as they are written, what is set in between is escaped. */
export function html(words: TemplateStringsArray, ...pieces: readonly Piece[]): Html {
  const written = words.map((word, i) => word + (i < pieces.length ? markupOf(pieces[i] as Piece) : ''));
  return { [MADE]: written.join('') };
}

/** Markup of our own making from elsewhere, such as a drawing. Never for anything that a plan says. */
export const trusted = (markup: string): Html => ({ [MADE]: markup });

function markupOf(piece: Piece): string {
  if (typeof piece === 'number') return String(piece);
  if (typeof piece === 'string') return escapeMarkup(piece);
  return 'length' in piece ? piece.map(markup).join('') : markup(piece);
}

/** A copy of plain data with every text in it made harmless to a terminal; arrays of numbers stay as they are. */
export function escapeAll<T>(value: T): T {
  return escapeValue(value) as T;
}

function escapeValue(value: unknown): unknown {
  if (typeof value === 'string') return visible(value);
  if (Array.isArray(value)) return value.map(escapeValue);
  if (typeof value !== 'object' || value === null || ArrayBuffer.isView(value)) return value;
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, escapeValue(item)]));
}

// Text in XML 1.0. What cannot stand there in any spelling becomes visible as `\u{1b}`, what steers a terminal goes by its number.

/** Section 2.2 of XML 1.0, lone surrogates among it. */
const FORBIDDEN = /[^\t\n\r\u{20}-\u{d7ff}\u{e000}-\u{fffd}\u{10000}-\u{10ffff}]/gu;

const NAMED: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&apos;',
};

/** Between two tags; `]]>` may not stand there, and a lone CR would be read as a line break (section 2.11). */
export const xmlText = (text: string): string => escaped(text, /[&<>\r]/g);

/** Between quotes, where white space other than blanks would be lost (section 3.3.3). */
export const xmlAttribute = (text: string): string => escaped(text, /[&<>"'\t\n\r]/g);

const escaped = (text: string, marks: RegExp): string =>
  text
    .replace(FORBIDDEN, visible)
    .replace(marks, (one) => NAMED[one] ?? numbered(one))
    .replace(/[^\t\n\r -~]/gu, (one) => (visible(one) === one ? one : numbered(one)));

const numbered = (one: string): string => `&#${one.codePointAt(0)};`;
