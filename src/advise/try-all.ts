/** Trials one after another, each as a row of figures: whoever reads them may stop at any time. */
import type { Finding } from '../finding.ts';
import type { Node } from '../plan/tree.ts';
import type { Catalogue } from '../scene/catalogue.ts';
import { type Bench, benchOf, type Computed, type Outcome } from './bench-plan.ts';
import { flowText } from './flow-text.ts';
import type { Edit } from './set-value.ts';
import { type Reading, readingOf } from './standing.ts';
import { rereading } from './standing-mics.ts';
import type { Column } from './trial-columns.ts';
import { type Axis, type Trials, trialRows } from './trials.ts';

export type TrialRow = {
  readonly row: number;
  /** As they are set, by axis. */
  readonly values: readonly Node[];
  /** By column; all null where the plan does not stand. */
  readonly figures: readonly (number | null)[];
  /** Why the plan does not stand, or null. */
  readonly fault: string | null;
};

export function* tryAll(
  base: Computed,
  catalogue: Catalogue,
  trials: Trials,
  columns: readonly Column[],
): Generator<TrialRow> {
  const outcomeOf = outcomes(base, catalogue, trials.axes);
  for (const { row, values } of trialRows(trials)) {
    const made = outcomeOf(values);
    if ('faults' in made)
      yield { row, values, figures: columns.map(() => null), fault: faultText(made.faults) };
    else yield { row, values, figures: columns.map(({ read }) => read(made)), fault: null };
  }
}

type Made =
  | (Exclude<Outcome, { faults: unknown }> & { readonly reading: Reading })
  | { readonly faults: readonly Finding[] };

/**
 * What axes other than mics set stays for many rows: it is computed once, and the mics are tried on top of it. Where it does
 * not stand by itself, each row is computed whole.
 */
function outcomes(
  base: Computed,
  catalogue: Catalogue,
  axes: readonly Axis[],
): (values: readonly Node[]) => Made {
  const edits = (values: readonly Node[], ofMics: boolean): Edit[] =>
    axes.flatMap(({ path }, i) =>
      (path[0] === 'mics') === ofMics ? [{ path, value: setting(values[i]) }] : [],
    );
  const plain = standOf(benchOf(base, catalogue));
  let now: { readonly key: string; readonly stand: Stand | null } = { key: '', stand: plain };
  return (values) => {
    const others = edits(values, false);
    const key = others.map(({ value }) => `\n${value ? flowText(value) : '~'}`).join('');
    if (key !== now.key) {
      const set = plain.bench.commit(others);
      now = { key, stand: 'faults' in set ? null : standOf(benchOf(set, catalogue)) };
    }
    if (now.stand) return attempt(now.stand, edits(values, true));
    return attempt(plain, [...others, ...edits(values, true)]);
  };
}

/** ~ takes an entry out. */
const setting = (value: Node | undefined): Node | null =>
  value === undefined || (value.kind === 'scalar' && value.value === null) ? null : value;

type Stand = { readonly bench: Bench; readonly reading: Reading };

const standOf = (bench: Bench): Stand => ({ bench, reading: readingOf(bench.base.scene, bench.base.result) });

function attempt({ bench, reading }: Stand, edits: readonly Edit[]): Made {
  if (edits.length === 0) return { ...bench.base, mics: [], reading };
  const made = bench.attempt(edits);
  if ('faults' in made) return made;
  const { scene, result, mics } = made;
  return { ...made, reading: mics ? rereading(reading, mics, scene, result) : readingOf(scene, result) };
}

const faultText = (faults: readonly Finding[]): string => faults.map(({ message }) => message).join('; ');
