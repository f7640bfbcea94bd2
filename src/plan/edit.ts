/** Changes to a plan: values set in its tree or in its text, settings removed, and values written on one line. */
import * as yaml from 'yaml';
import type { Path } from '../finding.ts';
import type { Entry, LengthUnit, MapNode, Node, Scalar } from './document.ts';
import { childOf, entriesOf, scalarNode } from './document.ts';

/** Null removes the setting. */
export type Edit = { readonly path: Path; readonly value: Node | null };

/** A single value in the way of a longer path, where a map is needed, is replaced by it. */
export const withEdits = (tree: MapNode, edits: readonly Edit[]): MapNode =>
  edits.reduce((whole, { path, value }) => withValue(whole, path, value) as MapNode, tree);

function withValue(node: Node | null, [step, ...rest]: Path, value: Node | null): Node | null {
  if (step === undefined) return value;
  if (node?.kind === 'list' && typeof step === 'number') {
    const item = withValue(node.items[step] ?? null, rest, value);
    return { ...node, items: node.items.flatMap((one, i) => (i === step ? (item ?? []) : [one])) };
  }
  const entries = new Map<string, Entry>(node?.kind === 'map' ? node.entries : []);
  const key = String(step);
  const before = entries.get(key);
  const inner = withValue(before?.node ?? null, rest, value);
  const mark = node?.mark ?? NOWHERE;
  if (inner === null) entries.delete(key);
  else entries.set(key, { key: before?.key ?? mark, node: inner });
  return { kind: 'map', entries, mark };
}

/** What is at a path, or null. */
export const nodeAt = (tree: Node, path: Path): Node | null =>
  path.reduce<Node | null>(
    (node, step) =>
      (node?.kind === 'list' ? node.items[Number(step)] : childOf(node ?? undefined, step)) ?? null,
    tree,
  );

const NOWHERE = { source: { name: '', text: '' }, offset: 0 };
type Plain = number | string | boolean | Node | readonly Plain[] | { readonly [key: string]: Plain };

/** Nodes among the value stay as they are. */
export function nodeOf(value: Plain): Node {
  if (typeof value !== 'object') return scalarOf(value);
  if (isNodeOfPlan(value)) return value;
  if (isList(value)) return { kind: 'list', items: value.map(nodeOf), unevenCommas: false, mark: NOWHERE };
  const entries = Object.entries(value).map(
    ([key, one]) => [key, { key: NOWHERE, node: nodeOf(one) }] as const,
  );
  return { kind: 'map', entries: new Map(entries), mark: NOWHERE };
}

/** `units` is what a bare length counts in. */
export const scalarOf = (value: number | string | boolean, units?: LengthUnit): Scalar =>
  scalarNode(value, NOWHERE, units);

const isList = (value: object): value is readonly Plain[] => Array.isArray(value);

const isNodeOfPlan = (value: object): value is Node =>
  'kind' in value && 'mark' in value && Object.hasOwn(Object(value.mark), 'source');

/** A value on one line, its words as `word` writes them: as YAML that is read again as it is. */
export function yamlInline(node: Node, word = quotedIfNeeded): string {
  if (node.kind === 'list') return `[${node.items.map((item) => yamlInline(item, word)).join(', ')}]`;
  if (node.kind === 'map') {
    const entries = entriesOf(node).map(([key, below]) => `${word(key)}: ${yamlInline(below, word)}`);
    return `{${entries.join(', ')}}`;
  }
  if (node.value === null) return '~';
  return typeof node.value === 'string' ? word(node.text) : node.text;
}

/** A value on one line, for people: no quotes. */
export const plainInline = (node: Node): string => yamlInline(node, (text) => text);
/** Letters first, nothing that YAML gives a meaning to; or a number with a unit behind a space. */
const PLAIN = /^(?:[\p{L}_][\p{L}\p{N}_ -]*|\d+(?:\.\d+)? [\p{L}\p{N}° .]+)$/u;
const RESERVED_WORDS = /^(?:true|false|null|yes|no|on|off)$/i;

const quotedIfNeeded = (text: string): string =>
  PLAIN.test(text) && !RESERVED_WORDS.test(text) && text === text.trim() ? text : JSON.stringify(text);

