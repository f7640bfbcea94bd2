/** A plan as it was written: from YAML text to a tree of values with their places, within limits of size; findings at these places. */
import * as yaml from 'yaml';
import type { Finding, FindingCode, Path } from '../finding.ts';
import { escapeControl } from '../text.ts';

/** Each far above any plan, and far below what would stall a reader or fill its memory. */
export const LONGEST_TEXT = 2 ** 20;
export const MOST_SIGNS = 250_000;
export const MOST_IN_ONE = 2000;
const DEEPEST = 64;
const MOST_NODES_FROM_ALIASES = 10_000;
/** Keys that reach into the language's own objects: refused by name. */
const FORBIDDEN_KEYS = new Set(['__proto__', 'constructor', 'prototype']);

type Walk = {
  readonly source: Source;
  readonly units: LengthUnit;
  readonly anchors: Map<string, yaml.Node>;
  readonly open: Set<yaml.Node>;
  readonly findings: Finding[];
  depth: number;
  inAlias: number;
  fromAliases: number;
};

export function readDocument(source: Source): { tree: Node | null; findings: readonly Finding[] } {
  const findings: Finding[] = [];
  const say = (offset: number, message: string, fix: string) =>
    findings.push(syntax(source, offset, message, fix));
  if (source.text.length > LONGEST_TEXT) {
    const message = `file too large: ${source.text.length} characters, limit ${LONGEST_TEXT} (1 MB)`;
    say(0, message, 'split it, or remove what is not part of the plan');
    return { tree: null, findings };
  }
  const contents = parse(source, findings);
  if (findings.length > 0) return { tree: null, findings };
  if (!contents || (yaml.isScalar(contents) && contents.value === null)) {
    say(0, 'the file is empty', 'begin with the line `spillcheck: 1`');
    return { tree: null, findings };
  }
  const begin = { anchors: new Map(), open: new Set<yaml.Node>(), depth: 0, inAlias: 0, fromAliases: 0 };
  const tree = treeOf(contents, { source, findings, units: unitsOf(contents), ...begin });
  if (tree && tree.kind !== 'map') {
    const got = tree.kind === 'list' ? 'a list' : 'a single value';
    const message = `a plan must be a map of keys, not ${got}`;
    const fault = syntax(source, tree.mark.offset, message, 'begin with the line `spillcheck: 1`');
    findings.push({ ...fault, code: 'WRONG_TYPE' });
    return { tree: null, findings };
  }
  return { tree, findings };
}

function syntax(source: Source, offset: number, message: string, fix: string): Finding {
  const words = { message: escapeControl(message), fix: escapeControl(fix) };
  return { code: 'PLAN_SYNTAX', severity: 'error', path: [], ...words, offset, file: source.name };
}

function parse(source: Source, findings: Finding[]): yaml.Node | null {
  // uniqueKeys is ours to check: the parser compares every key with every other, which takes minutes at 4 MB
  const composer = new yaml.Composer({ version: '1.2', uniqueKeys: false, resolveKnownTags: false });
  const stop: Stop = (offset, message, fix) => findings.push(syntax(source, offset, message, fix));
  const tokens = [...tokensOf(source.text, stop)];
  if (findings.length > 0) return null;
  const [doc, second] = composer.compose(tokens, true, source.text.length);
  for (const { code, message, pos } of firstParserErrors(doc?.errors ?? [], source.text)) {
    const [words, fix] = wordsFor(code, message);
    findings.push(syntax(source, pos[0], words, fix));
  }
  if (second) {
    const fix = 'write one plan per file: remove the `---`';
    findings.push(syntax(source, second.range[0], 'second YAML document in the file', fix));
  }
  return (doc?.contents as yaml.Node | null | undefined) ?? null;
}

/** One error a line, and none that only says that the parser was lost by then. */
function firstParserErrors(
  errors: readonly yaml.YAMLParseError[],
  text: string,
): readonly yaml.YAMLParseError[] {
  let lineEnd = -1;
  return errors.filter(({ message, pos: [at] }) => {
    if (at <= lineEnd || (lineEnd >= 0 && message.includes('in YAML stream'))) return false;
    const next = text.indexOf('\n', at);
    lineEnd = next < 0 ? text.length : next;
    return true;
  });
}

type Stop = (offset: number, message: string, fix: string) => void;

/**
 * Stops where the nesting goes too deep: composing it would exhaust the stack. Each level holds at most three tokens. And where
 * there are too many signs (words, marks, runs of spaces): a text of marks alone takes a thousand times its size.
 */
