/** Files of a plan: the heading of each, the studios that lie under it, and tables by angle that it names. */
import type { Finding, FindingCode, Path } from '../finding.ts';
import type { Clap } from '../recording/decay.ts';
import { escapeControl } from '../text.ts';
import { type Csv, type CsvLine, MOST_CELLS, readCsv } from './csv.ts';
import type { Entry, Fault, MapNode, Mark, Node, Scalar, Source } from './document.ts';
import { emptyMap, findingOf, isNull, nodesAt, readDocument, scalarNode, shown } from './document.ts';
import { withEdits } from './edit.ts';
import { readWith } from './schema.ts';
import { ANGLES_KEY, angleTable } from './values.ts';

/** Errors of a file's heading. A plan must say its version, a studio may. */
export function headingFindings(file: MapNode, what: 'plan' | 'studio'): Finding[] {
  const findings: Finding[] = [];
  const say = (code: FindingCode, key: string, at: Node, message: string, fix: string) => {
    const { source, offset } = at.mark;
    const place = { path: file === at ? [] : [key], offset, file: source.name };
    findings.push({ code, severity: 'error', ...place, message: escapeControl(message), fix });
  };
  const version = file.entries.get('spillcheck')?.node;
  if (!version && what === 'plan')
    say('PLAN_VERSION', '', file, 'no format version', 'begin with `spillcheck: 1`');
  if (version && inWords(version) !== '1') {
    const message = `spillcheck must be 1, the only format version, got ${inWords(version)}`;
    say('PLAN_VERSION', 'spillcheck', version, message, 'write `spillcheck: 1`');
  }
  const units = file.entries.get('units')?.node;
  if (units && !['m', 'ft'].includes(inWords(units)))
    say('WRONG_TYPE', 'units', units, `units must be one of m, ft, got ${inWords(units)}`, 'write m or ft');
  return findings;
}

function inWords(node: Node): string {
  if (node.kind !== 'scalar') return `a ${node.kind}`;
  return node.value === null ? 'nothing' : shown(node.text);
}

const DEEPEST = 8;

type Chain = {
  readonly plan: Loading;
  readonly seen: readonly string[];
  readonly findings: Finding[];
  readonly sources: Source[];
};

/** The plan as it would be if it were written whole. */
export async function layOverStudio(tree: MapNode, plan: Loading) {
  const seen = [plan.name.slice(plan.name.lastIndexOf('/') + 1)];
  const chain: Chain = { plan, seen, findings: [], sources: [] };
  return { tree: await laid(tree, chain), findings: chain.findings, sources: chain.sources };
}

async function laid(top: MapNode, chain: Chain): Promise<MapNode> {
  const written = top.entries.get('studio')?.node;
  if (!written || isNull(written)) return top;
  const refuse = (code: Finding['code'], message: string, fix: string): MapNode => {
    const { source, offset } = written.mark;
    const about = { path: ['studio'], message: `studio ${message}`, fix, offset, file: source.name };
    chain.findings.push({ code, severity: 'error', ...about });
    return top;
  };
  if (written.kind !== 'scalar')
    return refuse('WRONG_TYPE', 'must be a path', 'write a path such as studios/hall.yaml');
  const path = pathFrom(written, chain.seen.at(-1) ?? '', chain.plan.allowOutside, 'studios/hall.yaml');
  if (typeof path !== 'string') return refuse('FILE_UNREADABLE', path.message, path.fix);
  if (chain.seen.includes(path))
    return refuse('FILE_UNREADABLE', 'refers back to itself', 'remove one `studio` from the loop');
  if (chain.seen.length > DEEPEST)
    return refuse('FILE_UNREADABLE', `is nested more than ${DEEPEST} deep`, 'merge some of the studios');
  const file = await chain.plan.load(path);
  if ('problem' in file) {
    const { problem, fix = 'name an existing file' } = file;
    return refuse('FILE_UNREADABLE', `${path}: ${problem}`, fix);
  }
  const source = { name: calledFrom(chain.plan.name, path), text: file.text };
  return overlay(await studio(source, path, chain), top);
}

async function studio(source: Source, path: string, chain: Chain): Promise<MapNode> {
  chain.sources.push(source);
  const { tree, findings } = readDocument(source);
  chain.findings.push(...findings);
  if (tree?.kind !== 'map') return emptyMap(source);
  chain.findings.push(...headingFindings(tree, 'studio'));
  return laid(tree, { ...chain, seen: [...chain.seen, path] });
}

/** `over` overrides `under`, and null removes what is under it, if anything. */
function overlay(under: MapNode, over: MapNode, path: readonly string[] = []): MapNode {
  const entries = new Map<string, Entry>(under.entries);
  for (const [key, entry] of over.entries) {
    const lower = under.entries.get(key);
    if (lower && isNull(entry.node) && !isOfKit(path)) entries.delete(key);
    else if (lower?.node.kind === 'map' && entry.node.kind === 'map')
      entries.set(key, { key: entry.key, node: overlay(lower.node, entry.node, [...path, key]) });
    else entries.set(key, entry);
  }
  return { kind: 'map', entries, mark: over.mark };
}