export type Edited =
  | { readonly text: string }
  /** `scalar`: a single value where a map of keys is needed; `alias`: it is written elsewhere, for several at once. */
  | { readonly problem: Problem };

type Problem = 'scalar' | 'alias' | 'list' | 'not YAML';
/** A piece of text put in where text runs from `from` to `to`. */
type Splice = { readonly from: number; readonly to: number; readonly text: string };
type KeyValue = { readonly key: yaml.Node; readonly value: yaml.Node | null };

/** The text with one value set, which is YAML on one line. What is missing of its path is added as maps. */
export const setIn = (
  text: string,
  { path, value }: { readonly path: Path; readonly value: string },
): Edited => spliced(text, (top) => setting(text, top, path, value));

/** The text less the key or item at the end of the path. Remarks above, in and behind it stay. */
export const removeEntry = (text: string, path: Path): Edited =>
  spliced(text, (top) => removal(text, top, path));

function spliced(text: string, find: (top: yaml.Node | null) => Splice | Problem): Edited {
  const top = parsed(text);
  if (top === 'not YAML') return { problem: top };
  const splice = find(top);
  return typeof splice === 'string' ? { problem: splice } : { text: put(text, splice) };
}

function parsed(text: string): yaml.Node | null | 'not YAML' {
  const document = yaml.parseDocument(text, { version: '1.2', uniqueKeys: false });
  return document.errors.length > 0 ? 'not YAML' : (document.contents as yaml.Node | null);
}

const put = (text: string, { from, to, text: piece }: Splice): string =>
  text.slice(0, from) + piece + text.slice(to);

type Alias = { readonly source: string; readonly path: Path; readonly node: yaml.Node };

/** Every alias, last first. */
function aliasesIn(top: yaml.Node | null): Alias[] {
  const found: Alias[] = [];
  if (top)
    yaml.visit(top, {
      Alias: (key, node, ancestors) => {
        const path = ancestors.flatMap((one, i): Path => {
          if (yaml.isPair(one)) return [keyOf(one.key)];
          const next = ancestors[i + 1] ?? node;
          return yaml.isSeq(one)
            ? [next === node && typeof key === 'number' ? key : one.items.indexOf(next)]
            : [];
        });
        found.push({ source: node.source, path, node });
      },
    });
  return found.reverse();
}

/** The text in which nothing on a path stands for several: aliases of it are written out on one line, as the tree has them. */
export function unshared(text: string, path: Path, tree: Node): string {
  const top = parsed(text);
  if (top === 'not YAML') return text;
  const aliases = aliasesIn(top);
  const written = (some: readonly Alias[]): string =>
    some.reduce((now, { path: at, node }) => {
      const value = nodeAt(tree, at);
      return value ? put(now, { from: startOf(node), to: endOf(now, node), text: yamlInline(value) }) : now;
    }, text);
  let node = top;
  for (const step of [...path, null]) {
    const own = aliases.filter((one) => one.node === node);
    const others =
      anchorOf(node) === undefined ? [] : aliases.filter(({ source }) => source === anchorOf(node));
    if (own.length + others.length > 0) {
      const fresh = written(own.length > 0 ? own : others);
      return fresh === text ? text : unshared(fresh, path, tree);
    }
    node = step === null ? null : below(node, step);
  }
  return text;
}

function below(node: yaml.Node | null, step: string | number): yaml.Node | null {
  if (yaml.isSeq(node)) return (node.items[Number(step)] as yaml.Node | undefined) ?? null;
  return yaml.isMap(node) ? ((node.items[indexOf(node, step)] as KeyValue | undefined)?.value ?? null) : null;
}

