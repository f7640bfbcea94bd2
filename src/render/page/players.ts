/** Who hears and sees whom, what headphones must carry, and what ears may bear. */
import type { HearsRow } from '../../judge/people/hearing.ts';
import type { Answer } from '../answer.ts';
import { duration, USUAL_CAUTION } from '../hearing.ts';
import { headphones } from '../text/headphones.ts';
import { people } from '../text/people.ts';
import { figure, figureOr, verdictWords } from '../words.ts';
import { type Html, html } from './html.ts';
import { type PagePart, part } from './part.ts';
import { sentencesOf } from './sentences.ts';
import { type Cell, listMarkup, number, paragraphs, tableMarkup, verdictMark, words } from './tables.ts';

export function players(answer: Answer): PagePart | null {
  const { hearing, sight, exposure } = answer;
  if (hearing.rows.length + sight.rows.length + exposure.length === 0) return null;
  return part(
    'players',
    'Players',
    html`<h3>Hears and sees</h3>\n`,
    paragraphs(sentencesOf(people, { hearing: { rows: [], limits: hearing.limits }, sight }, 'full')),
    ...hearingBlock(hearing.rows),
    ...headphoneBlock(answer),
    exposure.length > 0 ? html`<h3>Ears</h3>\n${earTable(answer)}` : null,
  );
}

/** Who wears closed headphones hears nobody by air, and is told of in one line. */
function hearingBlock(rows: readonly HearsRow[]): Html[] {
  const isShut = ({ remark }: HearsRow): boolean => remark?.startsWith('wears ') === true;
  const shut = new Map(rows.filter(isShut).map(({ player, remark }) => [player, remark]));
  const byAir = rows.filter((row) => !isShut(row));
  return [
    ...(byAir.length > 0 ? [hearingTable(byAir)] : []),
    listMarkup([...shut].map(([player, remark]) => `${player} ${remark}: hears nobody by air`)),
  ];
}

/** Listeners down, players across: the word and the figure. */
function hearingTable(rows: readonly HearsRow[]): Html {
  const names = [...new Set(rows.map(({ player }) => player))];
  const whom = [...new Set(rows.map((row) => row.whom))];
  return tableMarkup(
    'Who hears whom by air, dB against everything else at that ear',
    [words(''), ...whom.map(words)],
    names.map((name) => [
      name,
      ...whom.map((one) => heard(rows.find((row) => row.player === name && row.whom === one))),
    ]),
  );
}

function heard(row: HearsRow | undefined): Cell {
  if (!row) return '';
  const verdict = { hears: 'clear', 'strains to hear': 'marginal', 'does not hear': 'short' } as const;
  const word = { hears: 'hears', 'strains to hear': 'strains', 'does not hear': 'does not' } as const;
  const ratio = row.ratio === null ? 'silent' : figure(row.ratio, 0);
  return verdictMark(verdict[row.hears], `${word[row.hears]} ${ratio}`);
}

function headphoneBlock(answer: Answer): Html[] {
  const said = sentencesOf(headphones, answer, 'full');
  return said.length > 0 ? [html`<h3>Headphones</h3>\n`, listMarkup(said)] : [];
}

function earTable({ exposure }: Answer): Html {
  const order = [...exposure].sort((a, b) => (a.minutes ?? 1e9) - (b.minutes ?? 1e9));
  const heads = [
    words('player'),
    number('a day by NIOSH'),
    number('by OSHA'),
    number('dBA'),
    words('for the session'),
    words('remark'),
  ];
  const table = tableMarkup(
    'How long ears may bear it, without a break',
    heads,
    order.map(({ player, minutes, minutesOsha, level, verdict, margin, remark }) => [
      player,
      minutes === null ? 'silent' : duration(minutes),
      minutesOsha === null ? '' : duration(minutesOsha),
      figureOr(level, 1, ''),
      verdict === null ? '' : verdictMark(verdict, verdictWords(verdict, margin)),
      remark ?? '',
    ]),
  );
  return html`${table}<p>By NIOSH: ${USUAL_CAUTION} By OSHA: 90 dBA for 8 hours and half the time for every 5 dB more.</p>\n`;
}
