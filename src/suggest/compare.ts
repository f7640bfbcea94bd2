/** Criteria of several plans side by side, regressions from one to another, and the settings in which they differ. */
import { type Path, takes } from '../finding.ts';
import { type ComparedKind, CRITERIA, nameOf } from '../judge/criteria.ts';
import type { Heard, HearsRow } from '../judge/hearing.ts';
import type { Judgement } from '../judge/judge.ts';
import type { SightRow } from '../judge/sight.ts';
import type { Basis, Verdict } from '../judge/verdict.ts';
import type { MapNode, Node, Scalar } from '../plan/document.ts';
import { plainInline } from '../plan/edit.ts';
import type { Capsule, MeasuredPath, Scene, Source } from '../scene/scene.ts';
import { deepEqual } from '../transfer/incremental.ts';

/** What one plan reaches. */
export type Reached = {
  /** In the unit of the criterion; null where there is none. */
  readonly figure: number | null;
  /** The passage it is judged in, the worst; null where the plan has none, or it varies with none. */
  readonly passage: string | null;
  readonly verdict: Verdict | null;
  /** Says it where no value does, or beside the value. */
  readonly words: string | null;
  /** The lower the worse; null where it is unknown. */
  readonly rank: number | null;
  /** Whether what it rests on was measured; null without measured levels. */
  readonly basis: Basis | null;
};

export type ComparedRow = {
  readonly kind: ComparedKind;
  /** Whom it is about, as the plans name them. */
  readonly about: readonly string[];
  /** By plan; null where a plan has nothing of the kind. */
  readonly reached: readonly (Reached | null)[];
  /** Value less that of the first plan; null where one of the two has none. The first is 0 or null. */
  readonly changes: readonly (number | null)[];
};

export type Regression = Pick<ComparedRow, 'kind' | 'about'> & {
  /** Index of the plan in which it is worse. */
  readonly plan: number;
  readonly before: Reached;
  /** Null for a microphone that the other plan does not have any more. */
  readonly after: Reached | null;
};

/** Changes smaller than this are not told, dB, unless a verdict or a word falls. */
export const LEAST_TOLD = 0.5;

/** What is worse after a change of one plan. */
export const lossesBetween = (tree: MapNode, before: Judgement, after: Judgement): Regression[] =>
  regressions(compare([before, after].map((report) => ({ name: '', tree, report }))), 0, LEAST_TOLD);

/**
 * Every value that is worse by more than `within` dB, every word and verdict that fell, in any plan against the one at
 * `base`. A part, player or pair of mics that is no longer there is no loss; a microphone is.
 */
export function regressions({ mics, parts, people }: Comparison, base: number, within: number): Regression[] {
  return [...mics, ...parts, ...people].flatMap(({ kind, about, reached }) =>
    reached.flatMap((after, plan) => {
      const before = reached[base];
      return plan !== base && before && isWorse(kind, before, after, within)
        ? [{ kind, about, plan, before, after }]
        : [];
    }),
  );
}

function isWorse(kind: ComparedKind, before: Reached, after: Reached | null, within: number): boolean {
  if (after === null) return kind === 'signal-to-bleed';
  if (after.verdict === 'short' && before.verdict !== 'short' && before.verdict !== null) return true;
  if (before.rank === null || after.rank === null) return false;
  const isInDb = CRITERIA.some(({ comparedAs, worseBy }) => comparedAs === kind && worseBy === 'value');
  return after.rank < before.rank - (isInDb ? within : 0);
}

/** A plan that has been judged. */
export type Side = {
  readonly name: string;
  /** The plan as written, laid over its studio. */
  readonly tree: MapNode;
  readonly report: Judgement;
};

export type Comparison = {
  readonly plans: readonly { readonly name: string; readonly title: string }[];
  readonly mics: readonly ComparedRow[];
  readonly parts: readonly ComparedRow[];
  readonly people: readonly ComparedRow[];
  readonly entries: readonly EntryRow[];
};