/** In the parts of a kit ~ takes out what the kit has, so that it must outlive the overlay. */
const isOfKit = (path: readonly string[]): boolean =>
  path[0] === 'players' &&
  path.at(-1) === 'parts' &&
  (path.length === 3 || (path.length === 5 && path[2] === 'plays'));

type Loaded = { readonly text: string } | { readonly problem: string; readonly fix?: string };
/** Gives the text of a file by its path from the plan's folder, or says why there is none. */
export type Load = (path: string) => Promise<Loaded>;

export type Heard = { readonly claps: readonly Clap[] } | { readonly problem: string; readonly fix: string };
/** Gives the claps of a recording by its path from the plan's folder, or says why there are none. */
export type Hear = (path: string) => Promise<Heard>;

/** The plan that names files: what it is called, who reads for it, and whether they may lie anywhere. */
export type From = Loading & { readonly hear: Hear };

type Loading = {
  readonly name: string;
  readonly load: Load;
  /** Else a plan, which may be a stranger's, can have nothing read but what lies in its own folder or below. */
  readonly allowOutside: boolean;
};

export const OUTSIDE_FIX = "move it into the plan's folder, or add --allow-outside";
/** The path of a file that a plan or studio names; messages go on from the name of the value. */
export const pathOfNamed = (written: Scalar, { name, allowOutside }: Loading, such: string) =>
  pathFrom(written, pathOf(name, written.mark.source.name), allowOutside, such);

