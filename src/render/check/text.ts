/** Which limits are met, for people: what is missed first, plan by plan, and the count of all at the end. */
import {
  type Check,
  type CheckedPlan,
  isMissed,
  type Outcome,
  outcomeOf,
  type PlacedLimit,
} from '../../judge/limits/checked.ts';
import { visible } from '../../plan/visible.ts';
import { type Paint, paint } from '../paint.ts';
import { readingsLines } from '../readings-words.ts';
import { padEnd } from '../width.ts';
import { counted } from '../words.ts';
import { wrap } from '../wrap.ts';
import type { CheckOptions } from './options.ts';
import { sentence } from './sentence.ts';

export function text(check: Check, options: CheckOptions): string {
  const blocks = check.plans.map((plan) => block(plan, check.strict, options).join('\n'));
  return `${[...blocks, summary(check)].join('\n\n')}\n`;
}

/** All plans in one line: "3 plans: 1 met, 1 missed, 1 broken". */
export function summary({ plans, strict }: Check): string {
  const order: readonly Outcome[] = ['met', 'missed', 'broken'];
  const outcomes = plans.map((plan) => outcomeOf(plan, strict));
  const counts = order.map((outcome) => ({ outcome, n: outcomes.filter((one) => one === outcome).length }));
  const told = counts.filter(({ n }) => n > 0).map(({ outcome, n }) => `${n} ${outcome}`);
  return `${counted(plans.length, 'plan')}: ${told.join(', ')}`;
}

function block(plan: CheckedPlan, strict: boolean, options: CheckOptions): string[] {
  const colours = paint(options.colour);
  const title = plan.title === '' ? '' : ` (${plan.title})`;
  const head = `${plan.name}${title}: ${standing(plan, strict)}`;
  return [
    ...wrap(visible(head), options.width).map(colours.strong),
    ...readingsLines(
      plan.readings,
      plan.limits.map(({ basis }) => basis),
    ).flatMap((line) => wrap(visible(line), options.width, '  ')),
    ...plan.faults.map(({ shown }) => shown.trimEnd()),
    ...limitLines(plan.limits, strict, { ...options, colours }),
  ];
}

function standing(plan: CheckedPlan, strict: boolean): string {
  const outcome = outcomeOf(plan, strict);
  if (outcome === 'broken') return `broken, ${counted(plan.faults.length, 'fault')}`;
  const judged = plan.limits.filter(({ verdict }) => verdict !== null);
  const missed = judged.filter((row) => isMissed(row, strict));
  if (outcome === 'missed') return `${missed.length} of ${counted(judged.length, 'limit')} missed`;
  return judged.length === 0 ? 'no limits judged' : `${counted(judged.length, 'limit')} met`;
}

type Layout = CheckOptions & { readonly colours: Paint };

function limitLines(limits: readonly PlacedLimit[], strict: boolean, layout: Layout): string[] {
  const shown = layout.all ? limits : limits.filter(({ verdict }) => verdict !== 'clear');
  const rest = limits.length - shown.length;
  return [
    ...shown.flatMap((row) => limitLine(row, strict, layout)),
    ...(rest > 0 ? [`  ${padEnd('clear', MARK)}${counted(rest, 'limit')}, listed with --all`] : []),
  ];
}

/** Columns of the word before each limit. */
const MARK = 12;

function limitLine(row: PlacedLimit, strict: boolean, { width, colours }: Layout): string[] {
  const indent = ' '.repeat(2 + MARK);
  const [first = '', ...others] = wrap(visible(sentence(row)), width, indent);
  const missed = isMissed(row, strict);
  const word = missed ? 'missed' : (row.verdict ?? 'not judged');
  const colour = missed ? colours.short : row.verdict === null ? colours.faint : colours[row.verdict];
  return [`  ${colour(word)}${' '.repeat(MARK - word.length)}${first.slice(indent.length)}`, ...others];
}
