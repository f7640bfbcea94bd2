/** Tables that a screen reader can walk and a narrow screen can scroll. */
import type { Verdict } from '../../judge/report.ts';
import { type Html, html } from './html.ts';

export type Head = { readonly head: string; readonly number?: true };
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
