/** Suggestions: what to do, whom it helps, what it costs. */
import type { MarginRow } from '../judge/criteria.ts';
import type { ReadingsSummary } from '../judge/report.ts';
import { CLEAR, verdictOf } from '../judge/verdict.ts';
import type { Helped, Improved, PlainAdvice, PlainSuggestion } from '../suggest/advice.ts';
import type { Regression } from '../suggest/compare.ts';
import type { RoomsTable } from '../suggest/rooms.ts';
import { figure } from '../text.ts';
import type { Answer, Scope } from './answer.ts';
import { criterionWords, regressionWords } from './criteria.ts';
import { roomsSection } from './rooms-table.ts';
import { type Block, given, prose, type Steps, type View } from './view.ts';
import { basisWords, capital, counted, figureOr, readingsLines, round, signed } from './words.ts';

/** The quickest wins; in full, each with all it helps and costs. */
export function fixes({ now: advice }: Pick<Answer, 'now'>, { detail }: Scope): Block[] {
  if (advice === null || (advice !== 'too large' && advice.margins.worst === null)) return [];
  if (advice === 'too large' || advice.suggestions.length === 0)
    return prose(detail === 'brief' ? 'continuation' : 'statements', [whyNone(advice)]);
  const { suggestions, confidence, whole } = advice;
  const ranked = () => suggestions.map((one) => inShort(one, advice));
  if (detail === 'brief')
    return [
      ...prose('ranking', ranked()),
      ...prose('statements', [advice.outOfReach.length > 0 && outOfReachWords(advice, SHOWN_UNREACHED)]),
    ];
  const steps = stepsOf(advice, detail === 'full' ? SHOWN : {});
  if (detail === 'page') return [steps];
  return [
    steps,
    ...prose('statements', [
      confidence !== null && `${confidenceWords(confidence)}.`,
      !whole && 'The search was stopped early.',
      'More fixes, combinations, and --apply: spillcheck suggest',
    ]),
  ];
}

function whyNone(advice: PlainAdvice | 'too large'): string {
  if (advice === 'too large') return 'Not searched in a plan this large: run spillcheck suggest (slow).';
  if (!advice.asked) return 'None: no limit of what was asked for is judged.';
  if (advice.wanting.limits > 0)
    return 'No single fix found; two together may help: spillcheck suggest --combine 2';
  return advice.outOfReach.length > 0 ? outOfReachWords(advice) : 'None needed: all limits are met.';
}

const confidenceWords = (share: number): string =>
  `Margins are those met in ${round(100 * share)}% of runs; other values are without tolerance`;

function inShort(one: PlainSuggestion, advice: PlainAdvice): string {
  const { words, minutes } = one;
  const duration = minutes < 1 ? 'under 1 min' : `${Math.round(minutes)} min`;
  return `${capital(words.join('; '))}: ${gained(one, advice)}, ${duration}${cost(one)}`;
}

/** By the mic in most need of those it helps, else by what else it improves. */
function gained({ helps, improves, worth }: PlainSuggestion, advice: PlainAdvice): string {
  const { margins, outOfReach, isAnyInReach } = advice;
  const isOf =
    (mic: string) =>
    ({ kind, about }: MarginRow): boolean =>
      kind === 'signal-to-bleed' && about[0] === mic;
  const marginOf = (mic: string): number =>
    (isAnyInReach && outOfReach.some(isOf(mic)) ? null : margins.rows.find(isOf(mic))?.margin) ??
    Number.MAX_VALUE;
  const helped = helps
    .filter(({ mic }) => marginOf(mic) < (margins.shortfall > 0 ? 0 : CLEAR))
    .sort((a, b) => marginOf(a.mic) - marginOf(b.mic));
  const [most] = helped;
  if (!most && improves[0]) return improvedWords(improves[0]);
  if (!most) return fixedWords(worth);
  const rest = helped.length > 1 ? ` and ${helped.length - 1} more` : '';
  const margin = marginOf(most.mic);
  const [was, is] = [margin, margin + (most.after ?? 0) - (most.before ?? 0)].map(verdictOf);
  return `${most.mic} ${fromTo(most.before, most.after)} dB${was === is ? '' : ` (now ${is})`}${rest}`;
}

