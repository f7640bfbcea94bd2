import type { PlainAdvice, PlainSuggestion } from '../../advise/plain-advice.ts';
import type { Worse } from '../../advise/worse.ts';
import { CLEAR } from '../../judge/verdict.ts';
import type { Answer } from '../answer.ts';
import { worseWords } from '../compare-words.ts';
import { figure, figureOr } from '../words.ts';
import { wrap } from '../wrap.ts';
import { heading, type ReportLayout } from './layout.ts';
import { capital, mendWords, suggestionBlock } from './suggest.ts';

/** The moves that do most for each minute; in full, each with all it helps and costs. */
export function now({ now: advice }: Pick<Answer, 'now'>, layout: ReportLayout): string[] {
  if (advice === null || (advice !== 'too large' && advice.standing.worst === null)) return [];
  const title = heading('What to do now', layout, 'now');
  if (advice === 'too large' || advice.suggestions.length === 0) {
    return [title, ...wrap(whyNone(advice), layout.width, '  ', '    ')];
  }
  const each = advice.suggestions.map((one, i) =>
    layout.brief ? inShort(one, i, advice, layout.width) : suggestionBlock(one, i + 1, layout),
  );
  return [title, ...each.flat(), ...(layout.brief ? [] : foot(advice, layout))];
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
  { standing }: PlainAdvice,
): string {
  const marginOf = (mic: string): number =>
    standing.rows.find(({ kind, name }) => kind === 'signal-to-bleed' && name === mic)?.margin ??
    Number.MAX_VALUE;
  const helped = helps
    .filter(({ mic }) => marginOf(mic) < (standing.shortfall > 0 ? 0 : CLEAR))
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

function priceWords(worse: Worse): string {
  const { kind, about, before, after } = worse;
  return kind === 'signal-to-bleed' && after !== null
    ? `${about.join()} ${fromTo(before.figure, after.figure)} dB${after.verdict === 'short' && before.verdict !== 'short' ? ', now short' : ''}`
    : worseWords(worse);
}

function foot({ plain, whole }: PlainAdvice, { width }: ReportLayout): string[] {
  const said = [
    ...(plain ? [] : ['Margins are the plain figures: limits.confidence is left aside.']),
    ...(whole ? [] : ['The search was stopped before its end.']),
    'All of them, sets of moves, and the plan with one made: spillcheck suggest',
  ];
  return said.flatMap((line) => wrap(line, width, '  ', '    '));
}
