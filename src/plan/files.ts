/** Studio overlay and table files: paths, folder rule, merging. */
import type { Finding, Path } from '../finding.ts';
import { flatTable, tableOf } from './csv.ts';
import {
  type Entry,
  type Fault,
  isNull,
  type MapNode,
  type Node,
  readDocument,
  type Scalar,
  type Source,
  shown,
} from './document.ts';
import { findingOf, headingFindings } from './plan.ts';

// Measured tables that a plan names by file: read, and put where their names stood.
/** Where a table may stand; * stands for any name. */
const DIRECTIVITY = ['directivity', 'table'];

const PLACES: readonly Path[] = [
  ['mics', '*', 'pattern', 'table'],
  ...[
    ['sources', '*'],
    ['players', '*'],
    ['players', '*', 'plays', '*'],
    ['players', '*', 'parts', '*'],
    ['players', '*', 'plays', '*', 'parts', '*'],
  ].map((above) => [...above, ...DIRECTIVITY]),
];

/** The tree with every table written out; of a file that is none, or holds a fault, a table that says nothing. */
export async function readTables(
  tree: MapNode,
  plan: From,
): Promise<{ readonly tree: MapNode; readonly findings: readonly Finding[] }> {
  const names = PLACES.flatMap((place) => [...filesAt(tree, place)]);
  const reader = readerOf(plan);
  const findings: Finding[] = [];
  let whole: Node = tree;
  for (const { path, written } of names) {
    const { node, faults } = await reader(written);
    findings.push(...faults.map((fault) => findingOf({ ...fault, path })));
    whole = replaced(whole, path, node);
  }
  return { tree: whole as MapNode, findings };
}

type Named = { readonly path: string[]; readonly written: Scalar };

/** Only words name files: what else stands there is the schema's to refuse. */
function* filesAt(node: Node, [step, ...rest]: Path, above: string[] = []): Generator<Named> {
  if (step === undefined) {
    if (node.kind === 'scalar' && typeof node.value === 'string') yield { path: above, written: node };
  } else if (node.kind === 'map') {
    for (const [key, entry] of node.entries) {
      if (step === '*' || step === key) yield* filesAt(entry.node, rest, [...above, key]);
    }
  }
}

type Read = { readonly node: MapNode; readonly faults: readonly Fault[] };

/** Reads each file once, whoever names it. */
function readerOf({ name, load, beyondFolder }: From): (written: Scalar) => Promise<Read> {
  const loaded = new Map<string, Awaited<ReturnType<Load>>>();
  const refuse = ({ mark }: Scalar, message: string, mend: string): Read => ({
    node: flatTable(mark),
    faults: [{ code: 'FILE_UNREADABLE', message, mend }],
  });
  return async (written) => {
    const from = pathOf(name, written.mark.source.name);
    const path = pathFrom(written, from, beyondFolder, 'tables/voice.csv');
    if (typeof path !== 'string') return refuse(written, path.message, path.mend);
    const file = loaded.get(path) ?? (await load(path));
    loaded.set(path, file);
    if ('text' in file) return tableOf(file.text, path, written.mark);
    const { problem, mend = 'name a file that is there' } = file;
    return refuse(written, `names ${path}, which cannot be read: ${problem}`, mend);
  };
}

function replaced(node: Node, [step, ...rest]: readonly string[], by: Node): Node {
  if (step === undefined) return by;
  if (node.kind !== 'map') return node;
  const entry = node.entries.get(step);
  if (!entry) return node;
  const entries = new Map(node.entries).set(step, { ...entry, node: replaced(entry.node, rest, by) });
  return { ...node, entries };
}

// A plan laid over the studio it names, and that over its own: maps merge, lists replace, ~ removes.

type Laid = {
  readonly tree: MapNode;
  readonly findings: readonly Finding[];
  readonly sources: readonly Source[];
};

const DEEPEST = 8;

type Chain = {
  readonly plan: From;
  readonly seen: readonly string[];
  readonly findings: Finding[];
  readonly sources: Source[];
};

/** The plan as it would be if it were written whole. */
export async function layOverStudio(tree: MapNode, plan: From): Promise<Laid> {
  const seen = [plan.name.slice(plan.name.lastIndexOf('/') + 1)];
  const chain = { plan, seen, findings: [], sources: [] };
  return { tree: await laid(tree, chain), findings: chain.findings, sources: chain.sources };
}