/** The path of what is `written` in the file `from`. */
function pathFrom(written: Scalar, from: string, allowOutside: boolean, such: string) {
  const { text } = written;
  const fix = `write a path such as ${such}`;
  if (text.trim() === '' || /[\\\p{Cc}]/u.test(text) || /^[a-z][a-z\d+.-]*:/i.test(text))
    return { message: `must be a path, got ${shown(text)}`, fix };
  const path = joined(from, text);
  if (path === null) return { message: `must be the path of a file, got ${shown(text)}`, fix };
  const leaves = path.startsWith('/') || path.startsWith('../');
  if (!leaves || allowOutside) return path;
  return { message: `names ${shown(text)}, outside the plan's folder`, fix: OUTSIDE_FIX };
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

/** The other way: the path of a file from the plan's folder. */
function pathOf(plan: string, called: string): string {
  const folder = plan.slice(0, plan.lastIndexOf('/') + 1);
  return called.startsWith(folder) ? called.slice(folder.length) : called;
}

/** Where a table may be; * is any name. */
const TABLE_PLACES: readonly Path[] = [
  ['mics', '*', 'pattern', 'table'],
  ['sources', '*', 'directivity', 'table'],
  ['players', '*', 'directivity', 'table'],
  ['players', '*', 'plays', '*', 'directivity', 'table'],
  ['players', '*', 'parts', '*', 'directivity', 'table'],
  ['players', '*', 'plays', '*', 'parts', '*', 'directivity', 'table'],
];

/** The tree with every table written out; a file with an error becomes a flat table. */
export async function readTables(tree: MapNode, plan: Loading) {
  const named = TABLE_PLACES.flatMap((place) => [...nodesAt(tree, place)]);
  const loaded = new Map<string, Loaded>();
  const findings: Finding[] = [];
  let whole = tree;
  for (const { path, node: written } of named) {
    // only words name files: anything else is the schema's to refuse
    if (written.kind !== 'scalar' || typeof written.value !== 'string') continue;
    const read = await readTable(written, plan, loaded);
    if (Array.isArray(read)) findings.push(...read.map((fault) => findingOf({ ...fault, path })));
    whole = withEdits(whole, [{ path, value: Array.isArray(read) ? flatTable(written.mark) : read }]);
  }
  return { tree: whole, findings };
}

/** The table in a file, or its errors; `loaded` keeps each file for whoever names it next. */
async function readTable(
  written: Scalar,
  plan: Loading,
  loaded: Map<string, Loaded>,
): Promise<MapNode | Fault[]> {
  const path = pathOfNamed(written, plan, 'tables/voice.csv');
  if (typeof path !== 'string') return [{ code: 'FILE_UNREADABLE', ...path }];
  const file = loaded.get(path) ?? (await plan.load(path));
  loaded.set(path, file);
  if ('text' in file) return tableOf(file.text, path, written.mark);
  const { problem, fix = 'name an existing file' } = file;
  return [{ code: 'FILE_UNREADABLE', message: `names ${path}: ${problem}`, fix }];
}

/** Far above a table of every tenth of a degree in eight bands, in characters and angles. */
const [LONGEST_TABLE, MOST_ANGLES] = [200_000, 2000];
/** Errors shown of one file: whoever has mistaken the file has one in every cell. */
const MOST_FAULTS = 10;

/** The table `angle_deg,125,250,…`, with a line for each angle, as a plan would write it, every value at `mark`. */
function tableOf(text: string, file: string, mark: Mark): MapNode | Fault[] {
  const broken = (faults: readonly Fault[]): Fault[] => {
    const told = faults.slice(0, MOST_FAULTS);
    const more = `which has ${faults.length - MOST_FAULTS} more errors`;
    if (faults.length > MOST_FAULTS) told.push(fault(more, 'check that it is the right file'));
    return told.map((one) => ({ ...one, message: `names ${file}, ${one.message}` }));
  };
  if (text.length > LONGEST_TABLE) {
    const message = `which has ${text.length} characters, limit ${LONGEST_TABLE}`;
    return broken([{ code: 'FILE_UNREADABLE', message, fix: 'use fewer angles' }]);
  }
  const csv = readCsv(text);
  const [header, ...rows] = csv.lines;
  const misshapen = shapeFaults(csv, text);
  if (!header || misshapen.length > 0) return broken(misshapen);
  const textsOf = ({ cells }: CsvLine) => cells.map((cell) => cell.text);
  const node = nodeOf(textsOf(header), rows.map(textsOf), mark);
  const { faults } = readWith(angleTable, node);
  return faults.length > 0 ? broken(faults.map((one) => inFile(one, header, rows))) : node;
}

/** 0 dB everywhere. */
const flatTable = (mark: Mark): MapNode =>
  nodeOf(
    [ANGLES_KEY, '1000'],
    [
      ['0', '0'],
      ['180', '0'],
    ],
    mark,
  );

function nodeOf(keys: readonly string[], rows: readonly (readonly string[])[], mark: Mark): MapNode {
  const entries = keys.map((key, column): [string, Entry] => {
    // a comma within a cell is a decimal comma: the separator is another mark, or the cell is in quotes
    const cellOf = (cells: readonly string[]) =>
      (cells[column] ?? '').replace(/^(\D?\d+),(\d+\D*)$/, '$1.$2');
    const items = rows.map((cells) => scalarNode(cellOf(cells), mark));
    return [key, { key: mark, node: { kind: 'list', items, unevenCommas: false, mark } }];
  });
  return { kind: 'map', entries: new Map(entries), mark };
}

/** An error of the table named by line and cell of its file. */
function inFile({ code, message, fix, path = [] }: Fault, header: CsvLine, rows: readonly CsvLine[]): Fault {
  const [key, row = key === ANGLES_KEY ? disorder(rows) : undefined] = path;
  const column = header.cells.findIndex((cell) => cell.text === String(key));
  const line = typeof row === 'number' ? (rows[row] ?? header) : header;
  const place =
    column < 0
      ? `line ${line.number}`
      : `cell ${column + 1}${line === header ? '' : ` (${key})`} in line ${line.number}`;
  return { code, message: `whose ${place} ${message}`, fix };
}

/** The row at which the angles leave their order: the first that does not rise, else one of the ends. */
function disorder(rows: readonly CsvLine[]): number {
  const angles = rows.map(({ cells }) => Number(cells[0]?.text));
  const fall = angles.findIndex((angle, i) => i > 0 && angle <= (angles[i - 1] ?? 0));
  return fall >= 0 ? fall : angles[0] === 0 ? rows.length - 1 : 0;
}

/** What keeps lines from being a table; messages go on from the name of the file. */
function shapeFaults({ lines: [header, ...rows], stop }: Csv, text: string): Fault[] {
  const wanted = `write a line such as ${ANGLES_KEY},125,1000`;
  if (stop?.why === 'open quote') {
    const line = text.slice(0, stop.offset).split(/\r\n?|\n/).length;
    return [fault(`whose quote in line ${line} is never closed`, 'close it after the cell')];
  }
  if (stop) return [fault(`which has more than ${MOST_CELLS} cells`, 'use fewer angles')];
  if (!header) return [fault('which is empty', wanted)];
  const { number, cells } = header;
  const first = cells[0]?.text ?? '';
  if (first !== ANGLES_KEY) {
    const message = `whose cell 1 in line ${number} must be ${ANGLES_KEY}, got ${shown(first)}`;
    return [fault(message, `${wanted}: commas, semicolons or tabs separate the cells`)];
  }
  if (cells.length < 2) return [fault(`whose line ${number} names no octave`, wanted)];
  if (rows.length < 2) return [fault('which needs at least two angles, 0 and 180', 'add them')];
  if (rows.length > MOST_ANGLES)
    return [fault(`whose ${rows.length} angles are more than ${MOST_ANGLES}`, 'use fewer angles')];
  const keys = cells.map((cell) => cell.text);
  const repeats = keys.flatMap((key, i) => {
    const message = `whose cell ${i + 1} in line ${number} repeats ${shown(key)}`;
    return keys.indexOf(key) < i ? [fault(message, 'remove one')] : [];
  });
  const uneven = rows.flatMap((row) => {
    const found = row.cells.length === 1 ? '1 cell' : `${row.cells.length} cells`;
    const message = `whose line ${row.number} has ${found}, not ${keys.length} as the header`;
    const fix = 'write an angle and one number per octave, with decimal points';
    return row.cells.length === keys.length ? [] : [fault(message, fix)];
  });
  return [...repeats, ...uneven];
}

const fault = (message: string, fix: string): Fault => ({ code: 'WRONG_TYPE', message, fix });
