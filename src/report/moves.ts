/** Suggestions and "what to do now". */
import type { ToldReadings } from '../judge/report.ts';
import { CLEAR } from '../judge/verdict.ts';
import { escapeAll, type Html, html, paragraphs } from '../layout/html.ts';
import { heading, type Layout, paint, type ReportLayout, wrap } from '../layout/text.ts';
import type { Regression } from '../suggest/compare.ts';
import type { Helped, Improved, PlainAdvice, PlainSuggestion } from '../suggest/search.ts';
import { visible } from '../text.ts';
import type { Answer } from './answer.ts';
import { criterionWords, regressionWords } from './criteria.ts';
import { sentencesOf } from './rooms.ts';
import { basisWords, counted, figure, figureOr, readingsLines, round } from './words.ts';

export function movesBlock(answer: Answer): Html[] {
  const { now } = answer;
  const title = html`<h3>What to do now</h3>\n`;
  if (now === null) return [];
  if (now === 'too large' || now.suggestions.length === 0) {
    const sentences = sentencesOf(nowText, answer, 'full');
    return sentences.length > 0 ? [title, paragraphs(sentences)] : [];
  }
  const items = now.suggestions.map((one) => {
    const { words, rest } = suggestionLines(one);
    return html`<li><strong>${words.join('; ')}</strong>${rest.map((line) => html`<br/>${line}`)}</li>\n`;
  });
  return [title, html`<ol>\n${items}</ol>\n`];
}

/** The moves that do most for each minute; in full, each with all it helps and costs. */
export function nowText({ now: advice }: Pick<Answer, 'now'>, layout: ReportLayout): string[] {
  if (advice === null || (advice !== 'too large' && advice.margins.worst === null)) return [];
  const title = heading('What to do now', layout, 'now');
  if (advice === 'too large' || advice.suggestions.length === 0) {
    return [title, ...wrap(whyNone(advice), layout.width, '  ', '    ')];
  }
  const each = advice.suggestions.map((one, i) =>
    layout.brief ? inShort(one, i, advice, layout.width) : suggestionBlock(one, i + 1, layout),
  );
  return [title, ...each.flat(), ...(layout.brief ? [] : nowFoot(advice, layout))];
}

function whyNone(advice: PlainAdvice | 'too large'): string {
  if (advice === 'too large')
    return 'Not looked for in a plan this large; spillcheck suggest does, and takes its time.';
  if (!advice.asked) return 'Nothing: of what was asked for no limit is judged.';
  return advice.wanting > 0
    ? 'No single move was found that betters it; two together may: spillcheck suggest --moves 2'
    : 'Nothing: all limits are met with 3 dB to spare.';
}

function inShort(one: PlainSuggestion, i: number, advice: PlainAdvice, width: number): string[] {
  const words = capital(one.words.join('; '));
  return wrap(`${words}: ${gained(one, advice)}, ${duration(one)}${cost(one)}`, width, `  ${i + 1} `, '    ');
}

const duration = ({ minutes }: PlainSuggestion): string =>
  minutes < 1 ? 'under 1 min' : `${Math.round(minutes)} min`;

/** By the mic in most need of those it helps, else by what is missed of all limits. */
function gained(
  { helps, mends, shortfall: [before, after] }: PlainSuggestion,
  { margins }: PlainAdvice,
): string {
  const marginOf = (mic: string): number =>
    margins.rows.find(({ kind, about }) => kind === 'signal-to-bleed' && about[0] === mic)?.margin ??
    Number.MAX_VALUE;
  const helped = helps
    .filter(({ mic }) => marginOf(mic) < (margins.shortfall > 0 ? 0 : CLEAR))
    .sort((a, b) => marginOf(a.mic) - marginOf(b.mic));
  const [most] = helped;
  if (!most && mends[0]) return mendWords(mends[0]);
  if (!most) return `missed margins ${figure(before, 1)} to ${figure(after, 1)} dB`;
  const rest = helped.length > 1 ? ` and ${helped.length - 1} more` : '';
  return `${most.mic} ${fromTo(most.before, most.after)} dB${rest}`;
}

const fromTo = (before: number | null, after: number | null): string =>
  `${figureOr(before, 1, 'none')} to ${figureOr(after, 1, 'none')}`;

function cost({ price: [first, ...others] }: PlainSuggestion): string {
  if (!first) return '';
  return `; price: ${priceWords(first)}${others.length > 0 ? `, and ${others.length} more` : ''}`;
}

function priceWords(worse: Regression): string {
  const { kind, about, before, after } = worse;
  return kind === 'signal-to-bleed' && after !== null
    ? `${about.join()} ${fromTo(before.figure, after.figure)} dB${after.verdict === 'short' && before.verdict !== 'short' ? ', now short' : ''}`
    : regressionWords(worse);
}

function nowFoot({ confidence, whole }: PlainAdvice, { width }: ReportLayout): string[] {
  const said = [
    ...(confidence === null ? [] : [`${confidenceWords(confidence)}.`]),
    ...(whole ? [] : ['The search was stopped before its end.']),
    'All of them, sets of moves, and the plan with one made: spillcheck suggest',
  ];
  return said.flatMap((line) => wrap(line, width, '  ', '    '));
}

// Suggestions as a page for people: what to do, whom it helps, what it costs.

type SuggestPage = {
  readonly width: number;
  readonly colour: boolean;
  readonly all: boolean;
  readonly readings?: ToldReadings | null;
};