const fixedWords = ({ fixed, broken }: PlainSuggestion['worth']): string =>
  `fixes ${counted(fixed, 'limit')}${broken > 0 ? `, breaks ${broken}` : ''}`;

const fromTo = (before: number | null, after: number | null): string =>
  `${figureOr(before, 1, 'none')} → ${figureOr(after, 1, 'none')}`;

/** What is short for it and was not; in full, each has all that it costs. */
function cost({ costs }: PlainSuggestion): string {
  const isBroken = ({ before, after }: Regression) =>
    after?.verdict === 'short' && before.verdict !== 'short';
  const [first, ...others] = costs.filter(isBroken);
  if (!first) return '';
  return `; costs: ${costWords(first)}${others.length > 0 ? ` and ${others.length} more` : ''}`;
}

function costWords(worse: Regression): string {
  const { kind, about, before, after } = worse;
  return kind === 'signal-to-bleed' && after !== null
    ? `${about.join()} ${fromTo(before.figure, after.figure)} dB (now short)`
    : regressionWords(worse);
}

export type SuggestPage = {
  readonly all: boolean;
  readonly readings: ReadingsSummary | null;
  readonly table: RoomsTable | null;
  /** Numbers of suggestions, from 1, that --apply cannot write into this file. */
  readonly byHand: readonly number[];
};

/** What `suggest` says: the margins of the plan, then its fixes, each with whom it helps and what it costs. */
export function suggestView(advice: PlainAdvice, { all, readings, table, byHand }: SuggestPage): View {
  const { title, margins, suggestions } = advice;
  const isNone = suggestions.length === 0 && margins.worst !== null;
  return {
    title,
    lead: [
      ...judgedBy(advice, readings),
      ...marginLines(advice),
      ...(isNone ? ['No improvement found'] : []),
    ],
    sections: [
      ...(table ? [roomsSection(table, all)] : []),
      {
        id: 'suggestions',
        title: table ? 'Fixes' : '',
        blocks: [{ ...stepsOf(advice, all ? {} : SHOWN, byHand), apart: true }],
      },
      { id: 'search', title: '', blocks: prose('remarks', searchLines(advice)) },
    ],
  };
}

function judgedBy({ suggestions }: PlainAdvice, readings: ReadingsSummary | null): string[] {
  if (!readings) return [];
  const bases = suggestions.flatMap(({ helps }) => helps.map(({ basis }) => basis));
  return [
    ...readingsLines(readings, bases),
    'Fixes are computed from the measured levels: values after a fix are predicted.',
  ];
}

function marginLines(advice: PlainAdvice): string[] {
  const { margins, wanting, outOfReach, isAnyInReach } = advice;
  if (margins.worst === null) return ['No limit is judged: nothing to fix'];
  if (margins.shortfall === 0) return [`All limits met; smallest margin ${figure(margins.worst, 1)} dB`];
  if (wanting.limits === 0 && outOfReach.length === 0) return ['All limits asked about are met'];
  const together = wanting.mics > 0 ? `; S/B at mics is ${figure(wanting.mics, 1)} dB short in all` : '';
  return [
    ...(isAnyInReach
      ? [`${counted(wanting.limits, 'missed limit')} within reach${together}`]
      : ['No missed limit is within reach of the fixes tried: these come nearer']),
    ...(outOfReach.length > 0 ? [outOfReachWords(advice)] : []),
  ];
}

/** "Out of reach: overheads S/B, 18.4 dB short, best found 15.2 dB short". */
export function outOfReachWords({ outOfReach }: PlainAdvice, most = outOfReach.length): string {
  const rest = outOfReach.length - most;
  const each = outOfReach.slice(0, most).map(({ kind, about, margin, best }) => {
    const [now, then] = [margin, best].map((at) => figureOr(Number.isFinite(at) ? -at : null, 1, 'any'));
    return `${criterionWords(kind).improved(about)}, ${now} dB short, best found ${then} dB short`;
  });
  return `Out of reach: ${each.join('; ')}${rest > 0 ? `; and ${rest} more` : ''}`;
}

