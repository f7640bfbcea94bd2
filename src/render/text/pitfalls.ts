import type { Pitfall, PitfallKind } from '../../judge/pitfalls/pitfall-kinds.ts';
import type { Answer } from '../answer.ts';
import { wrap } from '../wrap.ts';
import { heading, type ReportLayout } from './layout.ts';

/** So many without asking for more; moves take the room of one. */
const SHOWN = 3;
/** What a brief page has said by then. */
const SAID: readonly PitfallKind[] = ['ears', 'committed', 'ghost'];

/** What this plan will fall into, most serious first; in brief the worst of each kind that was not said already. */
export function pitfallList(
  { pitfalls, mics, now }: Pick<Answer, 'pitfalls' | 'mics' | 'now'>,
  layout: ReportLayout,
): string[] {
  if (mics.length === 0) return [];
  const shown = layout.brief ? worstOfKinds(pitfalls, now === null ? SHOWN : SHOWN - 1) : pitfalls;
  const left = pitfalls.length - shown.length;
  const lines = shown.flatMap(({ sentence, mend }) =>
    wrap(layout.brief ? sentence : `${sentence}; mend: ${mend}`, layout.width, '  - ', '    '),
  );
  const calm =
    shown.length > 0 ? [] : [pitfalls.length > 0 ? '  None but what stands above.' : '  None found.'];
  return [titleOf(left, layout), ...lines, ...calm];
}

function titleOf(left: number, layout: ReportLayout): string {
  const title = heading('Pitfalls', layout, 'pitfalls');
  return layout.brief && left > 0 ? title.replace('(more:', `(${left} more:`) : title;
}

function worstOfKinds(pitfalls: readonly Pitfall[], most: number): Pitfall[] {
  const unsaid = pitfalls.filter(({ kind }) => !SAID.includes(kind));
  const first = unsaid.filter(({ kind }, i) => unsaid.findIndex((one) => one.kind === kind) === i);
  return first.slice(0, most);
}