function* tokensOf(text: string, stop: Stop): Generator<yaml.CST.Token> {
  const parser = new yaml.Parser();
  let signs = 0;
  for (const lexeme of new yaml.Lexer().lex(text)) {
    yield* parser.next(lexeme);
    if (parser.stack.length > 3 * DEEPEST) return void stop(parser.offset, TOO_DEEP, KEEP_FLAT);
    if (++signs > MOST_SIGNS) return void stop(parser.offset, TOO_MANY, KEEP_SMALL);
  }
  yield* parser.end();
}

const TOO_MANY = `more than ${MOST_SIGNS} words and marks`;
const TOO_DEEP = 'lists and maps are nested too deeply';
const KEEP_FLAT = `keep to ${DEEPEST} levels`;
const KEEP_SMALL = 'remove what is not part of the plan, or split it into several plans';

function wordsFor(code: string, message: string): [string, string] {
  if (code === 'TAB_AS_INDENT') return ['tab in indentation', 'use spaces'];
  if (code === 'BAD_INDENT')
    return [indentProblem(message), 'indent it like the lines around it, and close the brackets above'];
  return [`invalid YAML: ${message}`, 'check brackets, quotes, colons and indentation'];
}

/** The parser's words for a bracket left open over lines say only that the next line is not indented. */
function indentProblem(message: string): string {
  const [, bracket] = /^Flow (?:map|sequence) in block collection .* end with a ([}\]])/.exec(message) ?? [];
  return bracket ? `missing ${bracket} or wrong indentation` : `invalid YAML: ${message}`;
}

/** Bare lengths need the file's unit before the first of them is met. A unit that is no unit is the schema's to refuse. */
function unitsOf(contents: yaml.Node): LengthUnit {
  return yaml.isMap(contents) && contents.get('units') === 'ft' ? 'ft' : 'm';
}

function treeOf(node: yaml.Node, walk: Walk): Node | null {
  const mark = { source: walk.source, offset: node.range?.[0] ?? 0 };
  const refuse = refusal(walk, mark.offset);
  if (yaml.isAlias(node)) return aliased(node.source, mark, walk, refuse);
  if (walk.inAlias > 0 && ++walk.fromAliases > MOST_NODES_FROM_ALIASES) return null;
  if (node.tag) return refuseTag(node.tag, mark.offset, walk);
  if (walk.depth >= DEEPEST) return refuse(TOO_DEEP, KEEP_FLAT);
  if ('anchor' in node && node.anchor) walk.anchors.set(node.anchor, node);
  if (!yaml.isCollection(node)) return scalarOf(node, mark, walk);
  if (node.items.length > MOST_IN_ONE) {
    const what = yaml.isSeq(node) ? 'list' : 'map';
    return refuse(`a ${what} of ${node.items.length} entries, limit ${MOST_IN_ONE}`, KEEP_SMALL);
  }
  walk.open.add(node);
  walk.depth++;
  const tree = yaml.isSeq(node)
    ? listOf(node.items as yaml.Node[], mark, walk)
    : mapOf(node.items as yaml.Pair[], mark, walk);
  walk.depth--;
  walk.open.delete(node);
  return tree;
}

const LONGEST_TAG = 200;

/** A tag is before its value, perhaps with an anchor between the two. */
function refuseTag(tag: string, offset: number, walk: Walk): null {
  const before = walk.source.text.slice(Math.max(0, offset - LONGEST_TAG), offset);
  const back = /!\S*\s+(?:&\S+\s+)?$/.exec(before)?.[0].length ?? 0;
  const message = `tag ${shown(tag)} is not part of the plan format`;
  return refusal(walk, offset - back)(message, 'remove the tag');
}

type Refuse = (message: string, fix: string) => null;

const refusal = ({ source, findings }: Walk, offset: number): Refuse => {
  return (message, fix) => {
    findings.push(syntax(source, offset, message, fix));
    return null;
  };
};

function aliased(name: string, mark: Mark, walk: Walk, refuse: Refuse): Node | null {
  const target = walk.anchors.get(name);
  if (!target)
    return refuse(
      `alias *${shown(name)} has no anchor above it`,
      `write &${name} before the value it repeats`,
    );
  if (walk.open.has(target)) return refuse(`alias *${shown(name)} refers to itself`, 'write the value out');
  const alreadyOver = walk.fromAliases > MOST_NODES_FROM_ALIASES;
  walk.inAlias++;
  const tree = treeOf(target, walk);
  walk.inAlias--;
  if (walk.inAlias === 0 && !alreadyOver && walk.fromAliases > MOST_NODES_FROM_ALIASES)
    return refuse(`aliases expand to more than ${MOST_NODES_FROM_ALIASES} values`, 'write the values out');
  return tree && { ...tree, mark };
}

