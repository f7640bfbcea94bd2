/** Criteria of several plans side by side; what got worse. */
import type { Path } from '../finding.ts';
import {
  type ComparedKind,
  type ComparedRow,
  micRows,
  partRows,
  peopleRows,
  type Reached,
} from '../judge/criteria.ts';
import type { Report } from '../judge/report.ts';
import type { MapNode, Node, Scalar } from '../plan/document.ts';
import { flowText } from '../plan/nodes.ts';
import type { Capsule, ReadWay, Scene, Source } from '../scene/scene.ts';
import { deepEqual } from '../transfer/incremental.ts';

// What got worse from one plan to another.
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

/** A plan that has been judged. */
export type Side = {
  readonly name: string;
  /** The plan as written, laid over its studio. */
  readonly tree: MapNode;
  readonly report: Report;
};

export type Comparison = {
  readonly plans: readonly { readonly name: string; readonly title: string }[];
  readonly mics: readonly ComparedRow[];
  readonly parts: readonly ComparedRow[];
  readonly people: readonly ComparedRow[];
  readonly entries: readonly EntryRow[];
};

export function compare(sides: readonly Side[]): Comparison {
  const reports = sides.map(({ report }) => report);
  return {
    plans: sides.map(({ name, report }) => ({ name, title: report.title })),
    mics: micRows(reports),
    parts: partRows(reports),
    people: peopleRows(reports),
    entries: differingEntries(sides.map(({ tree }) => tree)),
  };
}

// Entries in which plans differ, as they are written.

type EntryRow = {
  readonly path: Path;
  /** As each plan writes it; null where it does not. */
  readonly values: readonly (string | null)[];
};

/** Not entries of their own: they say how a file is to be read. */
const OF_THE_FILE = new Set(['spillcheck', 'units', 'studio']);

/** In the order of the first plan, then of the others; a list is one entry, and so is what some plan does not have at all. */
function differingEntries(trees: readonly Node[]): EntryRow[] {
  return differing(trees, []).filter(({ path }) => !OF_THE_FILE.has(String(path[0])));
}

function differing(nodes: readonly (Node | null)[], path: Path): EntryRow[] {
  const [first, ...others] = nodes;
  if (others.every((other) => isSame(first ?? null, other))) return [];
  const maps = nodes.filter((node) => node?.kind === 'map');
  if (maps.length < nodes.length) return [{ path, values: nodes.map((node) => node && flowText(node)) }];
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
      const read = [...capsule.read].map(([name, way]): [string, ReadWay] => [
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