/** Whether the plan can meet its limits by what was tried, in a clause; null where nothing is missed, or nothing was tried. */
export function reachWords(now: Answer['now'], missed: number): string | null {
  if (now === null || now === 'too large' || missed === 0) return null;
  const { outOfReach } = now;
  if (outOfReach.length === 0) return 'every limit missed is within reach';
  const rest = outOfReach.length - NAMED_UNREACHED;
  const each = outOfReach
    .slice(0, NAMED_UNREACHED)
    .map(({ kind, about }) => criterionWords(kind).improved(about));
  return `out of reach of all that was tried: ${each.join(', ')}${rest > 0 ? ` and ${rest} more` : ''}`;
}

/** So many limits out of reach are told with what was found, and named, on a brief page. */
const SHOWN_UNREACHED = 2;
const NAMED_UNREACHED = 4;

function searchLines({ tried, whole, more, confidence }: PlainAdvice): string[] {
  const stopped = whole ? '' : ', stopped early';
  return [
    ...(confidence === null ? [] : [confidenceWords(confidence)]),
    `${counted(tried, 'plan')} computed${stopped}${more > 0 ? `; ${more} more: --all` : ''}`,
  ];
}

/** How much is shown of what a suggestion helps, improves and costs. */
type Most = Partial<Record<'helps' | 'improves' | 'costs', number>>;
const SHOWN: Most = { helps: 3, improves: 2, costs: 4 };

const stepsOf = (
  { suggestions, margins: { shortfall } }: PlainAdvice,
  most: Most,
  byHand: SuggestPage['byHand'] = [],
): Steps => ({
  kind: 'steps',
  steps: suggestions.map(({ words, minutes, asGood, worth, wanting, worst, helps, improves, costs }, i) => {
    const [before, after] = wanting.map(({ mics }) => figure(mics, 1));
    const isMet = shortfall === 0;
    const [was, is] = worst.map((margin) => figureOr(margin, 1, 'none'));
    const changes = [
      minutes < 1 ? 'under 1 min' : `${Math.round(minutes)} min`,
      worth.fixed > 0 && fixedWords(worth),
      before !== after && `S/B at mics ${before} → ${after} dB short in all`,
      isMet && was !== is && `smallest margin ${was} → ${is} dB`,
    ];
    return {
      does: words.map(capital),
      effects: [
        given(changes).join('; '),
        ...listed('as good', asGood),
        ...listed('helps', helps.map(helpWords), most.helps),
        ...listed(
          improves.every((one) => one.after >= 0) ? 'fixes' : 'improves',
          improves.map(improvedWords),
          most.improves,
        ),
        ...listed('costs', costs.map(regressionWords), most.costs),
        ...(byHand.includes(i + 1) ? ['by hand: --apply cannot write this into the file'] : []),
      ],
    };
  }),
});

function listed(word: string, told: readonly string[], most = told.length): string[] {
  if (told.length === 0) return [];
  const rest = told.length - most;
  return [`${word}: ${[...told.slice(0, most), ...(rest > 0 ? [`and ${rest} more`] : [])].join('; ')}`];
}

/** "ghost of singer, 5.6 dB short → 2.2 dB to spare". */
function improvedWords({ kind, about, before, after }: Improved): string {
  const whom = criterionWords(kind).improved(about);
  if (kind === 'see-each-other') return `${whom} now see each other`;
  const [from, to] = [before, after].map((margin) => figureOr(Math.abs(margin), 1, 'any'));
  return `${whom}, ${from}${after < 0 ? '' : ' dB short'} → ${to} dB ${after < 0 ? 'short' : 'to spare'}`;
}

function helpWords({ mic, before, basis, after, unweightedBefore, unweightedAfter }: Helped): string {
  const from = basis === null ? '' : ` ${basisWords(basis)}`;
  const judged = `${mic} S/B ${figureOr(before, 1, 'none')}${from} → ${figureOr(after, 1, 'none')} dB`;
  const plain = (unweightedAfter ?? 0) - (unweightedBefore ?? 0);
  const own = (after ?? 0) - (before ?? 0);
  return Math.abs(plain - own) < 0.5 ? judged : `${judged} (unweighted ${signed(plain, 1)} dB)`;
}
