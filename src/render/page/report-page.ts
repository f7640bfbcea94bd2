/** The report as one page: answers first, then the drawing, then everything behind them. */
import type { Lengths } from '../../plan/lengths.ts';
import type { Answer } from '../answer.ts';
import { escapeAll } from '../escape.ts';
import { answers, headlines } from './answers.ts';
import { document } from './document.ts';
import { heatMap } from './heat-map.ts';
import { type Html, html, trusted } from './html.ts';
import { mainPairs } from './main-pairs.ts';
import { microphones } from './microphones.ts';
import { type PagePart, part, partMarkup } from './part.ts';
import { parts } from './parts.ts';
import { players } from './players.ts';
import { STYLE } from './style.ts';
import { cautions, inputs, rooms, tolerances, unsure } from './surroundings.ts';
import { timing } from './timing.ts';

/** `drawing` is an SVG of our own making; lengths beside it are said in the plan's own units, too. */
export function reportPage(told: Answer, drawing: string, lengths: Lengths): string {
  const answer = escapeAll(told);
  const title = answer.title === '' ? 'Bleed report' : answer.title;
  const shown = [
    answers(answer),
    part('drawing', 'The plan', html`<figure>${trusted(drawing)}</figure>\n`),
    ...[microphones, heatMap, parts, timing, mainPairs, players, inputs, rooms].map((make) =>
      make(answer, lengths),
    ),
    ...[tolerances, unsure, cautions].map((make) => make(answer)),
  ].filter((one) => one !== null);
  const body = html`<a class="skip" href="#answers">To the answers</a>
<header>
<h1>${title}</h1>
${lead(answer)}</header>
${contents(shown)}<main>
${shown.map(partMarkup)}</main>`;
  return document({ title, styles: [STYLE, ...stylesIn(drawing)], body });
}

const lead = (answer: Answer): Html =>
  html`${headlines(answer).map((line) => html`<p class="lead">${line}</p>\n`)}`;

const contents = (shown: readonly PagePart[]): Html =>
  html`<nav aria-label="Contents"><ul>
${shown.map(({ id, title }) => html`<li><a href="#${id}">${title}</a></li>\n`)}</ul></nav>\n`;

/** Text of the style elements in a drawing, which the page's policy has to know. */
const stylesIn = (drawing: string): string[] =>
  [...drawing.matchAll(/<style[^>]*>([\s\S]*?)<\/style>/g)].map(([, style = '']) => style);
