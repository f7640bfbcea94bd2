/** A plan laid over the studio it names, and that over its own: maps merge, lists replace, ~ removes. */
import type { Finding } from '../finding.ts';
import { readDocument } from './document.ts';
import { headingFindings } from './heading.ts';
import { type Entry, isNull, type MapNode, type Node, type Scalar, type Source } from './tree.ts';

/** Gives the text of a file by its path from the plan's folder, or says why there is none. Follows no link out of it. */
export type Load = (path: string) => Promise<{ readonly text: string } | { readonly problem: string }>;

export type Laid = {
  readonly tree: MapNode;
  readonly findings: readonly Finding[];
  readonly sources: readonly Source[];
};

const DEEPEST = 8;

type Chain = {
  readonly load: Load;
  /** Folder of the plan as it is shown before names of files. */
  readonly folder: string;
  readonly seen: readonly string[];
  readonly findings: Finding[];
  readonly sources: Source[];
};

/** The plan as it would be if it were written whole. `name` is the plan's own, as shown to the user. */
export async function layOverStudio(plan: MapNode, name: string, load: Load): Promise<Laid> {
  const cut = name.lastIndexOf('/') + 1;
  const chain = { load, folder: name.slice(0, cut), seen: [name.slice(cut)], findings: [], sources: [] };
  return { tree: await laid(plan, chain), findings: chain.findings, sources: chain.sources };
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
  const path = pathFrom(written, chain.seen.at(-1) ?? '');
  if (path === null) {
    return refuse(
      'FILE_UNREADABLE',
      'must be a relative path within the folder of the plan',
      'write a path such as studios/hall.yaml',
    );
  }
  if (chain.seen.includes(path))
    return refuse('FILE_UNREADABLE', 'comes back to itself', 'take one `studio` of the loop out');
  if (chain.seen.length > DEEPEST) {
    return refuse('FILE_UNREADABLE', `stands on more than ${DEEPEST} others`, 'write some of them into one');
  }
  const file = await chain.load(path);
  if ('problem' in file)
    return refuse('FILE_UNREADABLE', `${path} cannot be read: ${file.problem}`, 'name a file that is there');
  return overlay(await studio({ name: chain.folder + path, text: file.text }, path, chain), top);
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

/** The path of a file from the plan's folder, as written in the file `from`; null for one that leads out of it or is none. */
export function pathFrom(written: Scalar, from: string): string | null {
  const { text } = written;
  if (
    text.trim() === '' ||
    text.startsWith('/') ||
    /[\\\p{Cc}]/u.test(text) ||
    /^[a-z][a-z\d+.-]*:/i.test(text)
  )
    return null;
  const steps = from.split('/').slice(0, -1);
  for (const step of text.split('/')) {
    if (step === '..' && steps.pop() === undefined) return null;
    if (step !== '..' && step !== '.' && step !== '') steps.push(step);
  }
  return steps.length > 0 ? steps.join('/') : null;
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
