/** Plans side by side: their results, regressions, and the settings that differ. */
import { CRITERIA } from '../judge/criteria.ts';
import type { ReadingsSummary } from '../judge/report.ts';
import type { ComparedRow, Comparison, Regression } from '../suggest/compare.ts';
import { balanceName, criterionWords, reachedWords, regressionWords } from './criteria.ts';
import type { Column, Section, View, Words } from './view.ts';
import { names, numbers, prose, table, words } from './view.ts';
import { basisMark, counted, letter, pathWords, readingsLines, signed } from './words.ts';

type CompareOptions = {
  /** Unchanged rows are shown, too. */
  readonly all: boolean;
  /** Regressions; null where nobody asked. */
  readonly worse: readonly Regression[] | null;
  readonly readings: ReadingsSummary | null;
};

export function compareView(comparison: Comparison, { all, worse, readings }: CompareOptions): View {
  const { mics, parts, people } = comparison;
  return {
    title: '',
    lead: [],
    sections: [
      legend(comparison, readings),
      ...(worse === null ? [] : [losses(worse)]),
      ...CRITERIA.flatMap(({ kind, comparedAs }) => {
        const { table: heads } = criterionWords(kind);
        // the 3:1 rule is a row among the mics
        const isHere = (row: ComparedRow) =>
          row.kind === comparedAs || (kind === 'signal-to-bleed' && row.kind === 'three-to-one');
        return heads ? [compared(...heads, [...mics, ...parts, ...people].filter(isHere), all)] : [];
      }),
      entries(comparison),
    ],
  };
}

/** What letters and marks stand for. */
function legend({ plans, mics, parts, people }: Comparison, readings: ReadingsSummary | null): Section {
  const bases = [...mics, ...parts, ...people].flatMap(({ reached }) =>
    reached.map((one) => one?.basis ?? null),
  );
  const letters = plans.map(({ name, title }, i) => ({
    key: letter(i),
    text: title === '' ? name : `${name} (${title})`,
  }));
  const marks = prose('remarks', readingsLines(readings, bases, basisMark));
  return { id: 'plans', title: '', blocks: [{ kind: 'key', entries: letters }, ...marks] };
}

function losses(worse: readonly Regression[]): Section {
  if (worse.length === 0) return remark({ text: 'No regressions', is: 'clear' });
  const each = worse.map((one) => ({ key: letter(one.plan), text: regressionWords(one) }));
  const title = counted(worse.length, 'regression');
  return { id: 'worse', title, is: 'short', blocks: [{ kind: 'each', entries: each }] };
}

const remark = (said: Words): Section => ({ id: 'remark', title: '', blocks: prose('remarks', [said]) });

/** Smaller changes count as none, dB. */
const SEEN = 0.05;

/** Results of one kind, and what has changed from the first plan. */
export function compared(title: string, about: string, rows: readonly ComparedRow[], all: boolean): Section {
  const shown = all ? rows : rows.filter(hasChanged);
  const same = rows.length - shown.length;
  const rest = same === 0 ? null : { text: `${same} unchanged`, ask: '--all' };
  const [first] = shown;
  if (!first) return { id: about, title, blocks: rest ? prose('notes', [`${rest.text}: ${rest.ask}`]) : [] };
  const plans = first.reached.map((_, plan) => plan);
  const columns = [
    names(about, (row: ComparedRow) => ({
      text:
        row.kind === 'balance'
          ? balanceName(row.about)
          : row.about.join(row.kind === 'hears' ? ' hears ' : ' and '),
      is: 'strong',
    })),
    ...plans.flatMap((plan): Column<ComparedRow>[] => [
      words(letter(plan), (row) => reachedCell(row, plan)),
      ...(plan === 0 || first.kind === 'sees' ? [] : [change(plan)]),
    ]),
  ];
  return { id: about, title, blocks: table(title, shown, columns, { rest, sideBySide: true }) };
}

const change = (plan: number): Column<ComparedRow> =>
  numbers(`${letter(plan)} - A`, ({ changes }) => said(changes[plan] ?? null), { change: true });

const said = (change: number | null): string => (change === null ? '' : signed(change, 1));

function hasChanged({ kind, reached, changes }: ComparedRow): boolean {
  const [first = null] = reached;
  return reached.some((one, i) => {
    if ((one === null) !== (first === null)) return true;
    if (one?.verdict !== first?.verdict) return true;
    const change = changes[i] ?? null;
    if (kind === 'hears' || kind === 'sees' || change === null) return one?.words !== first?.words;
    return Math.abs(change) >= SEEN;
  });
}

function entries({ entries: rows }: Comparison): Section {
  if (rows.length === 0) return remark({ text: 'No settings differ', is: 'strong' });
  const blocks = rows.map(({ path, values }) => ({
    kind: 'item' as const,
    text: pathWords(path),
    blocks: [{ kind: 'each' as const, entries: grouped(values) }],
  }));
  return { id: 'entries', title: 'Changes', blocks };
}

/** Plans with the same value on one line: "A, C". */
function grouped(values: readonly (string | null)[]): { readonly key: string; readonly text: string }[] {
  const different = [...new Set(values)];
  return different.map((one) => ({
    key: values.flatMap((value, i) => (value === one ? [letter(i)] : [])).join(', '),
    text: one ?? 'absent',
  }));
}

function reachedCell({ kind, reached }: ComparedRow, plan: number): Words {
  const one = reached[plan] ?? null;
  const mark = kind === 'sees' ? '' : basisMark(one?.basis ?? null);
  const text = [reachedWords(kind, one), mark].filter((part) => part !== '').join(' ');
  return one?.verdict ? { text, is: one.verdict } : text;
}