/** Comments and anchors of a text, sorted: what a change must leave. */
export function remarksOf(text: string): string[] {
  const lexemes = [...new yaml.Lexer().lex(text)];
  return lexemes
    .filter((one, i) => /^[#&]/.test(one) && lexemes[i - 1] !== SCALAR)
    .map((one) => one.trimEnd())
    .sort();
}

/** What the lexer puts before a scalar. */
const SCALAR = '\x1f';

function setting(text: string, top: yaml.Node | null, path: Path, value: string): Splice | Problem {
  let node = top;
  for (const [depth, step] of path.entries()) {
    if (isShared(node, top)) return 'alias';
    const rest = flowOf(path.slice(depth + 1), value);
    if (yaml.isSeq(node)) {
      const item = node.items[Number(step)] as yaml.Node | undefined;
      if (!item) return 'list';
      node = item;
    } else if (yaml.isMap(node)) {
      const pair = node.items[indexOf(node, step)] as KeyValue | undefined;
      // a list that is written elsewhere can only be written whole
      if (!pair && path.slice(depth + 1).some((one) => typeof one === 'number')) return 'list';
      if (!pair) return added(text, node, `${quotedIfNeeded(String(step))}: ${rest}`);
      if (isEmpty(pair.value)) return { ...afterColon(text, pair), text: ` ${rest}` };
      node = pair.value;
    } else return 'scalar';
  }
  return isShared(node, top) ? 'alias' : { from: startOf(node), to: endOf(text, node), text: value };
}

/** An alias, or what aliases repeat. */
const isShared = (node: yaml.Node | null, top: yaml.Node | null): boolean =>
  yaml.isAlias(node) ||
  (anchorOf(node) !== undefined && aliasesIn(top).some(({ source }) => source === anchorOf(node)));

function removal(text: string, top: yaml.Node | null, path: Path): Splice | Problem {
  let node = top;
  for (const [depth, step] of path.entries()) {
    if (isShared(node, top)) return 'alias';
    if (!yaml.isMap(node) && !yaml.isSeq(node)) return 'scalar';
    const at = yaml.isMap(node) ? indexOf(node, step) : Number(step);
    const entry = node.items[at] as KeyValue | yaml.Node | undefined;
    if (!entry) return 'scalar';
    if (depth === path.length - 1) {
      if (holdsAnchor('key' in entry ? (entry as KeyValue).value : (entry as yaml.Node))) return 'alias';
      const [from, to] = node.flow ? flowStretch(text, node, at) : linesOf(text, entry);
      if (from < 0) return 'scalar';
      const gone = text.slice(from, to);
      const isLast = yaml.isSeq(node) && !node.flow && node.items.length === 1;
      const empty = isLast ? `${/^\s*/.exec(gone)?.[0]}[]${lineBreak(gone)}` : '';
      return { from, to, text: keptOf(gone) + empty };
    }
    node = below(node, step);
  }
  return 'scalar';
}

const indexOf = (map: yaml.YAMLMap, step: string | number): number =>
  map.items.findIndex(({ key }) => keyOf(key) === String(step));

/** What aliases elsewhere repeat must stay. */
function holdsAnchor(value: yaml.Node | null): boolean {
  let found = false;
  if (value)
    yaml.visit(value, (_, node) => {
      if (yaml.isNode(node) && anchorOf(node) !== undefined) found = true;
    });
  return found;
}

/** Whole lines, the break behind them included; none where something else is before the key or item. */
function linesOf(text: string, entry: KeyValue | yaml.Node): readonly [number, number] {
  const first = entryStart(entry);
  const start = text.lastIndexOf('\n', first - 1) + 1;
  if (!/^\s*(?:[?-]\s+)?(?:&\S+\s+)?$/.test(text.slice(start, first))) return [-1, -1];
  const next = text.indexOf('\n', entryEnd(text, entry));
  return [start, next < 0 ? text.length : next + 1];
}

/** Comments of lines that go, each on a line of its own, as far in as the first of them was. */
function keptOf(gone: string): string {
  const lexemes = [...new yaml.Lexer().lex(gone)];
  const comments = lexemes.filter((one, i) => one.startsWith('#') && lexemes[i - 1] !== SCALAR);
  const indent = /^\s*/.exec(gone)?.[0] ?? '';
  return comments.map((one) => `${indent}${one.trimEnd()}${lineBreak(gone)}`).join('');
}

type Entries = yaml.YAMLMap | yaml.YAMLSeq;

const entryStart = (entry: KeyValue | yaml.Node): number =>
  startOf('key' in entry ? (entry as KeyValue).key : (entry as yaml.Node));
const entryEnd = (text: string, entry: KeyValue | yaml.Node): number =>
  'key' in entry ? pairEnd(text, entry as KeyValue) : endOf(text, entry as yaml.Node);

/** Up to the next entry; of the last one from the end of the one before, unless a comment is between. */
function flowStretch(text: string, { items }: Entries, at: number): readonly [number, number] {
  const [before, entry, next] = [at - 1, at, at + 1].map((i) => items[i] as KeyValue | yaml.Node | undefined);
  if (!entry) return [-1, -1];
  const [start, end] = [entryStart(entry), entryEnd(text, entry)];
  if (next) {
    const comma = text.indexOf(',', end) + 1;
    const following = entryStart(next);
    return [start, text.slice(comma, following).includes('#') ? comma : following];
  }
  const from = before ? entryEnd(text, before) : start;
  return [text.slice(from, start).includes('#') ? start : from, end];
}

const pairEnd = (text: string, { key, value }: KeyValue): number =>
  Math.max(key.range?.[1] ?? 0, value ? endOf(text, value) : text.indexOf(':', key.range?.[1] ?? 0) + 1);

const keyOf = (key: unknown): string =>
  yaml.isScalar(key) ? String(key.source ?? key.value).normalize('NFC') : '';

const anchorOf = (node: yaml.Node | null): string | undefined =>
  node !== null && 'anchor' in node && !yaml.isAlias(node) ? (node.anchor as string | undefined) : undefined;

/** A key with nothing behind it. */
const isEmpty = (value: yaml.Node | null): value is null =>
  value === null || (yaml.isScalar(value) && value.value === null && (value.source ?? '') === '');

const startOf = (node: yaml.Node | null): number => node?.range?.[0] ?? 0;

/** End of the last character of a value, without line breaks and comments after it. */
function endOf(text: string, node: yaml.Node | null): number {
  const last = yaml.isMap(node) || yaml.isSeq(node) ? (node.flow ? null : (node.items.at(-1) ?? null)) : null;
  if (last && 'key' in (last as object)) {
    const { key, value } = last as KeyValue;
    return isEmpty(value) ? afterColon(text, { key }).to : endOf(text, value);
  }
  if (last) return endOf(text, last as yaml.Node);
  const end = node?.range?.[1] ?? 0;
  return startOf(node) + text.slice(startOf(node), end).trimEnd().length;
}

/** The place behind the colon of a key without value. */
function afterColon(text: string, { key }: Pick<KeyValue, 'key'>): { from: number; to: number } {
  const from = key.range?.[1] ?? 0;
  const colon = text.indexOf(':', from) + 1;
  return { from: colon, to: colon };
}

/** A key more in a map, behind its last. */
function added(text: string, map: yaml.YAMLMap, entry: string): Splice {
  const last = map.items.at(-1) as KeyValue | undefined;
  if (!last) {
    const from = startOf(map) + 1;
    return { from, to: from, text: entry };
  }
  if (map.flow) {
    const from = isEmpty(last.value) ? (last.key.range?.[1] ?? 0) : endOf(text, last.value);
    const at = text[from] === ':' ? from + 1 : from;
    return { from: at, to: at, text: `, ${entry}` };
  }
  const end = endOf(text, map);
  const next = text.indexOf('\n', end);
  const lineEnd = next < 0 ? text.length : next;
  const from = text[lineEnd - 1] === '\r' ? lineEnd - 1 : lineEnd;
  return { from, to: from, text: `${lineBreak(text)}${' '.repeat(columnOf(text, map))}${entry}` };
}

const lineBreak = (text: string): string => (text.includes('\r\n') ? '\r\n' : '\n');

/** Spaces before the keys of a block map. */
function columnOf(text: string, map: yaml.YAMLMap): number {
  const first = startOf((map.items[0] as KeyValue | undefined)?.key ?? null);
  const start = text.lastIndexOf('\n', first - 1) + 1;
  const mark = /\?\s+$/.exec(text.slice(start, first));
  return first - start - (mark?.[0].length ?? 0);
}

/** Maps within maps on one line, down to the value. */
const flowOf = (path: Path, value: string): string =>
  path.reduceRight<string>((inner, step) => `{${quotedIfNeeded(String(step))}: ${inner}}`, value);