function scalarOf(node: yaml.Node, mark: Mark, walk: Walk): Node {
  const value = yaml.isScalar(node) ? node.value : null;
  const source = yaml.isScalar(node) && typeof node.source === 'string' ? node.source : String(value ?? '');
  const text = source.normalize('NFC');
  const plain = typeof value === 'number' || typeof value === 'boolean' || value === null ? value : text;
  return scalarNode(plain, mark, walk.units, text);
}

function listOf(items: readonly yaml.Node[], mark: Mark, walk: Walk): Node {
  const gaps = items.slice(1).map((item, i) => (item.range?.[0] ?? 0) - (items[i]?.range?.[1] ?? 0));
  const nodes = items.map((item) => treeOf(item, walk)).filter((node) => node !== null);
  const unevenCommas = gaps.includes(1) && gaps.some((gap) => gap > 1);
  return { kind: 'list', items: nodes, unevenCommas, mark };
}

function mapOf(pairs: readonly yaml.Pair[], mark: Mark, walk: Walk): Node {
  const entries = new Map<string, Entry>();
  for (const { key, value } of pairs) {
    const at = { source: walk.source, offset: (key as yaml.Node | null)?.range?.[0] ?? mark.offset };
    const name = keyOf(key as yaml.Node | null, at, walk);
    if (name === null) continue;
    const first = entries.get(name);
    const message = `duplicate key \`${shown(name)}\``;
    if (first) refusal(walk, at.offset)(message, 'rename or remove one');
    const node = value ? treeOf(value as yaml.Node, walk) : scalarNode(null, at, walk.units);
    if (node && !first) entries.set(name, { key: at, node });
  }
  return { kind: 'map', entries, mark };
}

function keyOf(key: yaml.Node | null, at: Mark, walk: Walk): string | null {
  const refuse = refusal(walk, at.offset);
  if (!yaml.isScalar(key))
    return refuse('a key must be a plain name, not a list, map or alias', 'write a name before the colon');
  if (key.tag) return refuseTag(key.tag, at.offset, walk);
  if (key.anchor) walk.anchors.set(key.anchor, key);
  const name = (typeof key.source === 'string' ? key.source : String(key.value ?? '')).normalize('NFC');
  if (FORBIDDEN_KEYS.has(name))
    return refuse(`\`${name}\` is not allowed as a name or key`, 'choose another name');
  return name;
}

/** Entries of the sections of a plan. What lies within computes in some seconds when shared out over its rooms; more is refused. */
export const MOST_ENTRIES = {
  rooms: 30,
  partitions: 100,
  baffles: 100,
  players: 250,
  sources: 200,
  listeners: 50,
  mics: 400,
  passages: 100,
} as const;

/** Corners of all rooms together, and doors, windows and openings of all partitions. */
export const MOST_CORNERS = 300;
export const MOST_HOLES = 200;
/** What sounds, each piece of a kit counted, and what hears, both of a pair counted and lines too: known once names are looked up. */
export const MOST_SOURCES = 200;
export const MOST_MICS = 400;
export const SPLIT_PLAN = 'remove some, or split the plan in two';

/** Errors of a plan, laid over its studio, that is too large to be read any further. */
export function sizeFaults(plan: MapNode): Fault[] {
  const sections = Object.entries(MOST_ENTRIES).flatMap(([section, most]) => {
    const count = entriesOf(childOf(plan, section)).length;
    return over(count, most, section, `has ${count} entries, limit ${most}`);
  });
  const corners = total(plan, 'rooms', (room) => sizeOf(room, 'outline') || 4);
  const holes = total(plan, 'partitions', (wall) =>
    ['doors', 'windows', 'openings'].reduce((sum, key) => sum + sizeOf(wall, key), 0),
  );
  const together = (count: number, what: string, most: number, section: string) =>
    over(count, most, section, `have ${count} ${what} in total, limit ${most}`);
  return [
    ...sections,
    ...together(corners, 'corners', MOST_CORNERS, 'rooms'),
    ...together(holes, 'doors, windows and openings', MOST_HOLES, 'partitions'),
  ];
}

const over = (count: number, most: number, section: string, message: string): Fault[] =>
  count > most ? [{ code: 'OUT_OF_RANGE', path: [section], message, fix: SPLIT_PLAN }] : [];

const total = (plan: MapNode, section: string, count: (entry: Node) => number): number =>
  entriesOf(childOf(plan, section)).reduce((sum, [, entry]) => sum + count(entry), 0);

function sizeOf(entry: Node, key: string): number {
  const below = childOf(entry, key);
  return below?.kind === 'list' ? below.items.length : 0;
}