async function laid(top: MapNode, chain: Chain): Promise<MapNode> {
  const written = top.entries.get('studio')?.node;
  if (!written || isNull(written)) return top;
  const refuse = (code: Finding['code'], message: string, mend: string): MapNode => {
    const { source, offset } = written.mark;
    const about = { path: ['studio'], message: `studio ${message}`, mend, offset, file: source.name };
    chain.findings.push({ code, severity: 'error', ...about });
    return top;
  };
  if (written.kind !== 'scalar')
    return refuse('WRONG_SHAPE', 'must be one path', 'write a path such as studios/hall.yaml');
  const path = pathFrom(written, chain.seen.at(-1) ?? '', chain.plan.beyondFolder, 'studios/hall.yaml');
  if (typeof path !== 'string') return refuse('FILE_UNREADABLE', path.message, path.mend);
  if (chain.seen.includes(path))
    return refuse('FILE_UNREADABLE', 'comes back to itself', 'take one `studio` of the loop out');
  if (chain.seen.length > DEEPEST) {
    return refuse('FILE_UNREADABLE', `stands on more than ${DEEPEST} others`, 'write some of them into one');
  }
  const file = await chain.plan.load(path);
  if ('problem' in file) {
    const { problem, mend = 'name a file that is there' } = file;
    return refuse('FILE_UNREADABLE', `${path} cannot be read: ${problem}`, mend);
  }
  const source = { name: calledFrom(chain.plan.name, path), text: file.text };
  return overlay(await studio(source, path, chain), top);
}

async function studio(source: Source, path: string, chain: Chain): Promise<MapNode> {
  chain.sources.push(source);
  const { tree, findings } = readDocument(source);
  chain.findings.push(...findings);
  const empty: MapNode = { kind: 'map', entries: new Map(), mark: { source, offset: 0 } };
  if (tree?.kind !== 'map') return empty;
  chain.findings.push(...headingFindings(tree, 'studio'));
  return laid(tree, { ...chain, seen: [...chain.seen, path] });
}

/** What stands over goes before what lies under; null takes out what lies under, if there is any. */
function overlay(under: MapNode, over: MapNode, path: readonly string[] = []): MapNode {
  const entries = new Map<string, Entry>(under.entries);
  for (const [key, entry] of over.entries) {
    const lower = under.entries.get(key);
    if (lower && isNull(entry.node) && !isOfKit(path)) entries.delete(key);
    else
      entries.set(
        key,
        lower ? { key: entry.key, node: merged(lower.node, entry.node, [...path, key]) } : entry,
      );
  }
  return { kind: 'map', entries, mark: over.mark };
}

const merged = (under: Node, over: Node, path: readonly string[]): Node =>
  under.kind === 'map' && over.kind === 'map' ? overlay(under, over, path) : over;

/** In the parts of a kit ~ takes out what the kit has, so that it must outlive the overlay. */
const isOfKit = (path: readonly string[]): boolean =>
  path[0] === 'players' &&
  path.at(-1) === 'parts' &&
  (path.length === 3 || (path.length === 5 && path[2] === 'plays'));

// Where a file that a plan names lies, as a path from the folder of the plan.

/** Gives the text of a file by its path from the plan's folder, or says why there is none. */
export type Load = (
  path: string,
) => Promise<{ readonly text: string } | { readonly problem: string; readonly mend?: string }>;

/** The plan that names files: what it is called, who reads for it, and whether they may lie anywhere. */
export type From = {
  readonly name: string;
  readonly load: Load;
  /** Else a plan, which may be a stranger's, can have nothing read but what lies in its own folder or below. */
  readonly beyondFolder: boolean;
};

export const BEYOND_MEND = 'move the file below the folder of the plan, or allow others with --beyond-folder';

type Refused = { readonly message: string; readonly mend: string };

/** The path of what is `written` in the file `from`; messages go on from the name of the value. */
function pathFrom(written: Scalar, from: string, beyondFolder: boolean, such: string): string | Refused {
  const { text } = written;
  if (text.trim() === '' || /[\\\p{Cc}]/u.test(text) || /^[a-z][a-z\d+.-]*:/i.test(text))
    return { message: `must be a path, got ${shown(text)}`, mend: `write a path such as ${such}` };
  const path = joined(from, text);
  if (path === null)
    return {
      message: `must be the path of a file, got ${shown(text)}`,
      mend: `write a path such as ${such}`,
    };
  const leaves = path.startsWith('/') || path.startsWith('../');
  if (!leaves || beyondFolder) return path;
  return { message: `names ${shown(text)}, which lies outside the folder of the plan`, mend: BEYOND_MEND };
}

/** Null for a folder. */
function joined(from: string, text: string): string | null {
  const steps = text.startsWith('/') ? [''] : from.split('/').slice(0, -1);
  for (const step of text.split('/')) {
    const isAbove = step === '..';
    if (isAbove && steps.length > 0 && steps.at(-1) !== '..') steps.pop();
    else if (isAbove || (step !== '.' && step !== '')) steps.push(step);
  }
  const last = steps.at(-1) ?? '';
  return last === '' || last === '..' || /(?:^|\/)\.{0,2}$/.test(text) ? null : steps.join('/');
}

/** What a file is called in messages: as the plan is, with its folder before it. */
const calledFrom = (plan: string, path: string): string =>
  path.startsWith('/') ? path : plan.slice(0, plan.lastIndexOf('/') + 1) + path;

/** The way back: the path of a file from the plan's folder. */
function pathOf(plan: string, called: string): string {
  const folder = plan.slice(0, plan.lastIndexOf('/') + 1);
  return called.startsWith(folder) ? called.slice(folder.length) : called;
}
