/** The front door of a plan: text in, a plan or all its faults out. */
import { type Finding, hasErrors, type Path } from '../finding.ts';
import { type MapNode, markOf, readDocument, type Source, tooMuchOf } from './document.ts';
import { type From, type Load, layOverStudio, readTables } from './files.ts';
import { firstFaults, frameAll, type Spot, spotAt } from './frame.ts';
import { findingOf, headingFindings, type PlanData, validate } from './plan.ts';
import { readUncommon } from './units.ts';

export type ReadPlan = {
  /** Null where there is an error among the findings. */
  readonly plan: PlanData | null;
  /** As written, laid over its studio, tables of files written out: for those who change it. */
  readonly tree: MapNode;
  readonly findings: readonly Finding[];
  /** Where a path was written: the nearest written value, or with `key` the key that leads to it. */
  readonly locate: (path: Path, want?: 'key' | 'value') => Spot;
  /** Where a finding of this plan is shown, whoever found it. */
  readonly spotOf: (finding: Finding) => Spot;
  /** Findings as text for people: sorted by place, each with its source line, no wider than `width` columns. */
  readonly show: (findings: readonly Finding[], width?: number) => string;
};

/** Where no loader is given a plan stands alone: what it names cannot be read, and the finding says so. */
const loadNothing: Load = async () => ({ problem: 'this plan was read without a way to other files' });

/**
 * Reads a plan and the studio it lies over. `name` is shown in findings; `load` is asked for studios and tables alone, and with
 * `beyondFolder` for such as do not lie below the folder of the plan, too.
 */
export async function readPlan(
  text: string,
  { name, load = loadNothing, beyondFolder = false }: Pick<From, 'name'> & Partial<From>,
): Promise<ReadPlan> {
  const from = { name, load, beyondFolder };
  const source = { name, text };
  const own = readDocument(source);
  if (own.tree?.kind !== 'map') return answer(null, own.findings, emptyTree(source), [source]);
  const heading = headingFindings(own.tree, 'plan');
  const foreign = heading.filter(({ code, path }) => code === 'PLAN_VERSION' && path.length > 0);
  // a plan of another version has other keys: what we would say of them is noise
  if (foreign.length > 0) return answer(null, foreign, own.tree, [source]);
  const laid = await layOverStudio(own.tree, from);
  const tooMuch = tooMuchOf(laid.tree).map(findingOf);
  const sources = [source, ...laid.sources];
  if (tooMuch.length > 0)
    return answer(null, [...own.findings, ...heading, ...laid.findings, ...tooMuch], laid.tree, sources);
  const tables = await readTables(laid.tree, from);
  await readUncommon(tables.tree);
  const { plan, findings } = validate(tables.tree);
  const all = [...own.findings, ...heading, ...laid.findings, ...tables.findings, ...findings];
  return answer(hasErrors(all) ? null : plan, all, tables.tree, sources);
}

const emptyTree = (source: Source): MapNode => ({
  kind: 'map',
  entries: new Map(),
  mark: { source, offset: 0 },
});

function answer(
  plan: PlanData | null,
  found: readonly Finding[],
  tree: MapNode,
  sources: readonly Source[],
): ReadPlan {
  const locate: ReadPlan['locate'] = (path, want) => {
    const { source, offset } = markOf(tree, path, want);
    return spotAt(source, offset);
  };
  const spotOf: ReadPlan['spotOf'] = (finding) => {
    const source = sources.find(({ name }) => name === finding.file) ?? sources[0];
    if (finding.offset !== undefined && source) return spotAt(source, finding.offset);
    return locate(finding.path, ABOUT_KEYS.has(finding.code) ? 'key' : 'value');
  };
  const findings = firstFaults(found, spotOf);
  const show: ReadPlan['show'] = (which, width) => frameAll(which, spotOf, width);
  return { plan, tree, findings, locate, spotOf, show };
}

/** Where the key itself is the matter, not what stands behind it. */
const ABOUT_KEYS: ReadonlySet<string> = new Set(['UNKNOWN_KEY', 'BAD_NAME']);