/** `message` goes on from the name of the value: "must be …, got …". `path` leads to it. */
export type Fault = {
  readonly code: FindingCode;
  readonly message: string;
  readonly fix: string;
  readonly path?: Path;
};

/** Findings may be printed anywhere: nothing that steers a terminal leaves here. */
export const findingOf = ({ code, message, fix, path = [] }: Fault): Finding => ({
  code,
  severity: 'error',
  path,
  message: escapeControl(`${subject(path)} ${message}`),
  fix: escapeControl(fix),
});

/** A path as one says it: mics.main.at[2]. */
function subject(path: Path): string {
  const steps = path.map((step) => (typeof step === 'number' ? `[${step}]` : `.${shown(step)}`));
  return steps.join('').replace(/^\./, '') || 'the plan';
}

/** Every value of a plan that could be set to another, as one says its path: mics.voice-mic.aim.bearing. */
export function* pathsIn(node: Node, above = ''): Generator<string> {
  if (node.kind !== 'map' && above !== '') yield above;
  for (const [key, below] of entriesOf(node)) yield* pathsIn(below, above === '' ? key : `${above}.${key}`);
}

export type Mark = { readonly source: Source; readonly offset: number };
export type LengthUnit = 'm' | 'ft';
/** A quantity in a unit that the table here does not hold, in SI. */
export type Foreign = { readonly dimension: string; readonly value: number };

export type Scalar = {
  readonly kind: 'scalar';
  readonly value: string | number | boolean | null;
  /** As written, without quotes. */
  readonly text: string;
  /** What a bare length in its file counts in. */
  readonly units: LengthUnit;
  readonly mark: Mark;
  /** Set before reading where `text` is a quantity in an uncommon unit. */
  foreign: Foreign | null;
};

export type MapNode = {
  readonly kind: 'map';
  readonly entries: ReadonlyMap<string, Entry>;
  readonly mark: Mark;
};

export type Entry = { readonly key: Mark; readonly node: Node };

type ListNode = {
  readonly kind: 'list';
  readonly items: readonly Node[];
  /** True where some items are parted by a comma alone and some by comma and space: `[2,5, 3]`. */
  readonly unevenCommas: boolean;
  readonly mark: Mark;
};

export type Node = Scalar | MapNode | ListNode;

/** What bare lengths of the plan itself count in, whatever a studio under it says. */
export function unitsOfTree(tree: MapNode): LengthUnit {
  const units = childOf(tree, 'units');
  const isOwn = units?.mark.source === tree.mark.source;
  return isOwn && units?.kind === 'scalar' && units.text === 'ft' ? 'ft' : 'm';
}

export const scalarNode = (
  value: Scalar['value'],
  mark: Mark,
  units: LengthUnit = 'm',
  text = String(value ?? ''),
): Scalar => ({ kind: 'scalar', value, text, units, mark, foreign: null });

export const emptyMap = (source: Source): MapNode => {
  return { kind: 'map', entries: new Map(), mark: { source, offset: 0 } };
};

/** What a map holds under a key. */
export const childOf = (node: Node | undefined, key: string | number): Node | undefined =>
  node?.kind === 'map' ? node.entries.get(String(key))?.node : undefined;

/** What a map holds, with the key of each. */
export const entriesOf = (node: Node | undefined): [string, Node][] =>
  node?.kind === 'map' ? Array.from(node.entries, ([name, entry]) => [name, entry.node]) : [];

export const isNull = (node: Node | undefined): boolean => node?.kind === 'scalar' && node.value === null;

/** Where a path was written: the nearest written value; with `key`, the key of a map that leads to it. */
export function markOf(tree: Node, path: Path, want: 'key' | 'value' = 'value'): Mark {
  let node = tree;
  for (const [depth, step] of path.entries()) {
    const entry = node.kind === 'map' ? node.entries.get(String(step)) : undefined;
    if (want === 'key' && entry && depth === path.length - 1) return entry.key;
    const next = node.kind === 'list' ? node.items[Number(step)] : entry?.node;
    if (!next) return node.mark;
    node = next;
  }
  return node.mark;
}

/** What is at a path, in which * is any name, with the path that leads there. */
export function* nodesAt(
  node: Node,
  [step, ...rest]: Path,
  above: readonly string[] = [],
): Generator<{ readonly path: readonly string[]; readonly node: Node }> {
  if (step === undefined) yield { path: above, node };
  else
    for (const [key, below] of entriesOf(node))
      if (step === '*' || step === key) yield* nodesAt(below, rest, [...above, key]);
}

