/** Which limits plans meet: what is missed first, plan by plan, and the count of all at the end. */
import type { Check, CheckedPlan, Outcome, PlacedLimit } from '../judge/check-result.ts';
import { isMissed, outcomeOf, statusOf } from '../judge/check-result.ts';
import { limitSentence } from './criteria.ts';
import { type Keyed, prose, type Section, type View } from './view.ts';
import { counted, readingsLines } from './words.ts';

/** With `all`, limits that are clearly met are listed, too. */
export const checkView = (check: Check, { all }: { readonly all: boolean }): View => ({
  title: '',
  lead: [],
  sections: [
    ...check.plans.map((plan, i) => planSection(plan, `plan-${i + 1}`, { strict: check.strict, all })),
    { id: 'summary', title: '', blocks: prose('remarks', [summary(check)]) },
  ],
});

/** All plans in one line: "3 plans: 1 met, 1 missed, 1 broken". */
export function summary({ plans, strict }: Check): string {
  const order: readonly Outcome[] = ['met', 'missed', 'broken'];
  const outcomes = plans.map((plan) => outcomeOf(plan, strict));
  const counts = order.map((outcome) => ({ outcome, n: outcomes.filter((one) => one === outcome).length }));
  const told = counts.filter(({ n }) => n > 0).map(({ outcome, n }) => `${n} ${outcome}`);
  return `${counted(plans.length, 'plan')}: ${told.join(', ')}`;
}

type Told = { readonly strict: boolean; readonly all: boolean };

function planSection(plan: CheckedPlan, id: string, options: Told): Section {
  const { name, title, readings, limits, faults } = plan;
  const head = `${name}${title === '' ? '' : ` (${title})`}: ${outcomeWords(plan, options.strict)}`;
  const bases = limits.map(({ basis }) => basis);
  return {
    id,
    title: '',
    blocks: [
      ...prose('remarks', [{ text: head, is: 'strong' }]),
      ...prose('notes', readingsLines(readings, bases)),
      ...faults.map(({ shown }) => ({ kind: 'verbatim', lines: shown.trimEnd().split('\n') }) as const),
      limitsBlock(limits, options),
    ],
  };
}

function outcomeWords(plan: CheckedPlan, strict: boolean): string {
  const outcome = outcomeOf(plan, strict);
  if (outcome === 'broken') return `broken, ${counted(plan.faults.length, 'fault')}`;
  const judged = plan.limits.filter(({ verdict }) => verdict !== null);
  const missed = judged.filter((row) => isMissed(row, strict));
  if (outcome === 'missed') return `${missed.length} of ${counted(judged.length, 'limit')} missed`;
  return judged.length === 0 ? 'no limits judged' : `${counted(judged.length, 'limit')} met`;
}

function limitsBlock(limits: readonly PlacedLimit[], { strict, all }: Told): Keyed {
  const shown = all ? limits : limits.filter(({ verdict }) => verdict !== 'clear');
  const rest = limits.length - shown.length;
  const entries = shown.map((row) => {
    const text = statusOf(row, strict);
    return { key: { text, is: LOOKS[text] }, text: limitSentence(row) };
  });
  const more = { key: 'clear', text: `${counted(rest, 'limit')}, listed with --all` };
  return { kind: 'each', least: 'not judged'.length, entries: [...entries, ...(rest > 0 ? [more] : [])] };
}

const LOOKS = { missed: 'short', marginal: 'marginal', clear: 'clear', 'not judged': 'unjudged' } as const;
