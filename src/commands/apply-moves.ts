/** Suggestions made in the text of the plan, which is then read again: it must say just what was computed. */
import type { Advice } from '../advise/advice.ts';
import { alike } from '../advise/alike.ts';
import { allTogether } from '../advise/all-together.ts';
import { applied } from '../advise/apply.ts';
import type { Computed } from '../advise/bench-plan.ts';
import { goalFor } from '../advise/goal.ts';
import type { Move } from '../advise/move.ts';
import type { SuggestOptions as Asked } from '../advise/suggest.ts';
import { type Finding, refusal } from '../finding.ts';
import { say } from '../io/streams.ts';
import { readPlan } from '../plan/read.ts';
import type { MapNode } from '../plan/tree.ts';
import { validate } from '../plan/validate.ts';
import { visible } from '../plan/visible.ts';
import { counted } from '../render/words.ts';
import type { Catalogue } from '../scene/catalogue.ts';
import { deliver } from './deliver.ts';
import type { OpenPlan } from './open-plan.ts';
import { refused } from './refuse.ts';

export type ApplyJob = {
  readonly open: OpenPlan;
  readonly base: Computed;
  readonly catalogue: Catalogue;
  readonly asked: Asked;
  readonly advice: Advice;
};

/** `which` is the place of a suggestion, from 1, or `all`: as many as go together. Exit code: 0 done, 2 refused. */
export async function applyMoves(job: ApplyJob, which: string, output: string): Promise<0 | 2> {
  const moves = chosen(job, which);
  if ('code' in moves) return refused(moves);
  const made = applied(job.open.text, job.base, moves);
  if (!made || !(await readsAs(job, made))) {
    return refused(
      refusal(
        'the plan has no place for these entries',
        'make the changes by hand: what to set is in --json',
      ),
    );
  }
  const delivered = await deliver(made.text, output);
  if (delivered === 0) await say(`${counted(moves.length, 'move')} made: ${visible(namesOf(moves))}\n`);
  return delivered;
}

function chosen({ base, catalogue, asked, advice }: ApplyJob, which: string): readonly Move[] | Finding {
  const { suggestions } = advice;
  const one = suggestions[Number(which) - 1]?.moves;
  if (which === 'all' && suggestions.length > 0)
    return allTogether(base, catalogue, suggestions, goalFor(advice.standing, asked.counts));
  if (!one) {
    const mend =
      suggestions.length === 0
        ? 'nothing was found that betters it'
        : `write 1 to ${suggestions.length}, or all`;
    return refusal(`--apply ${which}: there is no such suggestion`, mend);
  }
  return one;
}

async function readsAs(
  { open }: ApplyJob,
  { text, tree }: { readonly text: string; readonly tree: MapNode },
): Promise<boolean> {
  const { plan } = await readPlan(text, open.from);
  return plan !== null && alike(validate(tree).plan, plan);
}

const namesOf = (moves: readonly Move[]): string =>
  moves.map(({ kind, about }) => `${kind} ${about.join(', ')}`).join('; ');