export function suggestText(
  advice: PlainAdvice,
  { width, colour, all, readings = null }: SuggestPage,
): string {
  const layout = { width, all, paint: paint(colour) };
  const safe = { ...advice, title: escapeAll(advice.title) };
  const blocks = [
    [...head(safe, layout, judgedBy(advice, readings))],
    ...safe.suggestions.map((one, i) => suggestionBlock(one, i + 1, layout)),
    [...foot(safe)],
  ];
  return `${blocks
    .filter((lines) => lines.length > 0)
    .map((lines) => lines.join('\n'))
    .join('\n\n')}\n`;
}

function judgedBy({ suggestions }: PlainAdvice, readings: ToldReadings | null): string[] {
  if (!readings) return [];
  const bases = suggestions.flatMap(({ helps }) => helps.map(({ basis }) => basis));
  return [
    ...readingsLines(readings, bases),
    'What a move changes is computed from there: figures after a move are predicted.',
  ].map(visible);
}

function head(
  { title, margins, suggestions }: PlainAdvice,
  { width, paint: colours }: Layout,
  before: readonly string[],
): string[] {
  const { worst, shortfall } = margins;
  const stands =
    worst === null
      ? 'No limit is judged: there is nothing to better'
      : shortfall > 0
        ? `Worst margin ${figure(worst, 1)} dB, missed margins together ${figure(shortfall, 1)} dB`
        : `No limit is missed; the least margin is ${figure(worst, 1)} dB`;
  const found = suggestions.length > 0 ? [] : worst === null ? [] : ['Nothing was found that betters it'];
  return [
    ...(title === '' ? [] : wrap(title, width).map(colours.strong)),
    ...[...before, stands].flatMap((line) => wrap(line, width)),
    ...found,
  ];
}

const INDENT = '    ';

/** One suggestion in full: what to do, what it does, whom it helps, what it costs. */
function suggestionBlock(one: PlainSuggestion, place: number, layout: Layout): string[] {
  const { width, paint: colours, all } = layout;
  const label = `${String(place).padStart(2)}  `;
  const { words, rest } = suggestionLines(one, all ? {} : SHOWN);
  return [
    ...words.flatMap((text, i) => wrap(text, width, i === 0 ? label : INDENT, INDENT)).map(colours.strong),
    ...rest.flatMap((line, i) => wrap(line, width, INDENT, i === 0 ? INDENT : `${INDENT}  `)),
  ];
}

/** Most that is told of what a suggestion helps and costs. */
type Most = { readonly helps?: number; readonly mends?: number; readonly price?: number };

const SHOWN: Most = { helps: 3, mends: 2, price: 4 };

/** Its sentences, not yet laid out: what to do; then what it does, whom it helps and what it costs. */
function suggestionLines(one: PlainSuggestion, most: Most = {}): { words: string[]; rest: string[] } {
  const [worst, better] = one.worst;
  const [before, after] = one.shortfall;
  const missed = before > 0 ? `missed margins together ${figure(before, 1)} to ${figure(after, 1)} dB, ` : '';
  const least = `the worst ${figureOr(worst, 1, 'none')} to ${figureOr(better, 1, 'none')} dB`;
  return {
    words: one.words.map((text) => capital(escapeAll(text))),
    rest: [
      `${minutes(one.minutes)}; ${missed}${least}`,
      ...listed('helps', one.helps.map(helpWords), most.helps),
      ...listed('mends', one.mends.map(mendWords), most.mends),
      ...listed('price', one.price.map(regressionWords), most.price),
    ],
  };
}

function listed(word: string, told: readonly string[], most = told.length): string[] {
  if (told.length === 0) return [];
  const rest = told.length - most;
  const text = [...told.slice(0, most), ...(rest > 0 ? [`and ${rest} more`] : [])].map(escapeAll).join('; ');
  return [`${word}: ${text}`];
}

/** "ghost of singer short by 5.6 dB, now met by 2.2 dB". */
function mendWords({ kind, about, before, after }: Improved): string {
  const whom = criterionWords(kind).improved(about);
  if (kind === 'see-each-other') return `${whom} now see each other`;
  const stands = (margin: number): string =>
    `${margin < 0 ? 'short' : 'met'} by ${figureOr(Math.abs(margin), 1, 'any')} dB`;
  return `${whom} ${stands(before)}, now ${stands(after)}`;
}

function helpWords({ mic, before, basis, after, unweightedBefore, unweightedAfter }: Helped): string {
  const from = basis === null ? '' : ` ${basisWords(basis)}`;
  const judged = `${mic} ${figureOr(before, 1, 'none')}${from} to ${figureOr(after, 1, 'none')} dB`;
  const plain = (unweightedAfter ?? 0) - (unweightedBefore ?? 0);
  const own = (after ?? 0) - (before ?? 0);
  return Math.abs(plain - own) < 0.5
    ? judged
    : `${judged} in its own octaves, by ${figure(plain, 1)} dB in all`;
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

const minutes = (count: number): string =>
  count < 1 ? 'under a minute' : `about ${counted(Math.round(count), 'minute')}`;

function foot({ tried, whole, more, confidence }: PlainAdvice): string[] {
  const stopped = whole ? '' : ', stopped before the end';
  const note = confidence === null ? [] : [confidenceWords(confidence)];
  return [
    ...note,
    `${counted(tried, 'plan')} computed${stopped}${more > 0 ? `; ${more} more suggestions: --all` : ''}`,
  ];
}

const confidenceWords = (share: number): string =>
  `Margins are those that hold in ${round(100 * share)} % of the draws; figures beside them are the plain ones`;
