/** Measured tables that a plan names by file: read, and put where their names stood. */
import type { Finding, Path } from '../finding.ts';
import { flatTable, tableOf } from './csv-table.ts';
import type { Fault } from './schema-frame.ts';
import { type Load, pathFrom } from './studio.ts';
import { type MapNode, type Node, type Scalar, shown } from './tree.ts';
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
  plan: string,
  load: Load,
): Promise<{ readonly tree: MapNode; readonly findings: readonly Finding[] }> {
  const names = PLACES.flatMap((place) => [...filesAt(tree, place)]);
  const reader = readerOf(plan, load);
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
function readerOf(plan: string, load: Load): (written: Scalar) => Promise<Read> {
  const folder = plan.slice(0, plan.lastIndexOf('/') + 1);
  const loaded = new Map<string, Awaited<ReturnType<Load>>>();
  const refuse = ({ mark }: Scalar, message: string, mend: string): Read => ({
    node: flatTable(mark),
    faults: [{ code: 'FILE_UNREADABLE', message, mend }],
  });
  return async (written) => {
    const path = pathFrom(written, written.mark.source.name.slice(folder.length));
    if (path === null) {
      const message = `must be a relative path within the folder of the plan, got ${shown(written.text)}`;
      return refuse(written, message, 'write a path such as tables/voice.csv');
    }
    const file = loaded.get(path) ?? (await load(path));
    loaded.set(path, file);
    if ('text' in file) return tableOf(file.text, path, written.mark);
    return refuse(
      written,
      `names ${path}, which cannot be read: ${file.problem}`,
      'name a file that is there',
    );
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
