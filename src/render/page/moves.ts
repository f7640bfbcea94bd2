/** What to do now: each move with what it does, whom it helps and what it costs. */
import type { Answer } from '../answer.ts';
import { now as inText } from '../text/now.ts';
import { suggestionLines } from '../text/suggest.ts';
import { type Html, html } from './html.ts';
import { sentencesOf } from './sentences.ts';
import { paragraphs } from './tables.ts';

export function movesBlock(answer: Answer): Html[] {
  const { now } = answer;
  const title = html`<h3>What to do now</h3>\n`;
  if (now === null) return [];
  if (now === 'too large' || now.suggestions.length === 0) {
    const sentences = sentencesOf(inText, answer, 'full');
    return sentences.length > 0 ? [title, paragraphs(sentences)] : [];
  }
  const items = now.suggestions.map((one) => {
    const { words, rest } = suggestionLines(one);
    return html`<li><strong>${words.join('; ')}</strong>${rest.map((line) => html`<br/>${line}`)}</li>\n`;
  });
  return [title, html`<ol>\n${items}</ol>\n`];
}
