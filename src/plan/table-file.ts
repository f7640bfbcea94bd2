/** Measured tables that a plan names by file: read, and put where their names stood. */
import type { Finding, Path } from '../finding.ts';
import { flatTable, tableOf } from './csv-table.ts';
import { type From, type Load, pathFrom, pathOf } from './file-path.ts';
import type { Fault } from './schema-frame.ts';
import type { MapNode, Node, Scalar } from './tree.ts';
import { findingOf } from './validate.ts';

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