/** Every scalar below a node, aliases once for each place they stand. */
export function* scalarsOf(node: Node): Generator<Scalar> {
  if (node.kind === 'scalar') yield node;
  else if (node.kind === 'list') for (const item of node.items) yield* scalarsOf(item);
  else for (const [, below] of entriesOf(node)) yield* scalarsOf(below);
}

const LONGEST_SHOWN = 60;

/** What was written, cut short enough for a message. */
export const shown = (text: string): string =>
  text.length <= LONGEST_SHOWN ? text : `${text.slice(0, LONGEST_SHOWN)}…`;

/** Errors shown at once: whoever has mistaken the file has one in every line. */
export const MOST_TOLD = 100;

/** Each with the file that holds it. Of very many the first by place, and how many more there are. */
export function firstErrors(found: readonly Finding[], spotOf: (finding: Finding) => Spot): Finding[] {
  if (found.length <= MOST_TOLD) return found.map((finding) => ({ ...finding, file: spotOf(finding).file }));
  const told = byPlace(found, spotOf)
    .slice(0, MOST_TOLD)
    .map(({ finding, spot }) => ({ ...finding, file: spot.file }));
  const last = told.at(-1) as Finding;
  const message = `and ${found.length - MOST_TOLD} more errors`;
  return [...told, { ...last, message, fix: 'fix these first' }];
}

/** A file with its text, as places in it are shown. */
export type Source = { readonly name: string; readonly text: string };

export type Spot = {
  readonly file: string;
  readonly line: number;
  readonly column: number;
  readonly text: string;
};

/** All findings, sorted by file and place, each with its line of source no wider than `width` columns. */
export function frameAll(
  findings: readonly Finding[],
  spotOf: (finding: Finding) => Spot,
  width = 80,
): string {
  return byPlace(findings, spotOf)
    .map(({ finding, spot }) => frame(finding, spot, width))
    .join('\n');
}

const byPlace = (findings: readonly Finding[], spotOf: (finding: Finding) => Spot) =>
  findings
    .map((finding) => ({ finding, spot: spotOf(finding) }))
    .sort(({ spot: a }, { spot: b }) => {
      if (a.file !== b.file) return a.file < b.file ? -1 : 1;
      return a.line - b.line || a.column - b.column;
    });

/** One finding; ends in a line break. */
export function frame(finding: Finding, spot: Spot, width = 80): string {
  const head = `${escapeControl(spot.file)}:${spot.line}:${spot.column} ${finding.code} ${escapeControl(finding.message)}`;
  const fix = finding.fix ? [`  fix: ${escapeControl(finding.fix)}`] : [];
  return [head, ...caretLines(spot, width), ...fix, ''].join('\n');
}

/** Line and column, both from 1 and in characters, of an offset counted from 0 in UTF-16 units. */
export function spotAt({ name, text }: Source, offset: number, starts = lineStarts(text)): Spot {
  const end = Math.min(Math.max(offset, 0), text.length);
  let [low, high] = [0, starts.length];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((starts[middle] ?? 0) <= end) low = middle;
    else high = middle;
  }
  const start = starts[low] ?? 0;
  const line = text.slice(start, (starts[low + 1] ?? text.length + 1) - 1).replace(/\r$/, '');
  return { file: name, line: low + 1, column: [...text.slice(start, end)].length + 1, text: line };
}

/** Where each line begins: whoever asks for many spots of a text hands them on. */
export const lineStarts = (text: string): readonly number[] => [
  0,
  ...[...text.matchAll(/\n/g)].map((match) => match.index + 1),
];

const INDENT = '  ';
/** Cut to the width around the caret, so that a long line never wraps and never hides what is meant; between characters alone. */
function caretLines(spot: Spot, width: number): string[] {
  const cells = Array.from(spot.text, (one) => (one === '\t' ? ' ' : escapeControl(one)));
  if (cells.join('').trim() === '') return [];
  const room = Math.max(width - INDENT.length, 20);
  const lengthOf = (some: readonly string[]) => some.reduce((sum, cell) => sum + cell.length, 0);
  const caretAt = lengthOf(cells.slice(0, spot.column - 1));
  const wanted = Math.max(0, Math.min(caretAt - Math.floor(room / 2), lengthOf(cells) - room));
  let [first, from] = [0, 0];
  while (from < wanted) from += cells[first++]?.length ?? 1;
  let [end, used] = [first, 0];
  while (end < cells.length && used + (cells[end]?.length ?? 0) <= room) used += cells[end++]?.length ?? 0;
  return [INDENT + cells.slice(first, end).join(''), `${INDENT + ' '.repeat(caretAt - from)}^`];
}