export function compare(sides: readonly Side[]): Comparison {
  takes('compare', 'a list of plans that have been judged', sides, 'list');
  for (const side of sides)
    takes('compare', 'plans with name, tree and report', side, ['name', 'tree', 'report']);
  const reports = sides.map(({ report }) => report);
  const rowsOf = (wanted: CriterionDef['group']) =>
    CRITERIA.flatMap((criterion) => (criterion.group === wanted ? comparedRows(criterion, reports) : []));
  return {
    plans: sides.map(({ name, report }) => ({ name, title: report.title })),
    mics: rowsOf('mics'),
    parts: rowsOf('parts'),
    people: rowsOf('people'),
    entries: differingEntries(sides.map(({ tree }) => tree)),
  };
}

type CriterionDef = (typeof CRITERIA)[number];
/** What one plan says of one thing. */
type Stated = { readonly about: readonly string[]; readonly reached: Reached };

/** Rows that several reports have, matched by what they are about: in the order of the first, then of the others. */
function comparedRows(criterion: CriterionDef, reports: readonly Judgement[]): ComparedRow[] {
  const stated = reports.map(
    (report) => new Map(statedIn(report, criterion).map((one) => [nameOf(one.about), one])),
  );
  return [...new Set(stated.flatMap((rows) => [...rows.keys()]))].map((key) => {
    const found = stated.map((rows) => rows.get(key));
    const reached = found.map((one) => one?.reached ?? null);
    const about = found.find((one) => one !== undefined)?.about ?? [];
    return { kind: criterion.comparedAs, about, reached, changes: changesOf(reached) };
  });
}

function changesOf(reached: readonly (Reached | null)[]): (number | null)[] {
  const first = reached[0]?.figure ?? null;
  return reached.map((one) =>
    first === null || one === null || one.figure === null ? null : one.figure - first,
  );
}

/** Who hears and sees whom is compared for everyone, whether a limit asks for it or not. */
function statedIn(report: Judgement, { kind, worseBy, better }: CriterionDef): Stated[] {
  if (kind === 'hear') return report.hearing.rows.map((row) => hears(row, report));
  if (kind === 'see-each-other') return report.sight.rows.map((row) => sees(row, report));
  const isByVerdict = worseBy === 'verdict';
  const rows = report.criteria.filter((row) => row.kind === kind && row.role !== 'channel');
  return rows.flatMap(({ about, reached: figure, passage, verdict, why: words, basis }): Stated[] => {
    if (isByVerdict && verdict === null) return [];
    const value = figure === null || better === 'more' ? figure : -figure;
    const rank =
      verdict === null ? null : isByVerdict ? VERDICTS.indexOf(verdict) : (value ?? rankOf(verdict));
    return [{ about, reached: { figure, passage, verdict, words, rank, basis } }];
  });
}

const VERDICTS: readonly Verdict[] = ['short', 'marginal', 'clear'];

/** Beside values, a verdict without one is worse or better than any. */
const rankOf = (verdict: Verdict): number => (verdict === 'short' ? -Number.MAX_VALUE : Number.MAX_VALUE);

const HEARD: readonly Heard[] = ['cannot hear', 'barely hears', 'hears'];

const hears = (
  { player, whom, passage, ratio, hears: words }: HearsRow,
  { levelBasis }: Judgement,
): Stated => ({
  about: [player, whom],
  reached: { figure: ratio, passage, verdict: null, words, rank: HEARD.indexOf(words), basis: levelBasis },
});

const sees = ({ players, sees: isSeen, hiddenBy }: SightRow, { levelBasis }: Judgement): Stated => ({
  about: players,
  reached: {
    ...{ figure: null, passage: null, verdict: null },
    words: isSeen ? 'see each other' : `blocked by ${hiddenBy.join(', ')}`,
    rank: isSeen ? 1 : 0,
    // places are as planned whatever was read
    basis: levelBasis && 'predicted',
  },
});

