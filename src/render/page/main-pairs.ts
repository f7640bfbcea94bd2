/** What microphones for everyone and for the room make of the ensemble. */
import type { MainPairRow } from '../../judge/timing/main-pairs.ts';
import type { Answer } from '../answer.ts';
import { mainPairs as pairText } from '../text/main-pairs.ts';
import { figure, figureOr } from '../words.ts';
import { type Html, html } from './html.ts';
import { type PagePart, part } from './part.ts';
import { sentencesOf } from './sentences.ts';
import { number, tableMarkup, words } from './tables.ts';

export const mainPairs = ({ mainPairs: rows }: Answer): PagePart | null =>
  rows.length === 0 ? null : part('main', 'Main pairs', ...rows.map(onePair));

function onePair(row: MainPairRow): Html {
  const [summary = ''] = sentencesOf(pairText, { mainPairs: [row] }, 'full');
  return html`<p>${summary}</p>\n${tableMarkup(
    `The ensemble in ${row.name}`,
    [words('part'), number('dB re loudest'), number('direct to room dB'), number('angle')],
    row.parts.map(({ part: name, level, directToRoom, angle }) => [
      name,
      figureOr(level, 1, 'silent'),
      figureOr(directToRoom, 1, 'none'),
      angle === null ? 'elsewhere' : sideOf(angle),
    ]),
  )}`;
}

const sideOf = (angle: number): string =>
  Math.abs(angle) < 0.5 ? 'ahead' : `${figure(Math.abs(angle), 0)}° ${angle < 0 ? 'left' : 'right'}`;
