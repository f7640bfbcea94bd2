/** What got worse from one plan to another. */
import type { Comparison } from './compare.ts';
import type { ComparedKind, ComparedRow, Reached } from './compared-row.ts';

export type Worse = {
  readonly kind: ComparedKind;
  readonly about: readonly string[];
  /** Index of the plan in which it is worse. */
  readonly plan: number;
  readonly before: Reached;
  /** Null for a microphone that the other plan does not have any more. */
  readonly after: Reached | null;
};

/**
 * Every figure that is worse by more than `within` dB, every word and verdict that fell, in any plan against the one at
 * `base`. A part, player or pair of mics that is no longer there is no loss; a microphone is.
 */
export function worseThan({ mics, parts, people }: Comparison, base: number, within: number): Worse[] {
  return [...mics, ...parts, ...people].flatMap((row) =>
    row.reached.flatMap((after, plan) => {
      const before = row.reached[base];
      return plan !== base && before && isWorse(row, before, after, within)
        ? [{ kind: row.kind, about: row.about, plan, before, after }]
        : [];
    }),
  );
}

function isWorse({ kind }: ComparedRow, before: Reached, after: Reached | null, within: number): boolean {
  if (after === null) return kind === 'signal-to-bleed';
  if (after.verdict === 'short' && before.verdict !== 'short' && before.verdict !== null) return true;
  if (before.rank === null || after.rank === null) return false;
  return after.rank < before.rank - (IN_DB.has(kind) ? within : 0);
}

/** Kinds whose rank is a figure in dB; of the others it counts words. */
const IN_DB: ReadonlySet<ComparedKind> = new Set(['signal-to-bleed', 'ghost', 'editable']);
