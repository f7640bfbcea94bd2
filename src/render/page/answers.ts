/** What one should know first: how the microphones stand, what cannot be mended later, what to look out for. */
import type { Answer } from '../answer.ts';
import { cutTogether } from '../text/cut.ts';
import { ears } from '../text/ears.ts';
import { headline } from '../text/headline.ts';
import { later } from '../text/later.ts';
import { type Html, html } from './html.ts';
import { movesBlock } from './moves.ts';
import { type PagePart, part } from './part.ts';
import { sentencesOf } from './sentences.ts';
import { listMarkup, paragraphs } from './tables.ts';

/** How many stand how, and the worst of them. */
export function headlines(answer: Answer): string[] {
  return sentencesOf(headline, { ...answer, title: 'title' }, 'brief');
}

export function answers(answer: Answer): PagePart | null {
  return part(
    'answers',
    'What to know first',
    ...movesBlock(answer),
    ...block('Cannot be fixed later', sentencesOf(later, answer, 'brief')),
    ...block('Cut these together', sentencesOf(cutTogether, answer, 'brief')),
    ...block('Ears', sentencesOf(ears, answer, 'brief')),
    ...pitfallBlock(answer),
  );
}

const block = (title: string, sentences: readonly string[]): Html[] =>
  sentences.length > 0 ? [html`<h3>${title}</h3>\n`, paragraphs(sentences)] : [];

/** The worst are in sight, the others a key away. */
const IN_SIGHT = 6;

function pitfallBlock({ pitfalls }: Answer): Html[] {
  if (pitfalls.length === 0) return [];
  const told = pitfalls.map(
    ({ sentence, mend }) => html`${sentence}. <span class="mend">Mend: ${mend}</span>`,
  );
  const rest = told.slice(IN_SIGHT);
  return [
    html`<h3>Pitfalls, most serious first</h3>\n`,
    listMarkup(told.slice(0, IN_SIGHT)),
    ...(rest.length > 0
      ? [html`<details><summary>${rest.length} more</summary>\n${listMarkup(rest)}</details>\n`]
      : []),
  ];
}
