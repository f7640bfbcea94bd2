/** A plan laid over the studio it names, and that over its own: maps merge, lists replace, ~ removes. */
import type { Finding } from '../finding.ts';
import { readDocument } from './document.ts';
import { calledFrom, type From, pathFrom } from './file-path.ts';
import { headingFindings } from './heading.ts';
import { type Entry, isNull, type MapNode, type Node, type Source } from './tree.ts';

export type Laid = {
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