type EntryRow = {
  readonly path: Path;
  /** As each plan writes it; null where it does not. */
  readonly values: readonly (string | null)[];
};

/** Not settings of their own: they say how a file is to be read. */
const OF_THE_FILE = new Set(['spillcheck', 'units', 'studio']);

/** In the order of the first plan, then of the others; a list is one setting, and so is what is absent from some plan. */
function differingEntries(trees: readonly Node[]): EntryRow[] {
  return differing(trees, []).filter(({ path }) => !OF_THE_FILE.has(String(path[0])));
}

function differing(nodes: readonly (Node | null)[], path: Path): EntryRow[] {
  const [first, ...others] = nodes;
  if (others.every((other) => isSame(first ?? null, other))) return [];
  const maps = nodes.filter((node) => node?.kind === 'map');
  if (maps.length < nodes.length) return [{ path, values: nodes.map((node) => node && plainInline(node)) }];
  const keys = new Set(maps.flatMap(({ entries }) => [...entries.keys()]));
  return [...keys].flatMap((key) =>
    differing(
      maps.map(({ entries }) => entries.get(key)?.node ?? null),
      [...path, key],
    ),
  );
}

function isSame(a: Node | null, b: Node | null): boolean {
  if (a === null || b === null) return a === b;
  if (a.kind === 'scalar' && b.kind === 'scalar') return isSameScalar(a, b);
  if (a.kind === 'list' && b.kind === 'list') {
    return a.items.length === b.items.length && a.items.every((item, i) => isSame(item, b.items[i] ?? null));
  }
  if (a.kind !== 'map' || b.kind !== 'map' || a.entries.size !== b.entries.size) return false;
  return [...a.entries].every(([key, { node }]) => isSame(node, b.entries.get(key)?.node ?? null));
}

/** 9 and 9.0 are one number; a bare one counts in its file's units, which may differ. */
function isSameScalar(a: Scalar, b: Scalar): boolean {
  const bare = typeof a.value === 'number' || typeof b.value === 'number';
  return a.value === b.value && (!bare || a.units === b.units);
}

// A plan laid over with readings that were made in another: what was moved since is no reading any more.

/** `first` is the scene of the plan that was read. Factors stay, as what readings held beyond the plan. */
export function movedSince(scene: Scene, first: Scene): Scene {
  const stands = standing(scene, first);
  return {
    ...scene,
    capsules: scene.capsules.map((capsule) => {
      if (!capsule.read) return capsule;
      const isAsRead = stands(capsule);
      const read = [...capsule.read].map(([name, way]): [string, MeasuredPath] => [
        name,
        isAsRead(name) ? way : { ...way, moved: true },
      ]);
      return { ...capsule, read: new Map(read) };
    }),
  };
}

type ByName = (name: string) => boolean;

/** Whether a source and a microphone, and the rooms about them, are as they were read. */
function standing(scene: Scene, first: Scene): (capsule: Capsule) => ByName {
  const isBuilt = (['air', 'rooms', 'partitions', 'panels'] as const).every((of) =>
    deepEqual(scene[of], first[of]),
  );
  const sources = named(first.sources);
  const own = named(scene.sources);
  return (capsule) => {
    const old = first.capsules.find(({ name }) => name === capsule.name);
    const isMicAsRead =
      old !== undefined &&
      deepEqual({ ...capsule, mic: 0, read: null }, { ...old, mic: 0, read: null }) &&
      deepEqual(scene.mics[capsule.mic]?.filter, first.mics[old.mic]?.filter);
    return (name) => isBuilt && isMicAsRead && deepEqual(placeOf(own.get(name)), placeOf(sources.get(name)));
  };
}

const named = (sources: readonly Source[]): Map<string, Source> =>
  new Map(sources.map((source) => [source.name, source]));

const placeOf = (source: Source | undefined) => source && { ...source, path: null, player: null, part: 0 };
