/** What can be done with each part afterwards. */
import type { PartRow } from '../../judge/parts/parts.ts';
import type { Answer } from '../answer.ts';
import { basisWords } from '../readings-words.ts';
import { figureOr, round, verdictWords } from '../words.ts';
import { html } from './html.ts';
import { type PagePart, part } from './part.ts';
import { type Cell, listMarkup, number, tableMarkup, verdictMark, words } from './tables.ts';

export function parts({ parts: rows, cut }: Answer): PagePart | null {
  if (rows.length === 0) return null;
  const hasBasis = rows.some(({ basis }) => basis !== null);
  const heads = [
    ...['part', 'later'].map(words),
    number('ghost dB'),
    ...['verdict', 'most of it in'].map(words),
    number('alone dB'),
    ...['verdict', 'at', ...(hasBasis ? ['basis'] : [])].map(words),
  ];
  const ties = cut.groups.flatMap(({ ties: own }) => own);
  const remarks = rows.flatMap(({ name, remark }) => (remark === null ? [] : [`${name}: ${remark}`]));
  return part(
    'parts',
    'Parts afterwards',
    html`<p>Ghost: what stays of a part when its own microphones are muted. Alone: signal to bleed at the worst microphone for it.</p>\n`,
    tableMarkup('Every part', heads, rows.map(cells)),
    listMarkup(remarks),
    ties.length === 0
      ? null
      : tableMarkup(
          'What binds parts together, from -20 dB on',
          [...['microphone', 'of', 'carries'].map(words), number('dB re its own')],
          ties.map(({ mic, between: [own, carried], level, shared }) => [
            mic,
            own,
            carried,
            shared ? 'for both' : figureOr(level, 1, 'alone there'),
          ]),
        ),
  );
}

const cells = ({
  name,
  later,
  ghost,
  limit,
  margin,
  verdict,
  committed,
  mostIn,
  editable,
  basis,
}: PartRow): Cell[] => [
  name,
  later,
  committed ? 'committed' : figureOr(ghost, 1, 'none'),
  judged(verdict, margin, limit),
  committed?.because ?? mostIn ?? '',
  figureOr(editable.signalToBleed, 1, 'none'),
  judged(editable.verdict, editable.margin, editable.limit),
  editable.mic ?? '',
  ...(basis === null ? [] : [basisWords(basis)]),
];

const judged = (verdict: PartRow['verdict'], margin: number | null, limit: number | null): Cell =>
  verdict === null
    ? 'not judged'
    : verdictMark(
        verdict,
        `${verdictWords(verdict, margin)}${limit === null ? '' : ` (limit ${round(limit)})`}`,
      );
