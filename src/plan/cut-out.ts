/** Taking an entry out of the text of a plan, with what is written of it on its own lines. All else stays byte for byte. */
import { isAlias, isMap, isNode, type Node, parseDocument, visit, type YAMLMap } from 'yaml';
import type { Path } from '../finding.ts';
import { type Edited, endOf, hasAnchor, type KeyValue, keyOf } from './edit.ts';

/** The text of a plan that reads without fault, less the key at the end of the path. Remarks above it stay. */
export function cutOut(text: string, path: Path): Edited {
  const document = parseDocument(text, { version: '1.2', uniqueKeys: false });
  if (document.errors.length > 0) return { problem: 'not YAML' };
  let node = document.contents as Node | null;
  for (const [depth, step] of path.entries()) {
    if (isAlias(node) || hasAnchor(node)) return { problem: 'alias' };
    if (!isMap(node)) return { problem: 'scalar' };
    const at = node.items.findIndex(({ key }) => keyOf(key) === String(step));
    const pair = node.items[at] as KeyValue | undefined;
    if (!pair) return { problem: 'scalar' };
    if (depth === path.length - 1) return without(text, node, at);
    node = pair.value;
  }
  return { problem: 'scalar' };
}

function without(text: string, map: YAMLMap, at: number): Edited {
  const pair = map.items[at] as KeyValue;
  if (holdsAnchor(pair.value)) return { problem: 'alias' };
  const [from, to] = map.flow ? flowStretch(text, map, at) : linesOf(text, pair);
  return from < 0 ? { problem: 'scalar' } : { text: text.slice(0, from) + text.slice(to) };
}

/** What others may stand for elsewhere must stay. */
function holdsAnchor(value: Node | null): boolean {
  let found = false;
  if (value)
    visit(value, (_, node) => {
      if (isNode(node) && hasAnchor(node)) found = true;
    });
  return found;
}

/** Whole lines, the break behind them included; none where something else stands before the key. */
function linesOf(text: string, pair: KeyValue): readonly [number, number] {
  const key = pair.key.range?.[0] ?? 0;
  const start = text.lastIndexOf('\n', key - 1) + 1;
  if (text.slice(start, key).trim() !== '') return [-1, -1];
  const next = text.indexOf('\n', pairEnd(text, pair));
  return [start, next < 0 ? text.length : next + 1];
}

/** Up to the next entry; of the last one from the end of the one before, unless a remark stands between. */
function flowStretch(text: string, map: YAMLMap, at: number): readonly [number, number] {
  const pair = map.items[at] as KeyValue;
  const start = pair.key.range?.[0] ?? 0;
  const next = map.items[at + 1] as KeyValue | undefined;
  if (next) return [start, next.key.range?.[0] ?? start];
  const end = pairEnd(text, pair);
  const before = map.items[at - 1] as KeyValue | undefined;
  const from = before ? pairEnd(text, before) : start;
  return [text.slice(from, start).includes('#') ? start : from, end];
}

const pairEnd = (text: string, { key, value }: KeyValue): number =>
  Math.max(key.range?.[1] ?? 0, value ? endOf(text, value) : text.indexOf(':', key.range?.[1] ?? 0) + 1);
