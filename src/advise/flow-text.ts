/** A value of a plan on one line, as one would write it. */
import type { Node } from '../plan/tree.ts';

export function flowText(node: Node): string {
  if (node.kind === 'scalar') return node.value === null ? '~' : node.text;
  if (node.kind === 'list') return `[${node.items.map(flowText).join(', ')}]`;
  return `{${[...node.entries].map(([key, entry]) => `${key}: ${flowText(entry.node)}`).join(', ')}}`;
}
